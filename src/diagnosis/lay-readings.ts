// Reading terms laid out for speed: every distinct observable is predicted once per hypothesis, however many terms read it.
// evaluator.ts fills `middles` and `spreads` and asks for likelihoods tens of thousands of times.
import { type Observable, type ObservableName, type Predictor, predictors } from './predict.ts';
import { cumulative, relativeDensity } from './student-t.ts';
import type { ReadingTerm } from './terms.ts';

export interface LaidReadings {
  readonly count: number;
  readonly distinct: readonly Observable[];
  /** One per distinct observable. */
  readonly predictors: readonly Predictor[];
  readonly middles: Float64Array;
  readonly spreads: Float64Array;
  /** Product over all terms of the highest likelihood that any state can give. */
  readonly ceiling: number;
  readonly likelihood: (term: number) => number;
  /** Highest likelihood that the predicted state could give to any value of the term. */
  readonly peak: (term: number) => number;
}

/** Least spread of each observable on its scale, for the bound: no prediction is sharper. */
const leastSpread: Readonly<Record<ObservableName, number>> = {
  trim: 3.4,
  'short-trim': 4,
  'front-lambda': 0.012,
  'front-voltage': 0.11,
  'front-swing': 0.1,
  'rear-voltage': 0.08,
  'rear-swing': 0.12,
  'tail-lambda': 0.012,
  co: 0.12,
  co2: 0.5,
  o2: 0.2,
  hc: 0.65,
  nox: 0.9,
  'air-flow': 0.2,
  'manifold-pressure': 4.5,
  'idle-speed': 90,
  coolant: 6,
  'fuel-pressure': 0.16,
  heater: 0.55,
  switches: 0.5,
  'edge-time': 0.5,
  oil: 0.5,
  'back-pressure': 0.45,
  'fuel-use': 7,
  misfires: 1.2,
  compression: 170,
};

export function layReadings(terms: readonly ReadingTerm[]): LaidReadings {
  const distinct: Observable[] = [];
  const indexOf = new Map<string, number>();
  const start = new Int32Array(terms.length + 1);
  const places: number[] = [];
  const weights: number[] = [];
  terms.forEach((term, index) => {
    start[index] = places.length;
    for (const { observable, weight } of term.alternatives) {
      const key = `${observable.name} ${observable.bank} ${observable.point}`;
      const place = indexOf.get(key) ?? distinct.push(observable) - 1;
      indexOf.set(key, place);
      places.push(place);
      weights.push(weight);
    }
  });
  start[terms.length] = places.length;
  const place = Int32Array.from(places);
  const weight = Float64Array.from(weights);
  const value = Float64Array.from(terms, (term) => term.value);
  const widen = Float64Array.from(terms, (term) => term.widen);
  const strength = Float64Array.from(terms, (term) => term.strength);
  // 0: a figure; 1: at least; -1: at most.
  const side = Int8Array.from(terms, (term) => (term.limit === null ? 0 : term.limit === 'at-least' ? 1 : -1));
  const middles = new Float64Array(distinct.length);
  const spreads = new Float64Array(distinct.length);
  return {
    count: terms.length,
    distinct,
    predictors: distinct.map((observable) => predictors[observable.name]),
    middles,
    spreads,
    ceiling: terms.reduce((product, term) => product * ceilingOf(term), 1),
    likelihood(term) {
      const at = value[term]!;
      let sum = 0;
      for (let k = start[term]!; k < start[term + 1]!; k += 1) {
        const middle = middles[place[k]!]!;
        const spread = spreads[place[k]!]! * widen[term]!;
        if (side[term] === 0) sum += weight[k]! * relativeDensity(at, middle, spread);
        else {
          const below = cumulative(at, middle, spread);
          sum += weight[k]! * (side[term]! > 0 ? 1 - below : below);
        }
      }
      return strength[term] === 1 ? sum : sum ** strength[term]!;
    },
    peak(term) {
      if (side[term] !== 0) return 1;
      let most = 0;
      for (let k = start[term]!; k < start[term + 1]!; k += 1) {
        most = Math.max(most, weight[k]! / (spreads[place[k]!]! * widen[term]!));
      }
      return most;
    },
  };
}

/** The highest likelihood that any state can give to a reading. */
function ceilingOf(term: ReadingTerm): number {
  if (term.limit !== null) return 1;
  let most = 0;
  for (const { observable, weight } of term.alternatives) {
    most += weight / (leastSpread[observable.name] * term.widen);
  }
  return most ** term.strength;
}
