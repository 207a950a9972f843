import { addNode, type INetwork, infer, inferences } from 'bayesjs';
import { describe, expect, it } from 'vitest';
import { modelCase, type World } from '../../src/diagnosis/case-model.ts';
import { directLikelihood } from '../../src/diagnosis/direct-likelihood.ts';
import { noEffects } from '../../src/diagnosis/effects.ts';
import { newEvaluator } from '../../src/diagnosis/evaluator.ts';
import { type Hypotheses, pairMass } from '../../src/diagnosis/hypotheses.ts';
import { airTaken } from '../../src/diagnosis/operating-points.ts';
import { weigh } from '../../src/diagnosis/posterior.ts';
import { buildTable } from '../../src/diagnosis/settled-table.ts';
import type { Term } from '../../src/diagnosis/terms.ts';
import { assembleKnowledge } from '../../src/knowledge/knowledge.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { answer, code, denied, engine, knowledge, reading, symptom, vSix } from './said.ts';

const fullSize: ReadonlyArray<readonly [string, readonly Finding[]]> = [
  ['one code', [code('P0171')]],
  [
    'a lean V6',
    [
      vSix,
      code('P0171'),
      code('P0174'),
      reading('total-trim', 22, { when: 'idle', bank: 1 }),
      reading('total-trim', 19, { when: 'idle', bank: 2 }),
      reading('total-trim', 5, { when: '2500rpm', bank: 1 }),
      symptom('rough-idle'),
      denied('black-smoke'),
    ],
  ],
  [
    'much said',
    [
      vSix,
      code('P0300'),
      code('P0420'),
      ...[
        'rough-idle',
        'misfire',
        'low-power',
        'blue-smoke',
        'oil-use',
        'rotten-egg-smell',
        'failed-emission-test',
        'hard-start',
      ].map((id) => symptom(id)),
      reading('gas-hc', 900),
      reading('gas-co', 0.8),
      reading('coolant-temperature', 91),
    ],
  ],
];

/** Causes summed the slow way: every single and every pair, each from its own composed state. */
function enumerateDirectly(world: World, pair: Float64Array): Float64Array {
  const { hypotheses, table, terms, single } = world;
  const { singles, faults } = hypotheses;
  const likelihood = (...of: number[]) =>
    directLikelihood(terms, table, of).reduce((product, value) => product * value, 1);
  const masses = new Float64Array(faults.length * (faults.length + 1));
  singles.forEach((one, a) => {
    masses[one.fault]! += single[one.fault]! * one.share * likelihood(a);
    singles.forEach((other, b) => {
      if (b <= a || other.fault === one.fault) return;
      const at = faults.length + one.fault * faults.length + other.fault;
      const prior = pair[one.fault * faults.length + other.fault]! * one.share * other.share;
      if (prior > 0) masses[at]! += prior * likelihood(a, b);
    });
  });
  const total = masses.reduce((sum, mass) => sum + mass, 0);
  return masses.map((mass) => mass / total);
}

describe('the posterior', () => {
  it.each(fullSize)('agrees with an enumeration of composed states to 1e-9: %s', (_name, findings) => {
    for (const world of modelCase(findings, knowledge).worlds) {
      const { alone, together } = world.posterior;
      const direct = enumerateDirectly(world, world.pair);
      const worst = direct.reduce((most, mass, index) => {
        const found = index < alone.length ? alone[index]! : together[index - alone.length]!;
        return Math.max(most, Math.abs(found - mass));
      }, 0);
      expect(worst).toBeLessThan(1e-9);
      expect(direct.length).toBe(alone.length + together.length);
    }
  });

  it('weighs two faults as their composed state does, table or no table', () => {
    for (const [, findings] of fullSize) {
      const { table, terms, evaluator } = modelCase(findings, knowledge).worlds[0]!;
      for (let first = 0; first < table.nobody; first += 11) {
        for (let second = first + 1; second <= table.nobody; second += 5) {
          const direct = directLikelihood(terms, table, [first, second]);
          const sum = direct.reduce((total, value) => total + Math.log(value), 0);
          expect(evaluator.both(first, second)).toBeCloseTo(sum, 9);
          terms.forEach((_, term) => {
            expect(Math.abs(Math.log(evaluator.ofTerm(term, first, second) / direct[term]!))).toBeLessThan(1e-9);
          });
        }
      }
    }
  });

  it('stays finite and sums to 1 when hundreds of findings contradict each other', () => {
    const absurd = (['idle', '2500rpm', 'cruise', 'load'] as const).flatMap((when, place) =>
      [1, 2].flatMap((bank) =>
        (
          [
            ['total-trim', place % 2 ? 55 : -44],
            ['sensor-voltage', place % 2 ? 0 : 1.2],
            ['gas-co', 9],
            ['gas-o2', 19],
            ['gas-hc', 20_000],
            ['gas-co2', 1],
            ['gas-nox', 9000],
            ['air-flow', 400],
            ['manifold-pressure', 250],
            ['fuel-pressure', 30],
            ['back-pressure', 90],
            ['misfire-count', 9000],
          ] as const
        ).map(([quantity, value]) => reading(quantity, value, { when, bank, sensor: 1 })),
      ),
    );
    const codes = knowledge.codes.map(({ id }) => code(id));
    const symptoms = knowledge.symptoms.map(({ id }, index) => (index % 2 ? symptom(id) : denied(id)));
    const { attributed } = modelCase([vSix, ...absurd, ...codes, ...symptoms], knowledge);
    expect(attributed.probability.every(Number.isFinite)).toBe(true);
    expect(attributed.probability.reduce((sum, value) => sum + value, 0)).toBeCloseTo(1, 9);
  });
});

