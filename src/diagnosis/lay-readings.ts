// Reading terms laid out for speed: values, weights and columns of predictions side by side. evaluator.ts asks for likelihoods
// tens of thousands of times a post.
import type { Column, SettledTable } from './settled-table.ts';
import { cumulative, relativeDensity } from './student-t.ts';
import type { ReadingTerm } from './terms.ts';

export interface LaidReadings {
  readonly count: number;
  /** Likelihood of a term at a row of the table. */
  readonly likelihood: (term: number, row: number) => number;
  /** Multiplies `out` by the likelihood of a term at `count` rows from `row` on. */
  readonly multiply: (term: number, row: number, count: number, out: Float64Array) => void;
  /** Highest likelihood that the predicted state could give to any value of the term. */
  readonly peak: (term: number, row: number) => number;
  /** Upper bound of a term's likelihood over a block of the table. */
  readonly bound: (term: number, block: number) => number;
}

export function layReadings(terms: readonly ReadingTerm[], table: SettledTable): LaidReadings {
  const start = new Int32Array(terms.length + 1);
  const weights: number[] = [];
  terms.forEach((term, index) => {
    start[index] = weights.length;
    for (const { weight } of term.alternatives) weights.push(weight);
  });
  start[terms.length] = weights.length;
  const columns: Column[] = table.columns(
    terms.flatMap((term) => term.alternatives.map((alternative) => alternative.observable)),
  );
  const weight = Float64Array.from(weights);
  const value = Float64Array.from(terms, (term) => term.value);
  const widen = Float64Array.from(terms, (term) => term.widen);
  const strength = Float64Array.from(terms, (term) => term.strength);
  // 0: a figure; 1: at least; -1: at most.
  const side = Int8Array.from(terms, (term) => (term.limit === null ? 0 : term.limit === 'at-least' ? 1 : -1));

  function counted(term: number, sum: number): number {
    return strength[term] === 1 ? sum : sum ** strength[term]!;
  }

  function likelihood(term: number, row: number): number {
    const at = value[term]!;
    let sum = 0;
    for (let k = start[term]!; k < start[term + 1]!; k += 1) {
      const middle = columns[k]!.middle[row]!;
      const spread = columns[k]!.spread[row]! * widen[term]!;
      if (side[term] === 0) sum += weight[k]! * relativeDensity(at, middle, spread);
      else {
        const below = cumulative(at, middle, spread);
        sum += weight[k]! * (side[term]! > 0 ? 1 - below : below);
      }
    }
    return counted(term, sum);
  }

  return {
    count: terms.length,
    likelihood,
    multiply(term, row, count, out) {
      const only = start[term + 1]! - start[term]! === 1 && side[term] === 0 && strength[term] === 1;
      if (!only) {
        for (let index = 0; index < count; index += 1) out[index]! *= likelihood(term, row + index);
        return;
      }
      const column = columns[start[term]!]!;
      const at = value[term]!;
      const wide = widen[term]!;
      const much = weight[start[term]!]!;
      for (let index = 0; index < count; index += 1) {
        out[index]! *= much * relativeDensity(at, column.middle[row + index]!, column.spread[row + index]! * wide);
      }
    },
    peak(term, row) {
      if (side[term] !== 0) return 1;
      let most = 0;
      for (let k = start[term]!; k < start[term + 1]!; k += 1) {
        most = Math.max(most, weight[k]! / (columns[k]!.spread[row]! * widen[term]!));
      }
      return most;
    },
    bound(term, block) {
      if (side[term] !== 0) return 1;
      let sum = 0;
      for (let k = start[term]!; k < start[term + 1]!; k += 1) {
        const { middleOver, spreadOver } = columns[k]!;
        sum +=
          weight[k]! *
          highestDensity(
            value[term]!,
            middleOver.low[block]!,
            middleOver.high[block]!,
            spreadOver.low[block]! * widen[term]!,
            spreadOver.high[block]! * widen[term]!,
          );
      }
      return counted(term, sum);
    },
  };
}

/**
 * Highest relative density of a value over all middles and spreads between the limits given. At distance d the density rises
 * with the spread up to d and falls beyond (the derivative of 1/s (1 + d2/3s2)^-2 vanishes at s = d).
 */
export function highestDensity(value: number, low: number, high: number, least: number, most: number): number {
  const distance = Math.max(0, low - value, value - high);
  const spread = Math.max(least, Math.min(most, distance));
  return relativeDensity(distance, 0, spread);
}
