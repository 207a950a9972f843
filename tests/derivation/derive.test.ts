// What is made of a case's figures: which calculators run, what they say, and what they leave alone.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { derive } from '../../src/derivation/derive.ts';
import { kinds } from '../../src/knowledge/kinds.ts';
import { assembleKnowledge, type KnowledgeEntries } from '../../src/knowledge/knowledge.ts';
import { derived as derivedSchema } from '../../src/vocabulary/answer-document.ts';
import type { Finding, ReadingFinding } from '../../src/vocabulary/findings.ts';
import { conditions, type Quantity, quantities, quantityIds } from '../../src/vocabulary/quantities.ts';
import { readKind } from '../knowledge/read-kind.ts';
import { anEngine, aReading, aRequest } from './a-finding.ts';

/** Limits and sources alone: all that derivation reads. */
const empty = Object.fromEntries(Object.keys(kinds).map((name) => [name, []]));
const knowledge = assembleKnowledge(
  { ...empty, limits: readKind('limits').map((item) => item.entry) } as unknown as KnowledgeEntries,
  'test',
);
const run = (findings: readonly Finding[]) => derive(findings, knowledge);
const byCalculator = (findings: readonly Finding[], calculator: string) =>
  run(findings).filter((result) => result.calculator === calculator);

const gas = (co: number, co2: number, o2: number, hc: number, rest: Partial<ReadingFinding> = {}) => [
  aReading('gas-co', co, rest),
  aReading('gas-co2', co2, rest),
  aReading('gas-o2', o2, rest),
  aReading('gas-hc', hc, rest),
];
const trims = (bank: number | null, when: ReadingFinding['when'], short: number, long: number) => [
  aReading('short-term-trim', short, { bank, when }),
  aReading('long-term-trim', long, { bank, when }),
];

describe('gas readings', () => {
  it('become lambda with the arithmetic, by the constants of garage analysers', () => {
    const [lambda] = byCalculator(gas(3, 12.6, 0.3, 250), 'lambda-from-gas');
    // Worked by hand: 20.56573 / 22.40792.
    expect(lambda!.result).toBeCloseTo(0.91779, 4);
    expect(lambda!.says).toContain('0.918: rich');
    expect(lambda!.steps.join('\n')).toContain('1.7261');
    expect(lambda!.steps.at(-2)).toBe('lambda = 20.566 / 22.408 = 0.918');
    expect(lambda!.inputs.every((input) => input.finding !== null)).toBe(true);
  });

  it('are kept apart by condition, and a figure without one serves both', () => {
    const results = byCalculator(
      [
        ...gas(0.2, 14.8, 0.4, 60, { when: 'idle' }),
        aReading('gas-co', 2, { when: '2500rpm' }),
        aReading('gas-co2', 13.4, { when: '2500rpm' }),
        aReading('gas-o2', 0.2, { when: '2500rpm' }),
        aReading('gas-hc', 90),
      ],
      'lambda-from-gas',
    );
    expect(results.map((result) => [result.id, result.when])).toEqual([
      ['lambda-from-gas.idle', 'idle'],
      ['lambda-from-gas.2500rpm', '2500rpm'],
    ]);
    expect(results[1]!.result!).toBeLessThan(0.96);
  });

  it('use the fuel that the post names', () => {
    const petrol = byCalculator(gas(0.5, 10.9, 0.6, 100), 'lambda-from-gas')[0]!;
    const cng = byCalculator([...gas(0.5, 10.9, 0.6, 100), anEngine({ fuel: 'cng' })], 'lambda-from-gas')[0]!;
    expect(cng.steps[0]).toContain('natural gas');
    expect(cng.result).not.toBe(petrol.result);
  });

  it('that cannot be true come back invalid, with a reason and no figure', () => {
    const [lambda] = byCalculator(gas(0.2, 14.8, 18, 60), 'lambda-from-gas');
    expect(lambda).toMatchObject({ valid: false, result: null });
    expect(lambda!.because).toContain('oxygen');
    expect(run(gas(0.2, 14.8, 18, 60)).filter((result) => result.calculator === 'gas-pattern')).toEqual([]);
  });

  it('without HC are worked out with none, and say so', () => {
    const [lambda] = byCalculator(gas(3, 12.6, 0.3, 250).slice(0, 3), 'lambda-from-gas');
    expect(lambda!.steps[0]).toContain('HC not given');
    expect(lambda!.inputs.at(-1)).toMatchObject({ name: 'HC', value: 0, finding: null });
  });

  it('with too little exhaust in them correct CO', () => {
    const [co] = byCalculator(gas(1.5, 11, 3, 150), 'corrected-co');
    expect(co!.result).toBeCloseTo(1.8, 9);
    expect(byCalculator(gas(0.5, 14.9, 0.2, 60), 'corrected-co')).toEqual([]);
  });
});

