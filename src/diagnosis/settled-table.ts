// The settled mixture of every fault and every two faults, and what instruments would show of it. None of it depends on what the
// owner says, so it is kept for an engine; it is worked out only for what a post asks about, and once for all faults that act on it
// alike, so that the first post of an engine costs little more than the next.
import { type Control, usualControl } from './closed-loop.ts';
import { driveMonitors, mixtureDriverCount } from './code-setting.ts';
import { type Classes, classesByEffects, type Inputs, keyOf } from './effect-classes.ts';
import { noEffects } from './effects.ts';
import type { Hypotheses } from './hypotheses.ts';
import { cellInputs, driverInputs, inputsOf } from './observable-inputs.ts';
import type { Observable } from './observables.ts';
import { airTaken } from './operating-points.ts';
import { predict, type Surroundings } from './predict.ts';
import { compose, composeInputs, newState, rowsOf, type State, settleCell } from './state.ts';
import { driveSymptoms, symptomDriverCount } from './symptom-drivers.ts';

/** One observable for every two classes of faults, count x count and symmetric; class 0 is "no fault". */
export interface Column {
  readonly classes: Classes;
  readonly middle: Float64Array;
  readonly spread: Float64Array;
}

/** One mixture driver for every two classes of faults. */
export interface DriverGrid {
  readonly classes: Classes;
  readonly value: Float64Array;
}

export interface SettledTable {
  readonly hypotheses: Hypotheses;
  /** Singles; the index one behind the last is the healthy engine. */
  readonly nobody: number;
  readonly around: Surroundings;
  /** In the order asked for. */
  readonly columns: (observables: readonly Observable[]) => Column[];
  readonly driver: (driver: number) => DriverGrid;
  /** Mixture drivers of each single alone, (nobody + 1) x mixtureDriverCount. */
  readonly aloneDrivers: Float64Array;
  /** The settled state of one to three singles together; nobody adds nothing. Valid until the next call. */
  readonly stateOf: (first: number, second: number, third?: number) => State;
}

/** Tables kept for one list of hypotheses, and columns for one table: a column of two banks holds up to 0.7 MB. */
const mostTables = 5;
const mostColumns = 48;

/** Displacement is taken as the nearest of these [L]: holes and leaks are known to a factor of two at best. */
const displacements = [1.2, 2, 3, 4.6, 6.2];

const kept = new WeakMap<Hypotheses, Map<string, SettledTable>>();

export function settledTable(hypotheses: Hypotheses, displacement: number, around: Surroundings): SettledTable {
  const nearest = displacements.reduce((best, size) =>
    Math.abs(Math.log(size / displacement)) < Math.abs(Math.log(best / displacement)) ? size : best,
  );
  const tables = kept.get(hypotheses) ?? new Map<string, SettledTable>();
  kept.set(hypotheses, tables);
  const key = `${nearest} ${Object.values(around).join()}`;
  const known = tables.get(key);
  if (known) return known;
  const built = buildTable(hypotheses, airTaken(nearest), around);
  if (tables.size >= mostTables) tables.delete(tables.keys().next().value!);
  tables.set(key, built);
  return built;
}

