// The safety table, and that nothing which must stay with a workshop is open to an owner.
import { describe, expect, it } from 'vitest';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';

const knowledge = loadKnowledgeFolder();

/** `from`: the owner's rules for this project (work that can hurt someone; where pages disagree the stricter wins), common practice. */
const rules: Array<[id: string, who: 'owner' | 'workshop', engine: string]> = [
  ['look-cold', 'owner', 'off-and-cold'],
  ['look-and-listen-running', 'owner', 'running-outdoors'],
  ['read-live-data', 'owner', 'running-outdoors'],
  ['read-codes', 'owner', 'any'],
  ['drive-and-observe', 'owner', 'any'],
  ['measure-cold-electrical', 'owner', 'off-and-cold'],
  ['pinch-or-cap-hose', 'owner', 'off-and-cool'],
  ['spray-at-engine', 'workshop', 'running-outdoors'],
  ['smoke-test', 'workshop', 'off-and-cool'],
  ['remove-sensor', 'owner', 'off-and-cool'],
  ['replace-upstream-sensor', 'owner', 'off-and-cool'],
  ['wipe-downstream-sensor', 'owner', 'off-and-cool'],
  ['under-car', 'owner', 'off-and-cold'],
  ['fuel-system', 'workshop', 'off-and-cold'],
  ['ignition-off-swap', 'owner', 'off-and-cool'],
  ['spark-plugs', 'owner', 'off-and-cold'],
  ['compression-test', 'workshop', 'off'],
  ['exhaust-gas-test', 'workshop', 'running-outdoors'],
  ['cooling-system-cold', 'owner', 'off-and-cold'],
  ['battery-and-fuse', 'owner', 'off'],
  ['oil-level', 'owner', 'off-and-cool'],
  ['tyres-and-brakes-look', 'owner', 'off'],
  ['workshop-repair', 'workshop', 'off'],
  ['clean-air-meter', 'owner', 'off-and-cool'],
  ['block-egr', 'workshop', 'off-and-cool'],
  ['handbook-and-memory', 'owner', 'any'],
  ['fuel-another-tank', 'owner', 'any'],
];

/** Everything that an owner may be asked to do, in the words that are shown. */
const forOwners = [
  ...knowledge.questions.map((item) => ({ id: item.id, text: item.text, rule: item.safety })),
  ...knowledge.faults.flatMap((fault) =>
    [...fault.checks, fault.repair].map((item) => ({ id: fault.id, text: item.step, rule: item.safety })),
  ),
].filter((item) => knowledge.safety.byId.get(item.rule)?.who === 'owner');

describe('the safety table', () => {
  it.each(rules)('lets %s be done by the %s, engine %s', (id, who, engine) => {
    expect(knowledge.safety.byId.get(id)).toMatchObject({ who, engine });
  });

  it('is tried rule by rule', () => {
    expect(knowledge.safety.map((rule) => rule.id)).toEqual(rules.map(([id]) => id).sort());
  });

  it('tells the owner what to mind wherever the engine runs or was hot', () => {
    const silent = knowledge.safety.filter(
      (rule) => rule.who === 'owner' && rule.engine !== 'any' && rule.mustSay === '',
    );
    expect(silent).toEqual([]);
  });

  it.each([
    ['pinch-or-cap-hose', /engine off and cool[\s\S]*outdoors/],
    ['remove-sensor', /30 to 60 minutes[\s\S]*gloves[\s\S]*cold, the evening before[\s\S]*no heat/],
    ['replace-upstream-sensor', /30 to 60 minutes[\s\S]*gloves/],
    ['wipe-downstream-sensor', /no solvent, no petrol, no torch[\s\S]*does not cure/],
    ['read-live-data', /outdoors/],
    ['look-and-listen-running', /outdoors/],
    ['under-car', /stands/],
    ['cooling-system-cold', /never open a hot cap/],
  ])('makes %s say what READ-FIRST asks for', (id, words) => {
    expect(knowledge.safety.byId.get(id)?.mustSay).toMatch(words);
  });

  it('withdraws driving and running the engine when there is a stop sign', () => {
    const stops = knowledge.driving
      .filter((rule) => rule.advice === 'stop')
      .flatMap((rule) =>
        rule.when.flatMap((item) =>
          item.symptoms?.length === 1 && Object.keys(item).length === 1 ? item.symptoms : [],
        ),
      );
    expect(knowledge.safety.byId.get('drive-and-observe')!.notWith.toSorted()).toEqual(stops.toSorted());
    for (const rule of knowledge.safety.filter((item) => item.who === 'owner' && item.engine === 'running-outdoors'))
      expect(rule.notWith).toContain('fuel-leak');
  });

  it('keeps from owners what only a workshop may do', () => {
    const forbidden: Array<[what: string, words: RegExp]> = [
      ['spraying or feeding gas at a running engine', /\b(spray|propane|starting fluid|carb(urettor)? cleaner)\b/i],
      [
        'opening the fuel system',
        /\b(fuel pressure gauge|open the fuel (line|rail)|pull the fuel line|remove the (fuel )?injector)\b/i,
      ],
      ['blocking exhaust-gas recirculation', /\bblock(ing)? (the )?(EGR|exhaust-gas)/i],
      ['pulling a coil or lead on a running engine', /\bpull (a|the|each) (coil|lead|plug wire)[^.]{0,40}running\b/i],
      ['heating or washing a sensor', /\b(torch|soak|solvent|brake cleaner)\b/i],
      ['opening a hot cooling system', /\bopen the (radiator )?cap\b(?![^.]{0,60}cold)/i],
    ];
    const broken = forbidden.flatMap(([what, words]) =>
      forOwners
        .filter((item) => words.test(item.text) && !(item.rule === 'clean-air-meter' && /spray/.test(item.text)))
        .filter(
          (item) =>
            !/\b(never|no|not|without)\b[^.]{0,30}\b(torch|soak|solvent|spray|petrol|brake cleaner)/i.test(item.text),
        )
        .map((item) => `${item.id} (${item.rule}): ${what}: ${item.text}`),
    );
    expect(broken).toEqual([]);
  });

  it('asks for running the engine only under a rule that says outdoors', () => {
    const indoors = forOwners.filter(
      (item) =>
        /\b(start|run|rev) the engine\b|engine running|at (warm |hot )?idle,? (listen|look)/i.test(item.text) &&
        !['running-outdoors', 'off-and-cool'].includes(knowledge.safety.byId.get(item.rule)!.engine) &&
        !['handbook-and-memory', 'drive-and-observe', 'read-codes'].includes(item.rule),
    );
    expect(indoors.map((item) => `${item.id} (${item.rule}): ${item.text}`)).toEqual([]);
  });
});