/** A small world: faults without physics, two marks each, so that the whole of it is an ordinary network. */
function smallWorld() {
  const faults = knowledge.faults.filter((fault) =>
    ['vacuum-leak', 'purge-valve-stuck-open', 'catalyst-worn'].includes(fault.id),
  );
  const hypotheses: Hypotheses = {
    faults,
    singles: faults.map((_, fault) => ({
      fault,
      bank: null,
      mainBank: null,
      severity: '',
      share: 1,
      effects: noEffects(),
    })),
    start: Int32Array.from([0, 1, 2, 3]),
    aloneOnly: [false, false, false],
  };
  const table = buildTable(hypotheses, airTaken(2), {
    banks: 1,
    manifoldPressureMetering: false,
  });
  const mark = (absence: number[], present: boolean, noticed: number): Term => ({
    kind: 'yes-no',
    findings: ['x'],
    strength: 1,
    about: { symptom: 'x' },
    backgroundAbsence: 0.93,
    ownAbsence: Float64Array.from(absence),
    drivers: [],
    present,
    noticed,
  });
  const terms = [mark([0.4, 0.9, 1], true, 0.9), mark([0.7, 0.3, 0.95], true, 0.9), mark([1, 0.5, 0.2], false, 0.8)];
  const single = Float64Array.from([0.5, 0.25, 0.13]);
  const pair = Float64Array.from([0, 0.06, 0.04, 0, 0, 0.02, 0, 0, 0]);
  return { hypotheses, table, terms, single, pair };
}

/** A row of a table in the library's form; its field `then` is spelt here alone, since objects with it look like promises. */
function whenThen(when: Record<string, string>, probabilities: Record<string, number>) {
  return Object.fromEntries([
    ['when', when],
    ['then', probabilities],
  ]) as { when: Record<string, string>; then: Record<string, number> };
}

describe('the posterior on a small network', () => {
  const { hypotheses, table, terms, single, pair } = smallWorld();
  const posterior = weigh(hypotheses, single, pair, newEvaluator(table, terms));
  const states = ['0', '1', '2', '01', '02', '12'];
  const prior: Record<string, number> = { '0': 0.5, '1': 0.25, '2': 0.13, '01': 0.06, '02': 0.04, '12': 0.02 };
  let network: INetwork = addNode({}, { id: 'cause', states, parents: [], cpt: prior });
  terms.forEach((term, index) => {
    if (term.kind !== 'yes-no') return;
    network = addNode(network, {
      id: `mark${index}`,
      states: ['said', 'not'],
      parents: ['cause'],
      cpt: states.map((state) => {
        const absent = [...state].reduce(
          (product, fault) => product * term.ownAbsence[Number(fault)]!,
          term.backgroundAbsence,
        );
        // A mark that is denied was noticed to be absent: the network's "not" is what the owner reports.
        const said = term.present ? 1 - absent : term.noticed * (1 - absent);
        return whenThen({ cause: state }, { said, not: 1 - said });
      }),
    });
  });
  const given = { mark0: 'said', mark1: 'said', mark2: 'not' };

  // from: bayesjs 0.6.5, junction tree and enumeration.
  it.each([
    ['junction tree', infer],
    ['enumeration', inferences.enumeration.infer],
    ['variable elimination', inferences.variableElimination.infer],
  ] as const)('agrees with a general library (%s) to 1e-9', (_name, run) => {
    for (const state of states) {
      const [first, second] = [...state].map(Number);
      const mass = second === undefined ? posterior.alone[first!]! : posterior.together[first! * 3 + second]!;
      expect(Math.abs(mass - run(network, { cause: state }, given))).toBeLessThan(1e-9);
    }
  });
});