export function buildTable(
  hypotheses: Hypotheses,
  air: Float64Array,
  around: Surroundings,
  control: Control = usualControl,
): SettledTable {
  const nobody = hypotheses.singles.length;
  const rows = rowsOf([...hypotheses.singles.map((single) => single.effects), noEffects()]);
  const whole = newState(around.banks, air);
  const everyCell = Array.from(whole.air.keys()).filter((cell) => whole.air[cell]! > 0);

  function stateOf(first: number, second: number, third?: number): State {
    compose(whole, rows, first, second, third);
    for (const cell of everyCell) settleCell(whole, cell, control);
    return whole;
  }

  /** Settles what `inputs` names for every two classes and hands it on, each two once. */
  function eachTwo(inputs: Inputs, visit: (state: State, one: number, other: number) => void): Classes {
    const classes = classesByEffects(hypotheses, inputs, cellInputs);
    const { count, example } = classes;
    const state = newState(around.banks, air);
    const cells = inputs.cells.filter((cell) => state.air[cell]! > 0).map((cell) => ({ cell, ...settledCell(cell) }));
    const times = Int32Array.from(inputs.times);
    const plus = Int32Array.from(inputs.plus);
    for (let one = 0; one < count; one += 1) {
      const first = example[one]!;
      for (let other = one; other < count; other += 1) {
        const second = example[other]!;
        composeInputs(state, rows, first, second, times, plus);
        for (let index = 0; index < cells.length; index += 1) {
          const { cell, classes: ofCell, settled } = cells[index]!;
          const at = 3 * (ofCell.of[first]! * ofCell.count + ofCell.of[second]!);
          state.trim[cell] = settled[at]!;
          state.lambda[cell] = settled[at + 1]!;
          state.reported[cell] = settled[at + 2]!;
        }
        visit(state, one, other);
      }
    }
    return classes;
  }

  /** Correction, true and reported lambda of one cell for every two classes. */
  const settledCells = new Map<number, { readonly classes: Classes; readonly settled: Float64Array }>();
  function settledCell(cell: number): { readonly classes: Classes; readonly settled: Float64Array } {
    const known = settledCells.get(cell);
    if (known) return known;
    const inputs = cellInputs(cell);
    const { count } = classesByEffects(hypotheses, inputs, cellInputs);
    const settled = new Float64Array(3 * count * count);
    const classes = eachTwo(inputs, (state, one, other) => {
      settleCell(state, cell, control);
      const at = 3 * (one * count + other);
      settled[at] = state.trim[cell]!;
      settled[at + 1] = state.lambda[cell]!;
      settled[at + 2] = state.reported[cell]!;
      settled.copyWithin(3 * (other * count + one), at, at + 3);
    });
    settledCells.set(cell, { classes, settled });
    return { classes, settled };
  }

  const columns = new Map<string, Column>();
  const prediction = { middle: 0, spread: 1 };
  function workOut(observables: readonly Observable[]): void {
    const groups = new Map<string, Observable[]>();
    for (const observable of observables) {
      const key = keyOf(inputsOf(observable));
      groups.set(key, [...(groups.get(key) ?? []), observable]);
    }
    for (const group of groups.values()) {
      const inputs = inputsOf(group[0]!);
      const { count } = classesByEffects(hypotheses, inputs, cellInputs);
      const grids = group.map(() => ({
        middle: new Float64Array(count * count),
        spread: new Float64Array(count * count),
      }));
      const classes = eachTwo(inputs, (state, one, other) => {
        const at = one * count + other;
        const mirrored = other * count + one;
        for (let index = 0; index < group.length; index += 1) {
          predict(state, group[index]!, around, prediction);
          const grid = grids[index]!;
          grid.middle[at] = prediction.middle;
          grid.middle[mirrored] = prediction.middle;
          grid.spread[at] = prediction.spread;
          grid.spread[mirrored] = prediction.spread;
        }
      });
      group.forEach((observable, index) => {
        columns.set(nameOf(observable), { classes, ...grids[index]! });
      });
    }
  }

  const drivers = new Map<string, DriverGrid>();
  const driven = new Float64Array(mixtureDriverCount);
  function driver(which: number): DriverGrid {
    const inputs = driverInputs(which);
    const key = keyOf(inputs);
    const known = drivers.get(`${which}`);
    if (known) return known;
    const alike = Array.from(driven.keys()).filter((other) => keyOf(driverInputs(other)) === key);
    const { count } = classesByEffects(hypotheses, inputs, cellInputs);
    const grids = alike.map(() => new Float64Array(count * count));
    const drive = which < symptomDriverCount ? driveSymptoms : driveMonitors;
    const classes = eachTwo(inputs, (state, one, other) => {
      drive(state, driven);
      for (let index = 0; index < alike.length; index += 1) {
        const value = driven[alike[index]!]!;
        grids[index]![one * count + other] = value;
        grids[index]![other * count + one] = value;
      }
    });
    alike.forEach((other, index) => {
      drivers.set(`${other}`, { classes, value: grids[index]! });
    });
    return drivers.get(`${which}`)!;
  }

  const aloneDrivers = new Float64Array((nobody + 1) * mixtureDriverCount);
  for (let single = 0; single <= nobody; single += 1) {
    const state = stateOf(single, nobody);
    driveSymptoms(state, driven);
    driveMonitors(state, driven);
    aloneDrivers.set(driven, single * mixtureDriverCount);
  }

  return {
    hypotheses,
    nobody,
    around,
    driver,
    aloneDrivers,
    stateOf,
    columns(observables) {
      const missing = observables.filter((observable) => !columns.has(nameOf(observable)));
      if (columns.size + missing.length > mostColumns) columns.clear();
      const again = observables.filter((observable) => !columns.has(nameOf(observable)));
      if (again.length > 0) workOut(again);
      return observables.map((observable) => columns.get(nameOf(observable))!);
    },
  };
}

function nameOf(observable: Observable): string {
  return `${observable.name} ${observable.bank} ${observable.point}`;
}
