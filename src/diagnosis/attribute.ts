// From masses of singles and pairs to the probability that each fault is the main cause: a pair gives its weight to the root of
// its chain, and without a chain to the member that explains more of the evidence.
import { type Hypotheses, leads } from './hypotheses.ts';

export interface Attributed {
  /** Per fault, sums to 1. */
  readonly probability: Float64Array;
  /** Pairs with their probability, most probable first. */
  readonly pairs: ReadonlyArray<{
    readonly root: number;
    readonly other: number;
    readonly probability: number;
    readonly chained: boolean;
  }>;
}

/** Two faults that explain equally well stay in their order, whatever the last digit says. */
const equal = 1e-9;

/**
 * @param alone    mass of each fault alone
 * @param together mass of each pair, faults x faults, first < second
 * @param prior    prior of each fault alone: mass over prior is how well it explains the evidence by itself
 */
export function attribute(
  hypotheses: Hypotheses,
  alone: Float64Array,
  together: Float64Array,
  prior: Float64Array,
): Attributed {
  const count = hypotheses.faults.length;
  const probability = Float64Array.from(alone);
  const pairs = [];
  let total = alone.reduce((sum, mass) => sum + mass, 0);
  for (let first = 0; first < count; first += 1) {
    for (let second = first + 1; second < count; second += 1) {
      const mass = together[first * count + second]!;
      if (mass === 0) continue;
      const forward = leads(hypotheses, first, second);
      const backward = leads(hypotheses, second, first);
      const chained = forward !== backward;
      const firstIsRoot = chained
        ? forward > backward
        : alone[first]! * prior[second]! >= alone[second]! * prior[first]! * (1 - equal);
      const root = firstIsRoot ? first : second;
      probability[root]! += mass;
      total += mass;
      pairs.push({ root, other: firstIsRoot ? second : first, probability: mass, chained });
    }
  }
  for (let fault = 0; fault < count; fault += 1) probability[fault]! /= total;
  return {
    probability,
    pairs: pairs
      .map((item) => ({ ...item, probability: item.probability / total }))
      .sort((a, b) => b.probability - a.probability),
  };
}
