// Totals, the split into leak and share, banks against each other: laws and limits.
import fc from 'fast-check';
import { linearRegression, sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { bankDifference } from '../../src/calculators/bank-difference.ts';
import { leakSplit, type TrimPoint } from '../../src/calculators/leak-split.ts';
import { totalTrim } from '../../src/calculators/total-trim.ts';
import { trimCodeDue } from '../../src/calculators/trim-code-due.ts';

const trim = fc.double({ min: -50, max: 50, noNaN: true });

describe('total trim', () => {
  it('differs between sum and product by less than a point while both are within 10 %', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -10, max: 10, noNaN: true }),
        fc.double({ min: -10, max: 10, noNaN: true }),
        (short, long) => {
          const result = totalTrim(short, long);
          expect(result.valid && Math.abs(result.product - result.value)).toBeLessThanOrEqual(1 + 1e-9);
        },
      ),
    );
  });

  it.each([
    [100, true],
    [100.01, false],
    [-100, true],
    [-100.01, false],
    [Number.NaN, false],
  ])('takes %d as possible: %s', (value, isPossible) => {
    expect(totalTrim(value, 0).valid).toBe(isPossible);
    expect(totalTrim(0, value).valid).toBe(isPossible);
  });
});

describe('leak and share', () => {
  const flows = fc.tuple(
    fc.double({ min: 1.5, max: 4, noNaN: true }),
    fc.double({ min: 7, max: 12, noNaN: true }),
    fc.double({ min: 15, max: 60, noNaN: true }),
  );

  it('finds the leak and the share that the trims were made with', () => {
    fc.assert(
      fc.property(
        flows,
        fc.double({ min: -0.4, max: 0.6, noNaN: true }),
        fc.double({ min: -15, max: 15, noNaN: true }),
        (at, leak, share) => {
          const points = at.map((flow): TrimPoint => ({ flow, trim: (100 * leak) / flow + share }));
          const result = leakSplit(points);
          fc.pre(points.every((point) => point.trim >= -60));
          expect(result.valid && Math.abs(result.value - leak)).toBeLessThan(1e-9);
          expect(result.valid && Math.abs(result.share - share)).toBeLessThan(1e-7);
        },
      ),
    );
  });

  it('agrees with a library’s regression on trims that scatter', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.double({ min: 1, max: 60, noNaN: true }), trim), { minLength: 3, maxLength: 30 }),
        (list) => {
          const points = list.map(([flow, value]): TrimPoint => ({ flow, trim: value }));
          const result = leakSplit(points);
          if (!result.valid) return;
          const line = linearRegression(points.map((point) => [1 / point.flow, point.trim]));
          expect(Math.abs(result.value - line.m / 100)).toBeLessThan(1e-6 * Math.max(1, Math.abs(line.m)));
          expect(Math.abs(result.share - line.b)).toBeLessThan(1e-6 * Math.max(1, Math.abs(line.m)));
        },
      ),
    );
  });

  it('does not care about the order of the points', () => {
    const points = [
      { flow: 2.4, trim: 26 },
      { flow: 8.4, trim: 9 },
      { flow: 14.4, trim: 4 },
    ];
    const first = leakSplit(points);
    const second = leakSplit([points[2]!, points[0]!, points[1]!]);
    expect(first.valid && second.valid && Math.abs(first.value - second.value)).toBeLessThan(1e-12);
  });

  it.each([
    ['leak', [25, 7.1]],
    ['share', [11, 11]],
    ['extra-fuel', [-22, -6]],
    ['leak-and-share', [36, 18]],
    ['nothing', [1, 0.5]],
  ] as const)('says %s for trims of that shape', (verdict, [idle, fast]) => {
    const result = leakSplit([
      { trim: idle, flow: 2.4 },
      { trim: fast, flow: 8.4 },
    ]);
    expect(result.valid && result.verdict).toBe(verdict);
  });

  it('is less sure of flows that were guessed, and finds the same', () => {
    const at = (flowSpread: number) =>
      leakSplit([
        { trim: 25, flow: 2.4, flowSpread },
        { trim: 7, flow: 8.4, flowSpread },
      ]);
    const read = at(0);
    const guessed = at(0.25);
    if (!read.valid || !guessed.valid) throw new Error('both can be split');
    expect(guessed.value).toBe(read.value);
    expect(guessed.leakSpread).toBeGreaterThan(2 * read.leakSpread);
    expect(at(0.51).valid).toBe(false);
  });

  it('has the spread that a thousand noisy repetitions show', () => {
    // A plain congruential series stands for chance, so that the test is the same each time.
    let state = 7;
    const uniform = () => {
      state = (state * 48_271) % 2_147_483_647;
      return state / 2_147_483_647;
    };
    const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    const found = Array.from({ length: 1000 }, () => {
      const result = leakSplit([
        { trim: 25 + 1.5 * normal(), flow: 2.4 },
        { trim: 7.14 + 1.5 * normal(), flow: 8.4 },
      ]);
      return result.valid
        ? result
        : { value: Number.NaN, share: Number.NaN, leakSpread: Number.NaN, shareSpread: Number.NaN };
    });
    expect(sampleStandardDeviation(found.map(({ value }) => value)) / found[0]!.leakSpread).toBeCloseTo(1, 1);
    expect(sampleStandardDeviation(found.map(({ share }) => share)) / found[0]!.shareSpread).toBeCloseTo(1, 1);
  });

  it('is less sure with flows that lie closer together', () => {
    const wide = leakSplit([
      { trim: 25, flow: 2.4 },
      { trim: 7, flow: 20 },
    ]);
    const narrow = leakSplit([
      { trim: 25, flow: 2.4 },
      { trim: 16, flow: 4 },
    ]);
    expect(wide.valid && narrow.valid && narrow.leakSpread > wide.leakSpread).toBe(true);
  });

  it.each([
    ['one point', [{ trim: 20, flow: 3 }]],
    [
      'flows within half of each other',
      [
        { trim: 20, flow: 3 },
        { trim: 15, flow: 4.4 },
      ],
    ],
    [
      'a flow of nothing',
      [
        { trim: 20, flow: 0 },
        { trim: 5, flow: 9 },
      ],
    ],
    [
      'a trim that is no number',
      [
        { trim: Number.NaN, flow: 3 },
        { trim: 5, flow: 9 },
      ],
    ],
  ])('refuses %s', (_name, points) => {
    expect(leakSplit(points).valid).toBe(false);
  });
});

