// The likelihood of all terms under one hypothesis or a pair. Built once for a post and a world; its arrays are reused for every
// hypothesis, since a post asks for tens of thousands.
import { type Control, usualControl } from './closed-loop.ts';
import { driveMonitors, mixtureDriverCount } from './code-setting.ts';
import type { Effects } from './effects.ts';
import { cellCount, cellOf, pointCount } from './operating-points.ts';
import { type Observable, type ObservableName, predict, type Surroundings } from './predict.ts';
import { compose, newState, type State, settleCell } from './state.ts';
import { cumulative, relativeDensity } from './student-t.ts';
import { driveSymptoms, symptomDriverCount } from './symptom-drivers.ts';
import { type ReadingTerm, type Term, yesNoLikelihood } from './terms.ts';

export interface Evaluator {
  /** Product of all terms' likelihoods for singles `first` and `second`; `second` -1 for `first` alone. */
  readonly likelihood: (first: number, second: number) => number;
  /** An upper bound of the same, without settling the mixture. */
  readonly bound: (first: number, second: number) => number;
  /** Writes each term's likelihood (strength applied) for `first` and `second`; `second` -1 for `first` alone. */
  readonly termLikelihoods: (first: number, second: number, out: Float64Array) => void;
  /** For each reading the highest likelihood that the hypothesis could give to any value of it; 1 for other terms. */
  readonly peaks: (first: number, second: number) => Float64Array;
  /** The settled state of one hypothesis; valid until the next call of any of these. */
  readonly stateOf: (first: number, second: number) => State;
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

/** Observables that need no settled mixture, and those that need every cell. */
const unsettled: ReadonlySet<ObservableName> = new Set([
  'idle-speed',
  'coolant',
  'fuel-pressure',
  'heater',
  'oil',
  'back-pressure',
  'edge-time',
  'misfires',
  'compression',
  'manifold-pressure',
  'air-flow',
]);
const wholeEngine: ReadonlySet<ObservableName> = new Set(['fuel-use']);
const everyBank: ReadonlySet<ObservableName> = new Set(['co', 'co2', 'o2', 'hc', 'nox', 'tail-lambda']);

export function newEvaluator(
  singles: ReadonlyArray<{ readonly effects: Effects }>,
  healthy: Effects,
  terms: readonly Term[],
  airTaken: Float64Array,
  around: Surroundings,
  control: Control = usualControl,
): Evaluator {
  const state = newState(around.banks, airTaken);
  const drivers = new Float64Array(mixtureDriverCount);
  const prediction = { middle: 0, spread: 1 };
  const effects = [...singles.map((single) => single.effects), healthy];
  const healthyIndex = singles.length;
  const needs = whatIsNeeded(terms, around.banks);

  // Every distinct observable is predicted once per hypothesis, whatever number of terms reads it.
  const distinct: Observable[] = [];
  const indexOf = new Map<string, number>();
  const readings = terms.filter((term) => term.kind === 'reading');
  const places = readings.map((term) =>
    term.alternatives.map(({ observable, weight }) => {
      const key = `${observable.name} ${observable.bank} ${observable.point}`;
      const index = indexOf.get(key) ?? distinct.push(observable) - 1;
      indexOf.set(key, index);
      return { index, weight };
    }),
  );
  const middles = new Float64Array(distinct.length);
  const spreads = new Float64Array(distinct.length);
  const ceiling = readings.reduce((product, term) => product * ceilingOf(term), 1);
  const yesNo = terms.filter((term) => term.kind === 'yes-no');
  const factors = terms.filter((term) => term.kind === 'factor');
  const factorOf = new Float64Array(singles.length + 1).fill(1);
  for (const term of factors) {
    for (let single = 0; single < singles.length; single += 1) {
      factorOf[single]! *= term.strength === 1 ? term.factor[single]! : term.factor[single]! ** term.strength;
    }
  }
  const loosest = yesNo.map((term) => term.drivers.reduce((product, [, weight]) => product * (1 - weight), 1));

  function bring(first: number, second: number): void {
    compose(state, effects[first]!, effects[second]!);
    for (const cell of needs.cells) settleCell(state, cell, control);
    if (needs.symptoms) driveSymptoms(state, drivers);
    if (needs.monitors) driveMonitors(state, drivers);
    for (let index = 0; index < distinct.length; index += 1) {
      predict(state, distinct[index]!, around, prediction);
      middles[index] = prediction.middle;
      spreads[index] = prediction.spread;
    }
  }

  function yesNoOf(index: number, first: number, second: number): number {
    const term = yesNo[index]!;
    let absent =
      term.backgroundAbsence * term.ownAbsence[first]! * (second < healthyIndex ? term.ownAbsence[second]! : 1);
    const driven = term.drivers;
    for (let at = 0; at < driven.length; at += 1) absent *= 1 - driven[at]![1] * drivers[driven[at]![0]]!;
    const value = yesNoLikelihood(absent, term);
    return term.strength === 1 ? value : value ** term.strength;
  }

  function readingOf(index: number): number {
    const term = readings[index]!;
    const at = places[index]!;
    let sum = 0;
    for (let k = 0; k < at.length; k += 1) {
      const { index: place, weight } = at[k]!;
      const spread = spreads[place]! * term.widen;
      if (term.limit === null) sum += weight * relativeDensity(term.value, middles[place]!, spread);
      else {
        const below = cumulative(term.value, middles[place]!, spread);
        sum += weight * (term.limit === 'at-least' ? 1 - below : below);
      }
    }
    return term.strength === 1 ? sum : sum ** term.strength;
  }

  return {
    likelihood(first, second) {
      const other = second < 0 ? healthyIndex : second;
      bring(first, other);
      let product = factorOf[first]! * factorOf[other]!;
      for (let index = 0; index < yesNo.length; index += 1) product *= yesNoOf(index, first, other);
      for (let index = 0; index < readings.length; index += 1) product *= readingOf(index);
      return product;
    },
    bound(first, second) {
      const other = second < 0 ? healthyIndex : second;
      let product = factorOf[first]! * factorOf[other]! * ceiling;
      for (let index = 0; index < yesNo.length; index += 1) {
        const term = yesNo[index]!;
        let absent =
          term.backgroundAbsence * term.ownAbsence[first]! * (other < healthyIndex ? term.ownAbsence[other]! : 1);
        // Drivers lie between 0 and 1: all at 1 for what is there, all at 0 for what is not.
        if (term.present) absent *= loosest[index]!;
        const value = yesNoLikelihood(absent, term);
        product *= term.strength === 1 ? value : value ** term.strength;
      }
      return product;
    },
    termLikelihoods(first, second, out) {
      const other = second < 0 ? healthyIndex : second;
      bring(first, other);
      let yes = 0;
      let figure = 0;
      terms.forEach((term, index) => {
        if (term.kind === 'yes-no') out[index] = yesNoOf(yes++, first, other);
        else if (term.kind === 'reading') out[index] = readingOf(figure++);
        else out[index] = ((term.factor[first] ?? 1) * (term.factor[other] ?? 1)) ** term.strength;
      });
    },
    peaks(first, second) {
      bring(first, second < 0 ? healthyIndex : second);
      let figure = 0;
      return Float64Array.from(terms, (term) => {
        if (term.kind !== 'reading') return 1;
        const at = places[figure++]!;
        if (term.limit !== null) return 1;
        return at.reduce((most, { index, weight }) => Math.max(most, weight / (spreads[index]! * term.widen)), 0);
      });
    },
    stateOf(first, second) {
      compose(state, effects[first]!, effects[second < 0 ? healthyIndex : second]!);
      for (let cell = 0; cell < around.banks * pointCount; cell += 1) settleCell(state, cell, control);
      return state;
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

/** Which cells must be settled and which drivers filled for these terms. */
function whatIsNeeded(
  terms: readonly Term[],
  banks: number,
): { cells: number[]; symptoms: boolean; monitors: boolean } {
  const cells = new Set<number>();
  let symptoms = false;
  let monitors = false;
  const all = () => {
    for (let cell = 0; cell < Math.min(cellCount, banks * pointCount); cell += 1) cells.add(cell);
  };
  for (const term of terms) {
    if (term.kind === 'yes-no') {
      for (const [driver] of term.drivers) {
        if (driver < symptomDriverCount) symptoms = true;
        else monitors = true;
      }
    }
    if (term.kind !== 'reading') continue;
    for (const { observable } of term.alternatives) {
      if (wholeEngine.has(observable.name)) all();
      else if (everyBank.has(observable.name)) {
        for (let bank = 0; bank < banks; bank += 1) cells.add(cellOf(bank, observable.point));
      } else if (!unsettled.has(observable.name)) cells.add(cellOf(observable.bank, observable.point));
    }
  }
  if (symptoms || monitors) all();
  return { cells: [...cells].sort((a, b) => a - b), symptoms, monitors };
}
