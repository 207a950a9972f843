import { describe, expect, it } from 'vitest';
import type { Diagnosis } from '../../src/diagnosis/diagnosis.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import {
  advised,
  answer,
  code,
  derived,
  diagnosis,
  engine,
  knowledge,
  reading,
  request,
  step,
  symptom,
  work,
} from './build.ts';

/** Inside: the caution applies. Outside: the nearest case in which it must not. */
const pairs: Array<{
  caution: string;
  limit: string;
  inside: [Finding[], Diagnosis?];
  outside: [Finding[], Diagnosis?];
  from: string;
}> = [
  {
    caution: 'do-not-drive',
    limit: 'fuel leaks, or only smells',
    inside: [[symptom('fuel-leak')]],
    outside: [[symptom('fuel-smell')]],
    from: 'petrol-safety-sheets',
  },
  {
    caution: 'do-not-drive',
    limit: 'exhaust smell inside, or denied',
    inside: [[symptom('exhaust-smell-in-cabin')]],
    outside: [[symptom('exhaust-smell-in-cabin', { stated: 'denied' })]],
    from: 'niosh-co',
  },
  {
    caution: 'fuel-fire',
    limit: 'smell of fuel now, or in the past',
    inside: [[symptom('fuel-smell')]],
    outside: [[symptom('fuel-smell', { time: 'before' })]],
    from: 'petrol-safety-sheets',
  },
  {
    caution: 'fuel-fire',
    limit: 'soaking in petrol, or cleaning an air meter',
    inside: [[request('cleaning', 'petrol-soak')]],
    outside: [[request('cleaning', 'air-meter')]],
    from: 'petrol-safety-sheets',
  },
  {
    caution: 'fuel-fire',
    limit: 'leaking injector at 0.30',
    inside: [[], diagnosis([['injector-leaking', 0.3]])],
    outside: [[], diagnosis([['injector-leaking', 0.29]])],
    from: 'judgement',
  },
  {
    caution: 'co-poisoning',
    limit: 'exhaust leak at 0.50',
    inside: [[], diagnosis([['exhaust-leak-upstream', 0.5]])],
    outside: [[], diagnosis([['exhaust-leak-upstream', 0.49]])],
    from: 'judgement',
  },
  {
    caution: 'co-poisoning',
    limit: 'engine to be run while it runs rich, or not',
    inside: [[symptom('black-smoke')], diagnosis([], { plan: [step('read-live-data')] })],
    outside: [[symptom('hissing')], diagnosis([], { plan: [step('read-live-data')] })],
    from: 'iowa-state-garage-co',
  },
  {
    caution: 'child-or-confined-space',
    limit: 'asks about fumes in a garage, or about short trips',
    inside: [[request('how-to', 'fumes-in-a-closed-space')]],
    outside: [[request('how-to', 'short-trips')]],
    from: 'niosh-co',
  },
  {
    caution: 'catalyst-fire',
    limit: 'misfire with a catalyst code, or without',
    inside: [[symptom('misfire'), code('P0420')]],
    outside: [[symptom('misfire'), code('P0171')]],
    from: 'forest-service-catalyst',
  },
  {
    caution: 'catalyst-fire',
    limit: 'catalyst at 900 degC',
    inside: [[reading('catalyst-temperature', 900)]],
    outside: [[reading('catalyst-temperature', 899)]],
    from: 'forest-service-catalyst',
  },
  {
    caution: 'flashing-light',
    limit: 'flashing, or steady',
    inside: [[symptom('check-engine-light-flashing')]],
    outside: [[symptom('check-engine-light'), symptom('misfire')]],
    from: 'maker-misfire-texts',
  },
  {
    caution: 'hybrid-high-voltage',
    limit: 'a hybrid, or a car whose name only holds the word',
    inside: [[engine({ vehicle: 'Honda Civic Hybrid' })]],
    outside: [[engine({ vehicle: 'Honda Civic' })]],
    from: 'hybrid-maker-warnings',
  },
  {
    caution: 'fuel-pressure',
    limit: 'how to change the pump, or the plugs',
    inside: [[request('how-to', 'fuel-pump')]],
    outside: [[request('how-to', 'spark-plugs')]],
    from: 'common practice',
  },
  {
    caution: 'fuel-pressure',
    limit: 'weak delivery at 0.40',
    inside: [[], diagnosis([['fuel-delivery-weak', 0.4]])],
    outside: [[], diagnosis([['fuel-delivery-weak', 0.39]])],
    from: 'judgement',
  },
  {
    caution: 'jack-stands',
    limit: 'the rear sensor is asked for, or the front one',
    inside: [[request('location', 'bank-1-sensor-2')]],
    outside: [[request('location', 'bank-1-sensor-1')]],
    from: 'nhtsa-jack-note',
  },
  {
    caution: 'jack-stands',
    limit: 'next step is from below, or from above',
    inside: [[], diagnosis([], { plan: [step('under-car')] })],
    outside: [[], diagnosis([], { plan: [step('look-cold'), step('under-car')] })],
    from: 'nhtsa-jack-note',
  },
  {
    caution: 'sensor-cleaning',
    limit: 'a sensor to be cleaned, or the throttle',
    inside: [[request('cleaning', 'oxygen-sensor')]],
    outside: [[request('cleaning', 'throttle-body')]],
    from: 'sensor-makers-advice',
  },
  {
    caution: 'sensor-cleaning',
    limit: 'was cleaned, or was replaced',
    inside: [[work('cleaned', 'oxygen-sensor')]],
    outside: [[work('replaced', 'oxygen-sensor')]],
    from: 'sensor-makers-advice',
  },
  {
    caution: 'airbag-or-brake-out-of-scope',
    limit: 'asks about brakes, or about the brake booster’s place',
    inside: [[request('how-to', 'brakes-out-of-scope')]],
    outside: [[request('location', 'vacuum-hose')]],
    from: 'common practice',
  },
  {
    caution: 'high-voltage-ignition',
    limit: 'asks how to swap coils, or how to read codes',
    inside: [[request('how-to', 'ignition-coils')]],
    outside: [[request('how-to', 'what-a-code-says')]],
    from: 'common practice',
  },
  {
    caution: 'tampering-illegal',
    limit: 'wants to fool it, or to know what it does',
    inside: [[request('tampering')]],
    outside: [[request('how-to', 'rear-sensor-effect')]],
    from: 'us-clean-air-act-203',
  },
  {
    caution: 'hot-exhaust',
    limit: 'where a sensor is, or where the air meter is',
    inside: [[request('location', 'bank-2-sensor-1')]],
    outside: [[request('location', 'air-meter')]],
    from: 'iso-13732-1',
  },
  {
    caution: 'hot-exhaust',
    limit: 'first step at the exhaust, or the second',
    inside: [[], diagnosis([], { plan: [step('measure-cold-electrical'), step('look-cold')] })],
    outside: [[], diagnosis([], { plan: [step('look-cold'), step('measure-cold-electrical')] })],
    from: 'iso-13732-1',
  },
  {
    caution: 'moving-parts',
    limit: 'listens to a hiss at a running engine, or at a cold one',
    inside: [[symptom('hissing')], diagnosis([], { plan: [step('look-and-listen-running')] })],
    outside: [[symptom('hissing')], diagnosis([], { plan: [step('look-cold')] })],
    from: 'common practice',
  },
  {
    caution: 'eye-and-skin',
    limit: 'asks how to, with a step from below, or only has the step',
    inside: [[request('how-to', 'exhaust-pipe')], diagnosis([], { plan: [step('under-car')] })],
    outside: [[], diagnosis([], { plan: [step('under-car')] })],
    from: 'judgement',
  },
  {
    caution: 'seized-sensor',
    limit: 'how to remove it, or where it is',
    inside: [[request('how-to', 'downstream-sensor')]],
    outside: [[request('location', 'downstream-sensor')]],
    from: 'common practice',
  },
  {
    caution: 'battery-disconnect',
    limit: 'battery was disconnected, or replaced',
    inside: [[work('disconnected', 'battery')]],
    outside: [[work('replaced', 'battery')]],
    from: 'common practice',
  },
  {
    caution: 'contaminants',
    limit: 'uses oil with a sensor code, or a trim code',
    inside: [[symptom('oil-use'), code('P0133')]],
    outside: [[symptom('oil-use'), code('P0171')]],
    from: 'sensor-maker-damage-patterns',
  },
  {
    caution: 'contaminants',
    limit: 'poisoned sensor at 0.25',
    inside: [[], diagnosis([['sensor-poisoned', 0.25]])],
    outside: [[], diagnosis([['sensor-poisoned', 0.24]])],
    from: 'judgement',
  },
  {
    caution: 'licensed-practice',
    limit: 'how to mend the fuel line, or why it smells',
    inside: [[request('how-to', 'fuel-pressure-regulator')]],
    outside: [[request('diagnosis'), symptom('fuel-smell')]],
    from: 'common practice',
  },
  {
    caution: 'local-rules',
    limit: 'failed the test now, or in the past',
    inside: [[symptom('failed-emission-test')]],
    outside: [[symptom('failed-emission-test', { time: 'before' })]],
    from: 'common practice',
  },
];

