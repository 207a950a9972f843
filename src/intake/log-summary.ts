// Sums a log up by running condition while its rows go by: means, extremes and switches per second of each column at warm idle,
// cruise and load. read-log.ts feeds it; nothing of a row is kept.
import { type Condition, type Quantity, quantities } from '../vocabulary/quantities.ts';
import type { LogColumn } from './log-columns.ts';
import { SignalTrace, type Trace } from './signal-trace.ts';

interface Sum {
  count: number;
  total: number;
  low: number;
  high: number;
}

interface Switching {
  crossings: number;
  /** Seconds of unbroken rows in this condition. */
  seconds: number;
  isHigh: boolean | null;
}

export interface Summary {
  readonly column: LogColumn;
  readonly when: Condition | null;
  readonly rows: number;
  readonly mean: number;
  readonly low: number;
  readonly high: number;
  /** Null without a time column or below twenty seconds. */
  readonly switchesPerSecond: number | null;
  /** A stretch of an oxygen sensor's signal; null for other columns and for short ones. */
  readonly trace: (Trace & { readonly when: Condition | null }) | null;
}

/** Fewest rows of a condition that make a mean worth giving (judgement). */
const fewestRows = 8;
/** Top of the conventional sensor's byte: no voltage. Source: SAE J1979, parameters 14 to 1B (255/200 V). */
const topOfScale = 1.275;
/** Hysteresis about 0.45 V, so that noise at the threshold is no switch (judgement). */
const [richAbove, leanBelow] = [0.6, 0.3];

/** Gathers rows of one log; `columns` in the order of the cells. */
export class LogSummary {
  readonly #columns: readonly LogColumn[];
  readonly #sums = new Map<string, Sum>();
  readonly #switching = new Map<string, Switching>();
  readonly #traces = new Map<string, SignalTrace>();
  /** By column, over all conditions of a warm running engine: for logs that change condition before a stretch is long enough. */
  readonly #mixed = new Map<number, SignalTrace>();
  readonly #index: (quantity: Quantity) => number;
  #lastTime = Number.NaN;
  #lastWhen: Condition | null | 'none' = 'none';
  #hasTime = false;
  #mixedTime = Number.NaN;

  constructor(columns: readonly LogColumn[]) {
    this.#columns = columns;
    this.#index = (quantity) => columns.findIndex((column) => column.quantity === quantity);
  }

