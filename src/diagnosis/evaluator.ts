// The likelihood of all terms under one hypothesis or a pair, and an upper bound of it over all severities of two faults. Built
// once for a post and a world; a post asks for tens of thousands of likelihoods.
import { layReadings } from './lay-readings.ts';
import { layYesNo } from './lay-yes-no.ts';
import { rowOf, type SettledTable } from './settled-table.ts';
import type { Term } from './terms.ts';

export interface Evaluator {
  /** Product of all terms' likelihoods for two singles at their row; `second` is nobody for one fault alone. */
  readonly likelihood: (first: number, second: number, row: number) => number;
  /** Writes the same for every pair of singles of two faults, in the order of the table's rows; returns how many. */
  readonly block: (firstFault: number, secondFault: number, out: Float64Array) => number;
  /** Upper bound of the same over every severity and bank of two faults. */
  readonly bound: (firstFault: number, secondFault: number) => number;
  /** Writes each term's likelihood (strength applied) for one hypothesis, and in `peaks` the highest for any figure. */
  readonly termLikelihoods: (first: number, second: number, out: Float64Array, peaks?: Float64Array) => void;
}

export function newEvaluator(table: SettledTable, terms: readonly Term[]): Evaluator {
  const { nobody, faults, start } = table;
  const figures = layReadings(
    terms.filter((term) => term.kind === 'reading'),
    table,
  );
  const marks = layYesNo(
    terms.filter((term) => term.kind === 'yes-no'),
    table,
  );
  const factorOf = factorsOf(terms, nobody);
  const highestFactor = Float64Array.from({ length: faults + 1 }, (_, fault) =>
    factorOf.subarray(start[fault]!, start[fault + 1]!).reduce((high, value) => Math.max(high, value), 0),
  );
  const faultOf = new Int32Array(nobody + 1);
  for (let fault = 0; fault <= faults; fault += 1) faultOf.fill(fault, start[fault]!, start[fault + 1]!);

  return {
    likelihood(first, second, row) {
      let product = factorOf[first]! * factorOf[second]!;
      for (let index = 0; index < marks.count; index += 1) product *= marks.likelihood(index, first, second, row);
      for (let index = 0; index < figures.count; index += 1) product *= figures.likelihood(index, row);
      return product;
    },
    block(firstFault, secondFault, out) {
      let count = 0;
      for (let a = start[firstFault]!; a < start[firstFault + 1]!; a += 1) {
        for (let b = start[secondFault]!; b < start[secondFault + 1]!; b += 1)
          out[count++] = factorOf[a]! * factorOf[b]!;
      }
      const row = table.blockStart[firstFault * (faults + 1) + secondFault]!;
      for (let index = 0; index < marks.count; index += 1) marks.multiply(index, firstFault, secondFault, out);
      for (let index = 0; index < figures.count; index += 1) figures.multiply(index, row, count, out);
      return count;
    },
    bound(firstFault, secondFault) {
      const block = firstFault * (faults + 1) + secondFault;
      let product = highestFactor[firstFault]! * highestFactor[secondFault]!;
      for (let index = 0; index < marks.count; index += 1) product *= marks.bound(index, firstFault, secondFault);
      for (let index = 0; index < figures.count; index += 1) product *= figures.bound(index, block);
      return product;
    },
    termLikelihoods(first, second, out, peaks) {
      const row = rowOf(table, faultOf[first]!, faultOf[second]!, first, second);
      let mark = 0;
      let figure = 0;
      terms.forEach((term, index) => {
        if (term.kind === 'yes-no') out[index] = marks.likelihood(mark++, first, second, row);
        else if (term.kind === 'factor')
          out[index] = ((term.factor[first] ?? 1) * (term.factor[second] ?? 1)) ** term.strength;
        else {
          if (peaks) peaks[index] = figures.peak(figure, row);
          out[index] = figures.likelihood(figure++, row);
        }
      });
    },
  };
}

/** Factor terms multiply; they are the same for every state of a fault, so each single has one number. */
function factorsOf(terms: readonly Term[], nobody: number): Float64Array {
  const product = new Float64Array(nobody + 1).fill(1);
  for (const term of terms) {
    if (term.kind !== 'factor') continue;
    for (let single = 0; single < nobody; single += 1) product[single]! *= term.factor[single]! ** term.strength;
  }
  return product;
}
