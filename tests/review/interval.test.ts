// Intervals against a published table and their own definition; suggested priors against the arithmetic of a Dirichlet prior.
import fc from 'fast-check';
import { probit } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { wilsonInterval } from '../../src/review/interval.ts';
import { suggestPriors } from '../../src/review/suggest-priors.ts';

describe('the interval of a share', () => {
  // From: Newcombe 1998, Statistics in Medicine 17, 857, table I, method 3 (from memory; the next test derives them anew)
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])('of %i in %i is that of the table', (hits, cases, low, high) => {
    const interval = wilsonInterval(hits, cases);
    expect(interval.low).toBeCloseTo(low, 4);
    expect(interval.high).toBeCloseTo(high, 4);
  });

  it('ends where the share found lies 1.96 standard errors away, by a statistics library’s normal quantile', () => {
    // simple-statistics 7.12.1 computes it by an approximation good to 5e-4.
    const z = probit(0.975);
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 5000 }), fc.nat(), (cases, some) => {
        const hits = some % (cases + 1);
        const share = hits / cases;
        const { low, high } = wilsonInterval(hits, cases);
        for (const end of [low, high]) {
          if (end === 0 || end === 1) continue;
          expect(Math.abs(share - end) / Math.sqrt((end * (1 - end)) / cases)).toBeCloseTo(z, 2);
        }
        expect(low).toBeLessThanOrEqual(share);
        expect(high).toBeGreaterThanOrEqual(share);
      }),
    );
  });

  it('says nothing of no case', () => {
    expect(wilsonInterval(0, 0)).toEqual({ low: 0, high: 1 });
  });
});

describe('suggested priors', () => {
  const knowledge = loadKnowledgeFolder();
  const total = knowledge.faults.reduce((sum, { prior }) => sum + prior.per1000, 0);

  it('are not made from few cases', () => {
    expect(suggestPriors([{ fault: knowledge.faults[0]!.id, cases: 29 }], knowledge)).toEqual([]);
  });

  it('lean towards the cases, by the weight of both', () => {
    const rare = knowledge.faults.toSorted((a, b) => a.prior.per1000 - b.prior.per1000)[0]!;
    const counts = [
      { fault: rare.id, cases: 50 },
      ...knowledge.faults
        .filter(({ id }) => id !== rare.id)
        .map(({ id, prior }) => ({ fault: id, cases: Math.round((50 * prior.per1000) / total) })),
    ];
    const all = counts.reduce((sum, { cases }) => sum + cases, 0);
    const suggestion = suggestPriors(counts, knowledge).find(({ fault }) => fault === rare.id)!;
    const expected = (total * ((200 * rare.prior.per1000) / total + 50)) / (200 + all);
    expect(suggestion.suggested).toBeCloseTo(expected, 0);
    expect(suggestion.suggested).toBeGreaterThan(rare.prior.per1000);
  });

  it('are none where the cases come as expected', () => {
    const counts = knowledge.faults.map(({ id, prior }) => ({
      fault: id,
      cases: Math.round((400 * prior.per1000) / total),
    }));
    expect(suggestPriors(counts, knowledge)).toEqual([]);
  });
});