describe('trims', () => {
  it('become a total for each bank and condition', () => {
    const results = byCalculator(
      [...trims(1, 'idle', 8, 12), ...trims(2, 'idle', -1, 2), ...trims(1, '2500rpm', 1, 4)],
      'total-trim',
    );
    expect(results.map(({ id, result, bank, when }) => [id, result, bank, when])).toEqual([
      ['total-trim.b1.idle', 20, 1, 'idle'],
      ['total-trim.b2.idle', 1, 2, 'idle'],
      ['total-trim.b1.2500rpm', 5, 1, '2500rpm'],
    ]);
    expect(results[0]!.steps[1]).toContain('+21.0 %');
  });

  it('of two banks are held against each other', () => {
    const [difference] = byCalculator([...trims(1, 'idle', 8, 12), ...trims(2, 'idle', 0, 2)], 'bank-difference');
    expect(difference!.result).toBe(18);
    expect(difference!.says).toContain('Bank 1');
    const [opposite] = byCalculator([...trims(1, 'idle', 10, 12), ...trims(2, 'idle', -10, -13)], 'bank-difference');
    expect(opposite!.says).toContain('swapped');
  });

  it('at two speeds tell a leak from a general error, with the flows that were read', () => {
    const [split] = byCalculator(
      [
        ...trims(1, 'idle', 5, 20),
        ...trims(1, '2500rpm', 1, 6),
        aReading('air-flow', 2.4, { when: 'idle' }),
        aReading('air-flow', 8.4, { when: '2500rpm' }),
      ],
      'leak-split',
    );
    // Mass balance by hand: 26.0 = L/2.4 + e, 7.06 = L/8.4 + e.
    expect(split!.result).toBeCloseTo((26 - 7.06) / (1 / 2.4 - 1 / 8.4) / 100, 3);
    expect(split!.says).toContain('leak');
    expect(split!.bank).toBe(1);
    expect(split!.steps.some((step) => step.includes('not given'))).toBe(false);
  });

  it('say when the air flow had to be taken as usual', () => {
    const [split] = byCalculator([...trims(1, 'idle', 5, 20), ...trims(1, '2500rpm', 1, 6)], 'leak-split');
    expect(split!.steps.at(-1)).toContain('rough');
    expect(split!.says).toContain('fixed leak');
  });

  it('do not read a share out of an air flow that nobody stated', () => {
    // A leak that shrinks with the vacuum gives too little at 2,500 1/min; with a guessed flow that is no proof of a rich share.
    const [split] = byCalculator(
      [
        ...trims(1, 'idle', 20, 29),
        ...trims(1, '2500rpm', 1, 7),
        aReading('air-flow', 1.5, { when: 'idle' }),
        anEngine({ displacement: 1.2 }),
      ],
      'leak-split',
    );
    expect(split!.says).toContain('fixed leak');
    expect(split!.says).not.toContain('every speed');
  });

  it('of an engine that measures manifold pressure are not split', () => {
    const findings = [
      ...trims(1, 'idle', 5, 20),
      ...trims(1, '2500rpm', 1, 6),
      anEngine({ airMetering: 'manifold-pressure' }),
    ];
    expect(byCalculator(findings, 'leak-split')).toEqual([]);
  });

  it('stand by their learned part when no short-term figure is given, and not by the short one alone', () => {
    const learned = byCalculator([aReading('long-term-trim', 14, { when: 'idle' })], 'total-trim');
    expect(learned.map((result) => result.result)).toEqual([14]);
    expect(learned[0]!.steps[0]).toContain('no short-term figure was given');
    expect(byCalculator([aReading('short-term-trim', 14, { when: 'idle' })], 'total-trim')).toEqual([]);
  });

  it('of a bank that is not there (99.2 %) are left alone', () => {
    expect(byCalculator(trims(2, 'idle', 99.2, 99.2), 'total-trim')).toEqual([]);
  });
});

describe('consumption', () => {
  it('is compared with what was usual', () => {
    const [loss] = byCalculator(
      [aReading('fuel-consumption', 8, { time: 'before' }), aReading('fuel-consumption', 11.2)],
      'consumption-loss',
    );
    expect(loss!.result).toBeCloseTo(40, 9);
    expect(loss!.says).toContain('more than a wrong mixture alone could cost');
  });

  it('alone says nothing', () => {
    expect(byCalculator([aReading('fuel-consumption', 11.2)], 'consumption-loss')).toEqual([]);
  });
});