describe('bank against bank', () => {
  it('changes only its sign and the bank when the banks are swapped', () => {
    fc.assert(
      fc.property(trim, trim, (one, two) => {
        const first = bankDifference(one, two);
        const second = bankDifference(two, one);
        if (!first.valid || !second.valid) throw new Error('both are possible');
        expect(second.value).toBeCloseTo(-first.value, 12);
        expect(second.shared).toBeCloseTo(first.shared, 12);
        expect(second.pattern).toBe(first.pattern);
        if (first.bank !== null && Math.abs(one) !== Math.abs(two)) expect(second.bank).toBe(3 - first.bank);
      }),
    );
  });

  it.each([
    [20, 2, 'one-bank'],
    [20, 18, 'both'],
    [20, -18, 'opposite'],
    [3, -2, 'none'],
    [7.9, 0, 'none'],
    [8, 0, 'one-bank'],
  ] as const)('reads %d and %d as %s', (one, two, pattern) => {
    const result = bankDifference(one, two);
    expect(result.valid && result.pattern).toBe(pattern);
  });
});

describe('a mixture code', () => {
  it.each([
    [12.4, 'no'],
    [12.5, 'on some cars'],
    [24.9, 'on some cars'],
    [25, 'on most cars'],
    [34.9, 'on most cars'],
    [35, 'on any car'],
    [-35, 'on any car'],
  ] as const)('is due at %d %%: %s', (total, due) => {
    const result = trimCodeDue(total);
    expect(result.valid && result.due).toBe(due);
    expect(result.valid && result.side).toBe(total < 0 ? 'rich' : 'lean');
  });
});
