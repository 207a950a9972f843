// The exact posterior over single faults and pairs in one world: every hypothesis weighed by its prior and the likelihood of all
// terms. Pairs are skipped only under a proved bound on the mass left out.
import type { Evaluator } from './evaluator.ts';
import type { Hypotheses } from './hypotheses.ts';

export interface Posterior {
  /** Unnormalised mass: prior times likelihood, summed. Worlds are mixed by it. */
  readonly total: number;
  /** Per fault: mass of the fault as the only one. */
  readonly alone: Float64Array;
  /** Per single: mass of that very hypothesis. */
  readonly bySingle: Float64Array;
  /** faults x faults, first < second: mass of the two together. */
  readonly together: Float64Array;
  /** Per single: mass of the pairs that it is part of. */
  readonly inPairs: Float64Array;
  /** Proved upper bound of the mass of all pairs skipped, as a share of `total`. */
  readonly leftOut: number;
  /** Pairs of singles weighed and skipped. */
  readonly weighed: number;
  readonly skipped: number;
}

/** Share of the total that the skipped pairs may hold at most. */
export const allowedLeftOut = 1e-9;

/**
 * @param single prior of each fault alone
 * @param pair   prior of each pair, faults x faults, first < second
 * @param skip   false for full enumeration (tests)
 */
export function weigh(
  hypotheses: Hypotheses,
  single: Float64Array,
  pair: Float64Array,
  evaluator: Evaluator,
  skip = true,
): Posterior {
  const { singles, start, faults } = hypotheses;
  const count = faults.length;
  const alone = new Float64Array(count);
  const bySingle = new Float64Array(singles.length);
  let total = 0;
  for (let index = 0; index < singles.length; index += 1) {
    const { fault, share } = singles[index]!;
    const mass = single[fault]! * share * evaluator.likelihood(index, -1);
    bySingle[index] = mass;
    alone[fault]! += mass;
    total += mass;
  }

  const together = new Float64Array(count * count);
  const inPairs = new Float64Array(singles.length);
  const pairs = (singles.length * (singles.length - 1)) / 2;
  // Each skipped pair holds less than this, so that all of them hold less than the allowed share of the singles' mass alone.
  const negligible = (allowedLeftOut * total) / Math.max(1, pairs);
  let leftOut = 0;
  let weighed = 0;
  let skipped = 0;
  for (let first = 0; first < count; first += 1) {
    for (let second = first + 1; second < count; second += 1) {
      const prior = pair[first * count + second]!;
      if (prior === 0) continue;
      let sum = 0;
      for (let a = start[first]!; a < start[first + 1]!; a += 1) {
        const shareA = prior * singles[a]!.share;
        for (let b = start[second]!; b < start[second + 1]!; b += 1) {
          const weight = shareA * singles[b]!.share;
          if (skip) {
            const most = weight * evaluator.bound(a, b);
            if (most < negligible) {
              leftOut += most;
              skipped += 1;
              continue;
            }
          }
          weighed += 1;
          const mass = weight * evaluator.likelihood(a, b);
          sum += mass;
          inPairs[a]! += mass;
          inPairs[b]! += mass;
        }
      }
      together[first * count + second] = sum;
      total += sum;
    }
  }
  return { total, alone, bySingle, together, inPairs, leftOut: total > 0 ? leftOut / total : 0, weighed, skipped };
}
