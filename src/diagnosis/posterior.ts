// The exact posterior over single faults and pairs in one world: every hypothesis weighed by its prior and the likelihood of all
// terms. Blocks of pairs are skipped only under a proved bound on the mass left out.
import type { Evaluator } from './evaluator.ts';
import type { Hypotheses } from './hypotheses.ts';
import { rowOf, type SettledTable } from './settled-table.ts';

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
  table: SettledTable,
  single: Float64Array,
  pair: Float64Array,
  evaluator: Evaluator,
  skip = true,
): Posterior {
  const { singles, start } = hypotheses;
  const { nobody, faults: count } = table;
  const alone = new Float64Array(count);
  const bySingle = new Float64Array(singles.length);
  let total = 0;
  for (let index = 0; index < singles.length; index += 1) {
    const { fault, share } = singles[index]!;
    const row = rowOf(table, fault, count, index, nobody);
    const mass = single[fault]! * share * evaluator.likelihood(index, nobody, row);
    bySingle[index] = mass;
    alone[fault]! += mass;
    total += mass;
  }

  const most = mostSingles(start, count);
  const block = new Float64Array(most * most);
  const shares = Float64Array.from(singles, (item) => item.share);
  const together = new Float64Array(count * count);
  const inPairs = new Float64Array(singles.length);
  // A skipped block holds at most its bound; with all of them below this, they hold less than the allowed share together.
  const negligible = (allowedLeftOut * total) / ((count * (count - 1)) / 2);
  let leftOut = 0;
  let weighed = 0;
  let skipped = 0;
  for (let first = 0; first < count; first += 1) {
    for (let second = first + 1; second < count; second += 1) {
      const prior = pair[first * count + second]!;
      if (prior === 0) continue;
      if (skip) {
        const bound = prior * evaluator.bound(first, second);
        if (bound < negligible) {
          leftOut += bound;
          skipped += (start[first + 1]! - start[first]!) * (start[second + 1]! - start[second]!);
          continue;
        }
      }
      weighed += evaluator.block(first, second, block);
      let row = 0;
      let sum = 0;
      for (let a = start[first]!; a < start[first + 1]!; a += 1) {
        for (let b = start[second]!; b < start[second + 1]!; b += 1) {
          const mass = prior * shares[a]! * shares[b]! * block[row++]!;
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

/** Singles of the fault that has most of them. */
function mostSingles(start: Int32Array, count: number): number {
  let most = 1;
  for (let fault = 0; fault < count; fault += 1) most = Math.max(most, start[fault + 1]! - start[fault]!);
  return most;
}