describe('in-service limits', () => {
  const readings = [...gas(0.25, 14.9, 0.3, 60, { when: 'idle' }), ...gas(0.4, 14.6, 0.3, 250, { when: '2500rpm' })];

  it('are those of the place that the post names, with what fails', () => {
    const results = byCalculator(
      [...readings, aRequest('would it pass the MOT'), anEngine({ year: 2006 })],
      'in-service-limit',
    );
    expect(results.map((result) => result.id)).toEqual(['in-service-limit.uk-catalyst-2002']);
    expect(results[0]!.says).toContain('fails');
    expect(results[0]!.says).toContain('CO at 2,500 rpm 0.40 is above 0.2');
    expect(results[0]!.source).toContain('uk-sched-7b');
    expect(results[0]!.result!).toBeLessThan(0);
  });

  it('without a place are summed up over all programmes', () => {
    const [result] = byCalculator(readings, 'in-service-limit');
    expect(result!.says).toMatch(/break \d+ of the \d+ sets/);
    expect(result!.steps.length).toBeGreaterThan(5);
  });

  it('do not take a motor for an MOT', () => {
    expect(byCalculator([...readings, aRequest('the motor runs rough')], 'in-service-limit')[0]!.id).toBe(
      'in-service-limit',
    );
  });

  it('of the other years of the place stay out', () => {
    const results = byCalculator(
      [...readings, aRequest('failed its mot'), anEngine({ year: 1990 })],
      'in-service-limit',
    );
    expect(results.map((result) => result.id)).toEqual(['in-service-limit.uk-1986']);
  });
});

describe('single figures', () => {
  it('of an air meter are held against the engine', () => {
    const [flow] = byCalculator(
      [aReading('air-flow', 1.1, { when: 'idle' }), anEngine({ displacement: 2 })],
      'air-flow',
    );
    expect(flow!.says).toContain('low');
    expect(byCalculator([aReading('air-flow', 1.1, { when: 'idle' })], 'air-flow')).toEqual([]);
  });

  it('of a heater and of switching are judged by sensor', () => {
    expect(
      byCalculator([aReading('heater-resistance', 9, { bank: 1, sensor: 1 })], 'heater-resistance')[0]!.says,
    ).toContain('plausible');
    expect(byCalculator([aReading('switches', 0.2, { bank: 1, sensor: 1 })], 'sensor-signal')[0]!.says).toContain(
      'slow',
    );
    expect(byCalculator([aReading('switches', 0.2, { bank: 1, sensor: 2 })], 'sensor-signal')).toEqual([]);
  });
});

describe('before and after', () => {
  it('are compared for the same bank and condition', () => {
    const before = trims(1, 'idle', 8, 16).map((reading) => ({ ...reading, time: 'before' as const }));
    const [change] = byCalculator([...before, ...trims(1, 'idle', 1, 2)], 'before-and-after');
    expect(change!.result).toBe(-21);
    expect(change!.says).toContain('better');
  });
});

describe('whatever the findings are', () => {
  const reading = fc
    .record({
      quantity: fc.constantFrom(...quantityIds),
      share: fc.double({ min: 0, max: 1, noNaN: true }),
      bank: fc.constantFrom(null, 1, 2),
      sensor: fc.constantFrom(null, 1, 2),
      when: fc.constantFrom(null, ...conditions),
      time: fc.constantFrom('now' as const, 'before' as const),
      stated: fc.constantFrom('present' as const, 'denied' as const, 'unsure' as const),
      car: fc.constantFrom(0, 1),
    })
    .map(({ quantity, share, ...rest }) => {
      const [low, high] = quantities[quantity as Quantity].possible;
      return aReading(quantity as Quantity, low + share * (high - low), rest);
    });

  it('gives results that the answer document takes, with ids of their own, and never throws', () => {
    fc.assert(
      fc.property(fc.array(reading, { maxLength: 40 }), (findings) => {
        const results = run(findings);
        for (const result of results) {
          derivedSchema.parse(result);
          expect(result.result === null).toBe(!result.valid);
          if (result.result !== null) expect(Number.isFinite(result.result)).toBe(true);
          expect(JSON.stringify(result)).not.toMatch(/NaN|Infinity|undefined/);
        }
        expect(new Set(results.map((result) => result.id)).size).toBe(results.length);
      }),
      { numRuns: 300 },
    );
  });

  it('leaves alone what is denied, unsure, or about another car', () => {
    const aside = [{ car: 1 }, { stated: 'denied' as const }, { stated: 'unsure' as const }].flatMap((rest) =>
      gas(3, 12.6, 0.3, 250).map((finding) => ({ ...finding, ...rest })),
    );
    expect(run(aside)).toEqual([]);
  });
});