  /** One row: values in the columns' own units (NaN where missing), and its time in seconds (NaN where unknown). */
  add(values: readonly number[], time: number): void {
    const when = this.#conditionOf(values);
    const step = time - this.#lastTime;
    const followsOn = when === this.#lastWhen;
    const isUnbroken = followsOn && step >= 0 && step < 5;
    if (Number.isFinite(time)) this.#hasTime = true;
    this.#lastTime = time;
    this.#lastWhen = when;
    this.#traceMixed(values, time, when);
    if (when === 'none') return;
    for (const [index, column] of this.#columns.entries()) {
      const value = values[index]!;
      // A column called lambda may hold air-fuel ratios; read-log.ts tells them apart by their mean.
      const [lowest, highest] = column.quantity === 'lambda' ? [0.5, 60] : quantities[column.quantity].possible;
      if (!Number.isFinite(value) || value < lowest || value > highest) continue;
      if (column.quantity.endsWith('-trim') && value > 99) continue;
      if (column.quantity === 'sensor-voltage' && Math.abs(value - topOfScale) < 1e-6) continue;
      const key = `${index} ${when}`;
      const sum = this.#sums.get(key) ?? {
        count: 0,
        total: 0,
        low: Number.POSITIVE_INFINITY,
        high: Number.NEGATIVE_INFINITY,
      };
      sum.count += 1;
      sum.total += value;
      sum.low = Math.min(sum.low, value);
      sum.high = Math.max(sum.high, value);
      this.#sums.set(key, sum);
      if (column.quantity === 'sensor-voltage') {
        this.#countSwitch(key, value, isUnbroken ? step : Number.NaN);
        const trace = this.#traces.get(key) ?? new SignalTrace();
        trace.add(value, time, isUnbroken || (!Number.isFinite(time) && followsOn));
        this.#traces.set(key, trace);
      }
    }
  }

  #traceMixed(values: readonly number[], time: number, when: Condition | null | 'none'): void {
    const value = (quantity: Quantity) => values[this.#index(quantity)] ?? Number.NaN;
    if (when === 'cold' || value('engine-speed') < 300 || value('coolant-temperature') < 60) return;
    const step = time - this.#mixedTime;
    this.#mixedTime = time;
    for (const [index, column] of this.#columns.entries()) {
      const volts = values[index]!;
      if (column.quantity !== 'sensor-voltage' || !(volts >= -1 && volts < topOfScale)) continue;
      const trace = this.#mixed.get(index) ?? new SignalTrace();
      trace.add(volts, time, !Number.isFinite(time) || (step >= 0 && step < 5));
      this.#mixed.set(index, trace);
    }
  }

  /** The stretch of one condition; else, beside the condition with the most rows, one over several. */
  #traceOf(index: number, when: Condition | null): Summary['trace'] {
    const own = this.#traces.get(`${index} ${when}`)?.result() ?? null;
    if (own) return { ...own, when };
    const rows = (other: Condition | null) => this.#sums.get(`${index} ${other}`)?.count ?? 0;
    const isMost = (['idle', '2500rpm', 'cruise', 'load', null] as const).every((other) => rows(other) <= rows(when));
    const mixed = isMost && when !== 'cold' ? (this.#mixed.get(index)?.result() ?? null) : null;
    return mixed && { ...mixed, when: null };
  }

  /** Warm idle, cruise, load and, where the log cannot tell, all rows together; in the order of the columns. */
  results(): Summary[] {
    const results: Summary[] = [];
    for (const [index, column] of this.#columns.entries()) {
      for (const when of ['cold', 'idle', '2500rpm', 'cruise', 'load', null] as const) {
        const sum = this.#sums.get(`${index} ${when}`);
        if (!sum || sum.count < fewestRows) continue;
        if (sum.low === 0 && sum.high === 0 && (column.quantity === 'sensor-voltage' || column.quantity === 'lambda'))
          continue;
        const switching = this.#switching.get(`${index} ${when}`);
        results.push({
          column,
          when,
          rows: sum.count,
          mean: sum.total / sum.count,
          low: sum.low,
          high: sum.high,
          switchesPerSecond:
            this.#hasTime && switching && switching.seconds >= 20 ? switching.crossings / switching.seconds : null,
          trace: this.#traceOf(index, when),
        });
      }
    }
    return results;
  }

  /** `none` for rows that say nothing of a running engine: key on, overrun, in between. Limits: judgement, as the trade uses the words. */
  #conditionOf(values: readonly number[]): Condition | null | 'none' {
    const value = (quantity: Quantity) => values[this.#index(quantity)] ?? Number.NaN;
    const [rpm, speed, load, coolant, throttle] = [
      value('engine-speed'),
      value('vehicle-speed'),
      value('engine-load'),
      value('coolant-temperature'),
      value('throttle-position'),
    ];
    if (this.#index('engine-speed') < 0) return null;
    if (!Number.isFinite(rpm) || rpm < 300) return 'none';
    const isMoving = Number.isFinite(speed) && speed > 0;
    if (rpm <= 1100 && !isMoving) return coolant < 60 ? 'cold' : coolant < 75 ? 'none' : 'idle';
    if (coolant < 70) return 'none';
    if (load >= 75 || throttle >= 75) return 'load';
    if (speed >= 50) return load >= 20 && load <= 60 ? 'cruise' : this.#index('engine-load') < 0 ? 'cruise' : 'none';
    return !isMoving && this.#index('vehicle-speed') >= 0 && rpm >= 2000 && rpm <= 3000 ? '2500rpm' : 'none';
  }

  #countSwitch(key: string, volts: number, step: number): void {
    const state = this.#switching.get(key) ?? { crossings: 0, seconds: 0, isHigh: null };
    if (Number.isFinite(step)) state.seconds += step;
    else state.isHigh = null;
    const isHigh = volts >= richAbove ? true : volts <= leanBelow ? false : state.isHigh;
    if (state.isHigh !== null && isHigh !== state.isHigh && Number.isFinite(step)) state.crossings += 1;
    state.isHigh = isHigh;
    this.#switching.set(key, state);
  }
}
