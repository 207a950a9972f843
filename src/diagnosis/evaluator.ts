// The likelihood of all terms together under every fault and every two faults. Built once for a post and
// a world; posterior.ts sums over it, evidence, fit and questions look single numbers up.
import type { SettledTable } from './settled-table.ts';
import { type TermTable, tabulateTerm } from './term-table.ts';
import type { Term } from './terms.ts';

export interface Evaluator {
  /** Natural logarithm of the likelihood of all terms for each single alone; the healthy engine is the last. */
  readonly alone: Float64Array;
  /** The same for two singles together. */
  readonly both: (first: number, second: number) => number;
  /**
   * Writes by how much one single and each of those from `from` up to `to` differ together from the product of what they do alone
   * (so that log both = alone[first] + alone[other] - alone[nobody] + log of it). Returns true when `out` holds these factors, false
   * when they would not fit into a number and it holds their logarithms.
   */
  readonly meet: (first: number, from: number, to: number, out: Float64Array) => boolean;
  /** Likelihood of one term (strength applied) for two singles; the second may be nobody. */
  readonly ofTerm: (term: number, first: number, second: number) => number;
}

/** Terms multiplied before the product is looked at: eight can neither overflow nor vanish (see leastLikelihood). */
const chunk = 8;
/** Products within 1 / fits .. fits may be multiplied by eight more. */
const fits = 1e30;

/**
 * @param terms   of one world
 * @param shared  tables that worlds have in common, filled as they are made
 */
export function newEvaluator(
  table: SettledTable,
  terms: readonly Term[],
  shared: Map<Term, TermTable> = new Map(),
): Evaluator {
  const { nobody } = table;
  const size = nobody + 1;
  const tables = terms.map((term) => {
    const known = shared.get(term) ?? tabulateTerm(term, table);
    shared.set(term, known);
    return known;
  });
  const alone = new Float64Array(size);
  for (const { classes, alone: likelihood } of tables) {
    const logs = likelihood.map(Math.log);
    for (let single = 0; single < size; single += 1) alone[single]! += logs[classes.of[single]!]!;
  }
  const meeting = layMeeting(
    tables.filter((_, index) => terms[index]!.kind !== 'factor'),
    size,
  );
  const healthy = alone[nobody]!;

  const one = new Float64Array(1);

  return {
    alone,
    meet: meeting,
    both(first, second) {
      const met = meeting(first, second, second + 1, one) ? Math.log(one[0]!) : one[0]!;
      return alone[first]! + alone[second]! - healthy + met;
    },
    ofTerm(term, first, second) {
      const { classes, alone: likelihood, interaction } = tables[term]!;
      const a = classes.of[first]!;
      const b = classes.of[second]!;
      return (likelihood[a]! * likelihood[b]! * interaction[a * classes.count + b]!) / likelihood[0]!;
    },
  };
}

/**
 * The product of all interactions of one single with a row of others. Term by term along the row, and only the terms that the single
 * touches: the rows of their tables stay in the fastest memory.
 */
function layMeeting(tables: readonly TermTable[], size: number): Evaluator['meet'] {
  const logarithms = new Float64Array(size);
  return (first, from, to, out) => {
    const length = to - from;
    let multiplied = 0;
    let isLogarithm = false;
    out.fill(1, 0, length);
    for (const { classes, interaction } of tables) {
      const mine = classes.of[first]!;
      if (mine === 0) continue;
      multiplyRow(interaction, mine * classes.count, classes.of, from, length, out);
      multiplied += 1;
      if (multiplied % chunk === 0 && !areMild(out, length)) {
        if (!isLogarithm) logarithms.fill(0, 0, length);
        isLogarithm = true;
        takeLogarithms(out, length, logarithms);
      }
    }
    if (!isLogarithm && areMild(out, length)) return true;
    if (!isLogarithm) logarithms.fill(0, 0, length);
    takeLogarithms(out, length, logarithms);
    for (let index = 0; index < length; index += 1) out[index] = logarithms[index]!;
    return false;
  };
}

function multiplyRow(
  interaction: Float64Array,
  row: number,
  classOf: Int32Array,
  from: number,
  length: number,
  product: Float64Array,
): void {
  for (let index = 0; index < length; index += 1) product[index]! *= interaction[row + classOf[from + index]!]!;
}

function areMild(product: Float64Array, length: number): boolean {
  for (let index = 0; index < length; index += 1) {
    const value = product[index]!;
    if (value > fits || value < 1 / fits) return false;
  }
  return true;
}

/** Adds the logarithms of the products to the sums and starts the products anew. */
function takeLogarithms(product: Float64Array, length: number, sums: Float64Array): void {
  for (let index = 0; index < length; index += 1) {
    sums[index]! += Math.log(product[index]!);
    product[index] = 1;
  }
}
