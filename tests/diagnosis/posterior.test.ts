import { addNode, type INetwork, infer, inferences } from 'bayesjs';
import { describe, expect, it } from 'vitest';
import { modelCase } from '../../src/diagnosis/case-model.ts';
import { noEffects } from '../../src/diagnosis/effects.ts';
import { newEvaluator } from '../../src/diagnosis/evaluator.ts';
import { type Hypotheses, pairMass } from '../../src/diagnosis/hypotheses.ts';
import { airTaken } from '../../src/diagnosis/operating-points.ts';
import { allowedLeftOut, weigh } from '../../src/diagnosis/posterior.ts';
import { buildTable } from '../../src/diagnosis/settled-table.ts';
import type { Term } from '../../src/diagnosis/terms.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { code, denied, knowledge, reading, symptom, vSix } from './said.ts';

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

describe('the bounded posterior', () => {
  it.each(fullSize)('agrees with full enumeration to 1e-9: %s', (_name, findings) => {
    const bounded = modelCase(findings, knowledge);
    const full = modelCase(findings, knowledge, [], false);
    for (const world of bounded.worlds) expect(world.posterior.leftOut).toBeLessThanOrEqual(allowedLeftOut);
    for (const world of full.worlds) expect(world.posterior.skipped).toBe(0);
    bounded.attributed.probability.forEach((probability, fault) => {
      expect(Math.abs(probability - full.attributed.probability[fault]!)).toBeLessThan(1e-9);
    });
  });

  it('never lets a hypothesis exceed the bound of its block', () => {
    for (const [, findings] of fullSize) {
      const world = modelCase(findings, knowledge).worlds[0]!;
      const { start, faults } = world.hypotheses;
      for (let first = 0; first < faults.length; first += 5) {
        for (let second = first + 1; second < faults.length; second += 3) {
          const bound = world.evaluator.bound(first, second);
          let row = world.table.blockStart[first * (faults.length + 1) + second]!;
          for (let a = start[first]!; a < start[first + 1]!; a += 1) {
            for (let b = start[second]!; b < start[second + 1]!; b += 1) {
              expect(world.evaluator.likelihood(a, b, row++)).toBeLessThanOrEqual(bound * (1 + 1e-6));
            }
          }
        }
      }
    }
  });

  it('skips blocks when the findings decide much', () => {
    const decided = modelCase(
      [
        vSix,
        ...Array.from({ length: 8 }, (_, index) =>
          reading('total-trim', index < 4 ? 24 : -25, {
            bank: index < 4 ? 1 : 2,
            when: (['idle', '2500rpm', 'cruise', 'load'] as const)[index % 4]!,
          }),
        ),
        code('P0171'),
        code('P0175'),
        code('P0040'),
        code('P2195'),
      ],
      knowledge,
    );
    expect(decided.worlds[0]!.posterior.skipped).toBeGreaterThan(0);
    expect(
      decided.attributed.probability[knowledge.faults.findIndex((fault) => fault.id === 'sensors-crossed')],
    ).toBeGreaterThan(0.9);
  });
});

/** A small world: faults without physics, two marks each, so that the whole of it is an ordinary network. */
function smallWorld() {
  const faults = knowledge.faults.filter((fault) =>
    ['vacuum-leak', 'purge-valve-stuck-open', 'catalyst-worn'].includes(fault.id),
  );
  const hypotheses: Hypotheses = {
    faults,
    singles: faults.map((_, fault) => ({ fault, bank: null, severity: '', share: 1, effects: noEffects() })),
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
  const posterior = weigh(hypotheses, table, single, pair, newEvaluator(table, terms));
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
      expect(Math.abs(mass / posterior.total - run(network, { cause: state }, given))).toBeLessThan(1e-9);
    }
  });
});

describe('priors', () => {
  it('give pairs together the mass agreed on and the rest to single faults', () => {
    const world = modelCase([], knowledge).worlds[0]!;
    const alone = world.posterior.alone.reduce((sum, value) => sum + value, 0);
    const together = world.posterior.together.reduce((sum, value) => sum + value, 0);
    expect(together / (alone + together)).toBeCloseTo(pairMass, 2);
  });
});