/** Signs that an answer to a question gives, beside the symptoms. */
const bySmell = (choice: string) => [answer('smell', choice, { post: 1 })];

const ids = (findings: Finding[], found?: Diagnosis) => advised(findings, found).cautions.map((caution) => caution.id);

describe('chooseCautions', () => {
  it.each(pairs)('$caution, just inside and just outside: $limit', ({ caution, inside, outside }) => {
    expect(ids(...inside)).toContain(caution);
    expect(ids(...outside)).not.toContain(caution);
  });

  it('has a pair for every caution of the knowledge base', () => {
    const untried = knowledge.cautions.filter((entry) => !pairs.some((pair) => pair.caution === entry.id));
    expect(untried.map((entry) => entry.id)).toEqual([]);
  });

  it('holds exactly the cautions of the vocabulary', () => {
    const vocabulary =
      'hot-exhaust moving-parts jack-stands co-poisoning fuel-fire fuel-pressure eye-and-skin high-voltage-ignition battery-disconnect catalyst-fire flashing-light do-not-drive tampering-illegal hybrid-high-voltage seized-sensor sensor-cleaning contaminants licensed-practice local-rules child-or-confined-space airbag-or-brake-out-of-scope'.split(
        ' ',
      );
    expect(knowledge.cautions.map((entry) => entry.id)).toEqual([...vocabulary].sort());
  });

  it('puts the most dangerous first and shows none by itself', () => {
    const { cautions } = advised([symptom('check-engine-light-flashing'), symptom('fuel-leak'), request('tampering')]);
    const dangers = cautions.map((caution) => knowledge.cautions.byId.get(caution.id)!.danger);
    expect(dangers).toEqual([...dangers].sort((a, b) => b - a));
    expect(cautions.every((caution) => !caution.shown)).toBe(true);
    expect(cautions[0]!.id).toBe('do-not-drive');
  });

  it('does not take a question about a topic for work on the part', () => {
    expect(ids([request('how-to', 'sensor-life'), request('how-to', 'wiring-first')])).toEqual([]);
  });

  it('gives no help with reaching a part that is to be fooled', () => {
    const wants = [
      request('tampering'),
      request('location', 'bank-1-sensor-2'),
      request('how-to', 'downstream-sensor'),
    ];
    expect(ids(wants)).toEqual(['tampering-illegal']);
    expect(advised(wants).where).toEqual([]);
  });

  it('says none about a harmless post', () => {
    expect(ids([code('P0171'), symptom('rough-idle'), request('diagnosis')])).toEqual([]);
  });

  it('does not raise a sign of another car, nor one that was only asked about long ago', () => {
    expect(ids([symptom('fuel-leak', { car: 1 })])).toEqual([]);
    expect(ids([request('tampering', null, { post: 0 }), symptom('rough-idle', { post: 1 })])).toEqual([]);
  });

  it('counts a doubtful danger sign as a sign', () => {
    expect(ids([symptom('exhaust-smell-in-cabin', { stated: 'unsure' })])).toContain('do-not-drive');
  });

  it('lifts a sign that a later post takes back, but not one that is denied for another condition', () => {
    const smells = symptom('fuel-smell', { when: 'idle' });
    expect(ids([smells, symptom('fuel-smell', { stated: 'denied', post: 1 })])).not.toContain('fuel-fire');
    expect(ids([smells, symptom('fuel-smell', { stated: 'denied', post: 1, when: 'cruise' })])).toContain('fuel-fire');
    expect(ids([smells, symptom('fuel-smell', { stated: 'denied', post: 0 })])).toContain('fuel-fire');
  });

  it('takes the answer to a question about a sign as the sign', () => {
    const question = knowledge.questions.find(
      (entry) => entry.model.by === 'symptom' && entry.model.symptom === 'check-engine-light-flashing',
    )!;
    expect(ids([answer(question.id, question.answers[0]!.id, { post: 1 })])).toContain('flashing-light');
    expect(ids([answer(question.id, question.answers[1]!.id, { post: 1 })])).not.toContain('flashing-light');
  });

  it('takes raw fuel named in answer to the question about smells as a sign, rotten eggs not', () => {
    expect(ids(bySmell('fuel'))).toContain('fuel-fire');
    expect(advised(bySmell('fuel')).driving).toBe('limit');
    expect(ids(bySmell('eggs'))).not.toContain('fuel-fire');
    expect(advised(bySmell('eggs')).driving).toBe('ok');
  });

  it('takes richness from a calculator as well as from a reading', () => {
    const plan = diagnosis([], { plan: [step('read-live-data')] });
    const rich = advised([], plan, { derived: [derived('total-trim', -20)] });
    const right = advised([], plan, { derived: [derived('total-trim', -19)] });
    const unknown = advised([], plan, { derived: [derived('total-trim', null)] });
    expect(rich.cautions.map((item) => item.id)).toContain('co-poisoning');
    expect([...right.cautions, ...unknown.cautions]).toEqual([]);
  });

  it('looks at the next step that was not yet put to the owner', () => {
    const plan = diagnosis([], { plan: [step('look-cold'), step('remove-sensor')] });
    const first = advised([], plan);
    const second = advised([], plan, { current: { stepsShown: ['do look-cold'] } });
    expect(first.cautions).toEqual([]);
    expect(second.cautions.map((item) => item.id)).toEqual(['jack-stands', 'hot-exhaust', 'seized-sensor']);
  });

  it('leaves out the cautions of work that a workshop does, unless the owner asks how to do it', () => {
    const plan = diagnosis([], { plan: [step('fuel-system')] });
    expect(ids([], plan)).toEqual([]);
    expect(ids([request('how-to', null)], plan)).toEqual(['fuel-fire', 'fuel-pressure', 'licensed-practice']);
  });
});