describe('worlds and answers on a small network', () => {
  // Two ways in which the engine may be built, two faults at all severities and their pairs, and an answered question: the library is slow.
  const faults = ['vacuum-leak', 'map-sensor-faulty'];
  const small = assembleKnowledge(
    { ...knowledge, faults: knowledge.faults.filter((fault) => faults.includes(fault.id)) },
    'two faults',
  );
  const findings = [
    engine({ layout: 'inline', cylinders: 4, displacement: 2 }),
    reading('total-trim', 17, { when: 'idle' }),
    reading('total-trim', 5, { when: '2500rpm' }),
    code('P0171'),
    symptom('rough-idle'),
    answer('hose-look', 'yes'),
  ];
  const model = modelCase(findings, small);

  // from: bayesjs 0.6.5, variable elimination, over world x cause with one mark for each term.
  it('agree with a general library to 1e-9', () => {
    expect(model.worlds.length).toBe(2);
    expect(model.worlds[0]!.terms.some((term) => term.kind === 'factor' && 'question' in term.about)).toBe(true);
    const worlds = model.worlds.map((_, index) => `w${index}`);
    // The weights before any evidence: what is known of each way of metering.
    const before = model.worlds.map(
      (world) =>
        model.engine.metering.find(
          (item) => (item.metering === 'manifold-pressure') === world.around.manifoldPressureMetering,
        )!.weight,
    );
    let network: INetwork = addNode(
      {},
      {
        id: 'world',
        states: worlds,
        parents: [],
        cpt: Object.fromEntries(worlds.map((world, index) => [world, before[index]!])),
      },
    );
    const causes = model.worlds.map((world) => hypothesesOf(world));
    const states = causes[0]!.map((cause) => cause.name);
    expect(causes[1]!.map((cause) => cause.name)).toEqual(states);
    network = addNode(network, {
      id: 'cause',
      states,
      parents: ['world'],
      cpt: worlds.map((world, index) =>
        whenThen({ world }, Object.fromEntries(causes[index]!.map((cause) => [cause.name, cause.prior]))),
      ),
    });
    const marks = model.worlds[0]!.terms.map((_, term) => `mark${term}`);
    marks.forEach((id, term) => {
      // A density or a factor may exceed 1: each term is scaled by one number in both worlds, which no posterior sees.
      const most = Math.max(...causes.flatMap((list) => list.map((cause) => cause.likelihood[term]!)));
      network = addNode(network, {
        id,
        states: ['seen', 'not'],
        parents: ['world', 'cause'],
        cpt: worlds.flatMap((world, index) =>
          causes[index]!.map((cause) => {
            const seen = cause.likelihood[term]! / most;
            return whenThen({ world, cause: cause.name }, { seen, not: 1 - seen });
          }),
        ),
      });
    });
    const evidence = Object.fromEntries(marks.map((id) => [id, 'seen']));
    const run = inferences.variableElimination.infer;
    worlds.forEach((world, index) => {
      expect(Math.abs(run(network, { world }, evidence) - model.worlds[index]!.weight)).toBeLessThan(1e-9);
    });
    small.faults.forEach((fault, index) => {
      const alone = states.filter((state) => state.startsWith(`${index}.`));
      const expected = alone.reduce((sum, cause) => sum + run(network, { cause }, evidence), 0);
      const found = model.worlds.reduce((sum, world) => sum + world.weight * world.posterior.alone[index]!, 0);
      expect(Math.abs(found - expected), fault.id).toBeLessThan(1e-9);
    });
  });
});

/** Every single and pair of a world as one state of a node: its name, its prior, and the likelihood of each term from its state. */
function hypothesesOf(world: World): Array<{ name: string; prior: number; likelihood: Float64Array }> {
  const { hypotheses, table, terms, single, pair } = world;
  const { singles, faults } = hypotheses;
  const named = (index: number) => `${singles[index]!.fault}.${index - hypotheses.start[singles[index]!.fault]!}`;
  return singles.flatMap((one, a) => [
    { name: named(a), prior: single[one.fault]! * one.share, likelihood: directLikelihood(terms, table, [a]) },
    ...singles.flatMap((other, b) => {
      if (b <= a || other.fault === one.fault) return [];
      const prior = pair[one.fault * faults.length + other.fault]! * one.share * other.share;
      const name = `pair${named(a)}&${named(b)}`;
      return [{ name, prior, likelihood: directLikelihood(terms, table, [a, b]) }];
    }),
  ]);
}

describe('priors', () => {
  it('give pairs together the mass agreed on and the rest to single faults', () => {
    const world = modelCase([], knowledge).worlds[0]!;
    const alone = world.posterior.alone.reduce((sum, value) => sum + value, 0);
    const together = world.posterior.together.reduce((sum, value) => sum + value, 0);
    expect(together / (alone + together)).toBeCloseTo(pairMass, 2);
  });
});
