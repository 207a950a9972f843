// The settled mixture of every single fault and every pair, and what instruments would show of it, worked out once for an engine
// and kept: none of it depends on what the owner says. A post then only reads rows; working them out anew would be most of the
// time of an answer.
import { type Control, usualControl } from './closed-loop.ts';
import { driveMonitors, mixtureDriverCount } from './code-setting.ts';
import { noEffects } from './effects.ts';
import type { Hypotheses } from './hypotheses.ts';
import { airTaken, pointCount } from './operating-points.ts';
import { type Observable, predict, type Surroundings } from './predict.ts';
import { compose, newState, rowsOf, type State, settleCell } from './state.ts';
import { driveSymptoms } from './symptom-drivers.ts';

/** Lowest and highest value of a number over each block, for bounds. */
interface Extremes {
  readonly low: Float32Array;
  readonly high: Float32Array;
}

/** One observable of every row. */
export interface Column {
  readonly middle: Float32Array;
  readonly spread: Float32Array;
  readonly middleOver: Extremes;
  readonly spreadOver: Extremes;
}

export interface SettledTable {
  /** Faults; the index one behind the last stands for "no second fault". */
  readonly faults: number;
  /** Singles; the index one behind the last is the healthy engine. */
  readonly nobody: number;
  /** First single of each fault, with entries for "no second fault" and the end. */
  readonly start: Int32Array;
  /**
   * First row of the block of two faults, (faults + 1) x (faults + 1), first < second. In a block the rows of the first fault's
   * singles follow each other, and in each the second fault's.
   */
  readonly blockStart: Int32Array;
  /** Mixture drivers, rows x mixtureDriverCount, with their extremes over blocks. */
  readonly drivers: Float32Array;
  readonly driversOver: Extremes;
  /** The columns of these observables; those not asked for before are worked out in one pass. */
  readonly columns: (observables: readonly Observable[]) => Column[];
  /** The settled state of a hypothesis, `second` = nobody for one fault alone; valid until the next call. */
  readonly stateOf: (first: number, second: number) => State;
}

/** Tables kept for one list of hypotheses, and columns for one table: one of two banks holds 2 MB and 0.25 MB a column. */
const mostTables = 4;
const mostColumns = 24;

/** Displacement is taken as the nearest of these [L]: holes and leaks are known to a factor of two at best. */
const displacements = [1.2, 2, 3, 4.6, 6.2];

const kept = new WeakMap<Hypotheses, Map<number, SettledTable>>();

export function settledTable(hypotheses: Hypotheses, displacement: number, around: Surroundings): SettledTable {
  const nearest = displacements.reduce((best, size) =>
    Math.abs(Math.log(size / displacement)) < Math.abs(Math.log(best / displacement)) ? size : best,
  );
  const tables = kept.get(hypotheses) ?? new Map<number, SettledTable>();
  kept.set(hypotheses, tables);
  const known = tables.get(nearest);
  if (known) return known;
  const built = buildTable(hypotheses, airTaken(nearest), around);
  if (tables.size >= mostTables) tables.delete(tables.keys().next().value!);
  tables.set(nearest, built);
  return built;
}

