// The exact posterior over single faults and pairs in one world: every hypothesis weighed by its prior and the likelihood of all
// terms. Every pair is summed: the sum over classes costs less than bounds on what could be left out would.
import type { Evaluator } from './evaluator.ts';
import type { Hypotheses } from './hypotheses.ts';

export interface Posterior {
  /** Natural logarithm of the probability (to a constant) of everything said. Worlds are mixed by it. */
  readonly evidence: number;
  /** Per fault: mass of the fault as the only one. All masses together, pairs included, sum to 1. */
  readonly alone: Float64Array;
  /** Per single: mass of that very hypothesis. */
  readonly bySingle: Float64Array;
  /** faults x faults, first < second: mass of the two together. */
  readonly together: Float64Array;
  /** Per single: mass of the pairs that it is part of. */
  readonly inPairs: Float64Array;
}

/**
 * @param single prior of each fault alone
 * @param pair   prior of each pair, faults x faults, first < second
 */
export function weigh(
  hypotheses: Hypotheses,
  single: Float64Array,
  pair: Float64Array,
  evaluator: Evaluator,
): Posterior {
  const { singles, start } = hypotheses;
  const count = hypotheses.faults.length;
  const shares = Float64Array.from(singles, (item) => item.share);
  // All masses are relative to the likeliest single: what is far below it may vanish, which is no loss.
  let reference = -Infinity;
  singles.forEach(({ fault, share }, index) => {
    reference = Math.max(reference, evaluator.alone[index]! + Math.log(single[fault]! * share));
  });
  if (!Number.isFinite(reference)) reference = 0;
  const alone = new Float64Array(count);
  const bySingle = new Float64Array(singles.length);
  let total = 0;
  singles.forEach(({ fault, share }, index) => {
    const mass = single[fault]! * share * Math.exp(evaluator.alone[index]! - reference);
    bySingle[index] = mass;
    alone[fault]! += mass;
    total += mass;
  });

  const together = new Float64Array(count * count);
  const inPairs = new Float64Array(singles.length);
  const met = new Float64Array(singles.length);
  const toHealthy = evaluator.alone.map((value) => value - evaluator.alone[singles.length]!);
  const relative = toHealthy.map(Math.exp);
  // Within these limits plain products are exact enough; a case that leaves them is summed by logarithms.
  const mild = toHealthy.every((value) => Math.abs(value) < mostPlain);
  for (let first = 0; first < count; first += 1) {
    const from = start[first + 1]!;
    for (let a = start[first]!; a < start[first + 1]!; a += 1) {
      const plain = evaluator.meet(a, from, singles.length, met);
      const base = evaluator.alone[a]! - reference;
      const isPlain = plain && mild && Math.abs(base) < mostPlain;
      if (isPlain) multiplyUp(met, relative, from, Math.exp(base));
      else addUp(met, toHealthy, from, base, plain);
      let ofThis = 0;
      for (let second = first + 1; second < count; second += 1) {
        const prior = pair[first * count + second]! * shares[a]!;
        if (prior === 0) continue;
        let sum = 0;
        for (let b = start[second]!; b < start[second + 1]!; b += 1) {
          const mass = prior * shares[b]! * met[b - from]!;
          sum += mass;
          inPairs[b]! += mass;
        }
        together[first * count + second]! += sum;
        ofThis += sum;
      }
      inPairs[a]! += ofThis;
      total += ofThis;
    }
  }
  const scale = 1 / total;
  for (const masses of [alone, bySingle, together, inPairs]) {
    for (let index = 0; index < masses.length; index += 1) masses[index]! *= scale;
  }
  return { evidence: Math.log(total) + reference, alone, bySingle, together, inPairs };
}

/** Natural logarithms up to this may be multiplied as plain numbers, two of them with the products of interactions. */
const mostPlain = 200;

function multiplyUp(met: Float64Array, relative: Float64Array, from: number, base: number): void {
  const length = relative.length - 1 - from;
  for (let index = 0; index < length; index += 1) met[index]! *= base * relative[from + index]!;
}

function addUp(met: Float64Array, toHealthy: Float64Array, from: number, base: number, plain: boolean): void {
  const length = toHealthy.length - 1 - from;
  for (let index = 0; index < length; index += 1) {
    const logarithm = plain ? Math.log(met[index]!) : met[index]!;
    met[index] = Math.exp(base + toHealthy[from + index]! + logarithm);
  }
}
