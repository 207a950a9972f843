// The likelihood of all terms under one hypothesis or a pair. Built once for a post and a world; its arrays are reused for every
// hypothesis, since a post asks for tens of thousands.
import { type Control, usualControl } from './closed-loop.ts';
import { driveMonitors, mixtureDriverCount } from './code-setting.ts';
import { type Effects, noEffects } from './effects.ts';
import { layReadings } from './lay-readings.ts';
import { layYesNo } from './lay-yes-no.ts';
import { cellCount, cellOf, pointCount } from './operating-points.ts';
import type { ObservableName, Prediction, Surroundings } from './predict.ts';
import { compose, newState, rowsOf, type State, settleCell } from './state.ts';
import { driveSymptoms, symptomDriverCount } from './symptom-drivers.ts';
import type { Term } from './terms.ts';

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
  terms: readonly Term[],
  airTaken: Float64Array,
  around: Surroundings,
  control: Control = usualControl,
): Evaluator {
  const state = newState(around.banks, airTaken);
  const drivers = new Float64Array(mixtureDriverCount);
  const prediction: Prediction = { middle: 0, spread: 1 };
  const rows = rowsOf([...singles.map((single) => single.effects), noEffects()]);
  const nobody = singles.length;
  const needs = whatIsNeeded(terms, around.banks);
  const cells = Int32Array.from(needs.cells);

  const figures = layReadings(terms.filter((term) => term.kind === 'reading'));
  const marks = layYesNo(
    terms.filter((term) => term.kind === 'yes-no'),
    nobody,
  );
  const factorOf = factorsOf(terms, nobody);

  function bring(first: number, second: number): void {
    compose(state, rows, first, second);
    for (let index = 0; index < cells.length; index += 1) settleCell(state, cells[index]!, control);
    if (needs.symptoms) driveSymptoms(state, drivers);
    if (needs.monitors) driveMonitors(state, drivers);
    for (let index = 0; index < figures.distinct.length; index += 1) {
      const { bank, point } = figures.distinct[index]!;
      figures.predictors[index]!(state, bank, point, around, prediction);
      figures.middles[index] = prediction.middle;
      figures.spreads[index] = prediction.spread;
    }
  }

  function indexOf(second: number): number {
    return second < 0 ? nobody : second;
  }

  return {
    likelihood(first, second) {
      const other = indexOf(second);
      bring(first, other);
      let product = factorOf[first]! * factorOf[other]!;
      for (let index = 0; index < marks.count; index += 1) product *= marks.likelihood(index, first, other, drivers);
      for (let index = 0; index < figures.count; index += 1) product *= figures.likelihood(index);
      return product;
    },
    bound(first, second) {
      const other = indexOf(second);
      let product = factorOf[first]! * factorOf[other]! * figures.ceiling;
      for (let index = 0; index < marks.count; index += 1) product *= marks.bound(index, first, other);
      return product;
    },
    termLikelihoods(first, second, out) {
      const other = indexOf(second);
      bring(first, other);
      let mark = 0;
      let figure = 0;
      terms.forEach((term, index) => {
        if (term.kind === 'yes-no') out[index] = marks.likelihood(mark++, first, other, drivers);
        else if (term.kind === 'reading') out[index] = figures.likelihood(figure++);
        else out[index] = ((term.factor[first] ?? 1) * (term.factor[other] ?? 1)) ** term.strength;
      });
    },
    peaks(first, second) {
      bring(first, indexOf(second));
      let figure = 0;
      return Float64Array.from(terms, (term) => (term.kind === 'reading' ? figures.peak(figure++) : 1));
    },
    stateOf(first, second) {
      compose(state, rows, first, indexOf(second));
      for (let cell = 0; cell < around.banks * pointCount; cell += 1) settleCell(state, cell, control);
      return state;
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