export function buildTable(
  hypotheses: Hypotheses,
  air: Float64Array,
  around: Surroundings,
  control: Control = usualControl,
): SettledTable {
  const faults = hypotheses.faults.length;
  const nobody = hypotheses.singles.length;
  const start = Int32Array.from([...hypotheses.start, nobody + 1]);
  const effects = rowsOf([...hypotheses.singles.map((single) => single.effects), noEffects()]);
  const state = newState(around.banks, air);
  const { blockStart, rowCount } = layBlocks(start, faults);
  const width = faults + 1;
  const drivers = new Float32Array(rowCount * mixtureDriverCount);
  const driversOver = newExtremes(width * width * mixtureDriverCount);
  const cells = around.banks * pointCount;
  const driven = new Float64Array(mixtureDriverCount);

  function bring(first: number, second: number): void {
    compose(state, effects, first, second);
    for (let cell = 0; cell < cells; cell += 1) settleCell(state, cell, control);
  }

  eachRow(start, faults, blockStart, (row, block, first, second) => {
    bring(first, second);
    driveSymptoms(state, driven);
    driveMonitors(state, driven);
    for (let index = 0; index < mixtureDriverCount; index += 1) {
      drivers[row * mixtureDriverCount + index] = driven[index]!;
      widen(driversOver, block * mixtureDriverCount + index, drivers[row * mixtureDriverCount + index]!);
    }
  });

  const known = new Map<string, Column>();
  const prediction = { middle: 0, spread: 1 };
  function workOut(observables: readonly Observable[]): void {
    const fresh = observables.map(
      (): Column => ({
        middle: new Float32Array(rowCount),
        spread: new Float32Array(rowCount),
        middleOver: newExtremes(width * width),
        spreadOver: newExtremes(width * width),
      }),
    );
    eachRow(start, faults, blockStart, (row, block, first, second) => {
      bring(first, second);
      for (let index = 0; index < fresh.length; index += 1) {
        const column = fresh[index]!;
        predict(state, observables[index]!, around, prediction);
        column.middle[row] = prediction.middle;
        column.spread[row] = prediction.spread;
        widen(column.middleOver, block, column.middle[row]!);
        widen(column.spreadOver, block, column.spread[row]!);
      }
    });
    for (const [index, observable] of observables.entries()) known.set(nameOf(observable), fresh[index]!);
  }

  return {
    faults,
    nobody,
    start,
    blockStart,
    drivers,
    driversOver,
    columns(observables) {
      const missing = observables.filter((observable) => !known.has(nameOf(observable)));
      if (known.size + missing.length > mostColumns) known.clear();
      const again = observables.filter((observable) => !known.has(nameOf(observable)));
      if (again.length > 0) workOut(again);
      return observables.map((observable) => known.get(nameOf(observable))!);
    },
    stateOf(first, second) {
      bring(first, second);
      return state;
    },
  };
}

/** Row of two singles of the faults given; `second` nobody is the fault after the last. */
export function rowOf(
  table: Pick<SettledTable, 'start' | 'blockStart' | 'faults'>,
  firstFault: number,
  secondFault: number,
  first: number,
  second: number,
): number {
  const { start, blockStart, faults } = table;
  const across = start[secondFault + 1]! - start[secondFault]!;
  return (
    blockStart[firstFault * (faults + 1) + secondFault]! +
    (first - start[firstFault]!) * across +
    (second - start[secondFault]!)
  );
}

function nameOf(observable: Observable): string {
  return `${observable.name} ${observable.bank} ${observable.point}`;
}

function layBlocks(start: Int32Array, faults: number): { blockStart: Int32Array; rowCount: number } {
  const blockStart = new Int32Array((faults + 1) * (faults + 1));
  let rowCount = 0;
  for (let first = 0; first < faults; first += 1) {
    for (let second = first + 1; second <= faults; second += 1) {
      blockStart[first * (faults + 1) + second] = rowCount;
      rowCount += (start[first + 1]! - start[first]!) * (start[second + 1]! - start[second]!);
    }
  }
  return { blockStart, rowCount };
}

function eachRow(
  start: Int32Array,
  faults: number,
  blockStart: Int32Array,
  visit: (row: number, block: number, first: number, second: number) => void,
): void {
  for (let one = 0; one < faults; one += 1) {
    for (let other = one + 1; other <= faults; other += 1) {
      const block = one * (faults + 1) + other;
      let row = blockStart[block]!;
      for (let first = start[one]!; first < start[one + 1]!; first += 1) {
        for (let second = start[other]!; second < start[other + 1]!; second += 1) visit(row++, block, first, second);
      }
    }
  }
}

function newExtremes(length: number): Extremes {
  return { low: new Float32Array(length).fill(Infinity), high: new Float32Array(length).fill(-Infinity) };
}

function widen(extremes: Extremes, at: number, value: number): void {
  if (value < extremes.low[at]!) extremes.low[at] = value;
  if (value > extremes.high[at]!) extremes.high[at] = value;
}
