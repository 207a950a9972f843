import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { entropy, informationGain } from '../../src/diagnosis/information-gain.ts';

describe('expected information gain', () => {
  // from: calculators sheet 12.2, items 6 and 7 (Lindley 1956, recomputed there).
  it('of the worked question is 0.45253 bits', () => {
    expect(entropy([0.5, 0.3, 0.2])).toBeCloseTo(1.48548, 5);
    expect(
      informationGain(
        [0.5, 0.3, 0.2],
        [
          [0.9, 0.2, 0.1],
          [0.1, 0.8, 0.9],
        ],
      ),
    ).toBeCloseTo(0.45253, 5);
  });
  it.each([
    ['a perfect split in halves', [1, 1, 0, 0], 1],
    ['yes or no for one of four', [1, 0, 0, 0], 0.81128],
    ['a noisy split', [0.8, 0.8, 0.3, 0.3], 0.19116],
    ['an answer that does not depend on the fault', [0.4, 0.4, 0.4, 0.4], 0],
  ])('of %s among four equal faults is as published', (_name, yes, bits) => {
    expect(informationGain([0.25, 0.25, 0.25, 0.25], [yes, yes.map((p) => 1 - p)])).toBeCloseTo(bits, 5);
  });
  it('equals the entropy of the answers less what the faults leave open, and never exceeds either', () => {
    const weights = fc.array(fc.double({ min: 0.01, max: 1, noNaN: true }), { minLength: 3, maxLength: 3 });
    fc.assert(
      fc.property(weights, weights, (prior, yes) => {
        const total = prior.reduce((sum, value) => sum + value, 0);
        const p = prior.map((value) => value / total);
        const no = yes.map((value) => 1 - value);
        const said = p.reduce((sum, value, index) => sum + value * yes[index]!, 0);
        const open = p.reduce((sum, value, index) => sum + value * entropy([yes[index]!, no[index]!]), 0);
        const gain = informationGain(p, [yes, no]);
        expect(gain).toBeCloseTo(entropy([said, 1 - said]) - open, 9);
        expect(gain).toBeLessThanOrEqual(entropy(p) + 1e-12);
      }),
    );
  });
});
