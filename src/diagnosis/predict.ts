// From the state of an engine to what an instrument would show: for each quantity that a reading may have, the value that the
// model expects and how widely such readings really scatter. likelihood of findings and gain of questions both come from here.
import { pumpCurrentFromLambda } from '../calculators/wide-range-lambda.ts';
import { usualControl } from './closed-loop.ts';
import { plus, times, warmCoolant } from './effects.ts';
import { addTailpipeGas, gasOrder } from './gas.ts';
import { type Observable, type ObservableName, onScale } from './observables.ts';
import { cellOf, pointCount } from './operating-points.ts';
import { smoothStep } from './smooth-step.ts';
import type { State } from './state.ts';

export interface Prediction {
  middle: number;
  spread: number;
}

/** What the model needs to know of the engine beyond its state. */
export interface Surroundings {
  readonly manifoldPressureMetering: boolean;
  /** 1 or 2. */
  readonly banks: number;
}

/**
 * Writes what the model expects of one observable.
 *
 * @param out middle and spread (Student-t scale) on the observable's scale (see onScale)
 */
type Predictor = (state: State, bank: number, point: number, around: Surroundings, out: Prediction) => void;

/** Conversion of a hot catalyst in good order. */
export const freshConversion = 0.97;

/** Load 0..1 by point, for NOx. */
const loadOf = [0.05, 0.15, 0.35, 0.8];

/** One gas at the tailpipe, all banks mixed; worked out once for a state and point. */
function gasAt(state: State, point: number, which: number): number {
  const at = 5 * point;
  if (state.gasReady[point] === 0) {
    state.gasReady[point] = 1;
    for (let index = at; index < at + 5; index += 1) state.gas[index] = 0;
    for (let bank = 0; bank < state.banks; bank += 1) {
      const cell = cellOf(bank, point);
      addTailpipeGas(
        state.gas,
        at,
        state.lambda[cell]!,
        state.times[times.firing + cell]!,
        state.plus[plus.exhaustAir + cell]!,
        state.plus[plus.tailpipeAir + bank]!,
        freshConversion * state.times[times.catalyst + bank]!,
        state.plus[plus.oil]!,
        state.times[times.freshCharge + point]!,
        loadOf[point]!,
        1 / state.banks,
      );
    }
  }
  return state.gas[at + which]!;
}

/** Volts of a wide-range sensor at lambda 1 and by how much they rise for each 1 of lambda, rich and lean (from memory). */
const wideVoltage = { balanced: 3.3, rich: 5.3, lean: 2.7 };

function wideVolts(state: State, cell: number, scale: number, out: Prediction): void {
  const off = state.reported[cell]! - 1;
  const moved = Math.max(-1.1, Math.min(0.9, off * (off < 0 ? wideVoltage.rich : wideVoltage.lean)));
  if (isAlive(state, cell)) set(out, scale * (wideVoltage.balanced + moved), scale * (0.1 + 0.3 * Math.abs(moved)));
  else set(out, scale * wideVoltage.balanced, scale * 0.9);
}

/** Pump current [mA] at a lambda, kept within the curve of the one published sheet. */
function pumpCurrent(lambda: number): number {
  const result = pumpCurrentFromLambda(Math.max(0.66, Math.min(5, lambda)));
  return result.valid ? result.value : 0;
}

/** Share of missed firings at a cell: a restless sensor, scattered readings. */
function missed(state: State, cell: number): number {
  return 1 - state.times[times.firing + cell]!;
}

function isAlive(state: State, cell: number): boolean {
  return state.times[times.alive + cell]! > 0.5;
}

function set(out: Prediction, middle: number, spread: number): void {
  out.middle = middle;
  out.spread = spread;
}

/** Spread of healthy cars' corrections by point [%]. Source: faults sheet 2.1, common practice. */
const trimSpread = [3.6, 3.4, 3.4, 4.2];

/** What makers let readers show of a correction at its limit, low and high, long term alone or both [%] (judgement: 25 to 56 high). */
const limitsShown = [-30, 38] as const;

/** True where the control can do no more: then the figure tells of the maker's limit, not of the fault. */
function isAtLimit(state: State, cell: number): boolean {
  const trim = state.trim[cell]!;
  return trim >= usualControl.highest - 1e-9 || trim <= usualControl.lowest + 1e-9;
}

/** The correction as a reader shows it [%]. */
function shownTrim(state: State, cell: number): number {
  const trim = state.trim[cell]!;
  return isAtLimit(state, cell) ? limitsShown[trim > 0 ? 1 : 0] : 100 * trim;
}

/** A front sensor moves about its switching point only while the control holds it there. */
const held = 0.02;

/** Every spread is judgement unless a source is named: how such readings scatter over cars that have the state. */
const predictors: Readonly<Record<ObservableName, Predictor>> = {
  trim(state, bank, point, _around, out) {
    const cell = cellOf(bank, point);
    const trim = 100 * state.trim[cell]!;
    // Severities stand about a factor of two apart: a car between two of them lies within a quarter of the nearer one.
    const spread = trimSpread[point]! + 0.22 * Math.abs(trim) + 20 * missed(state, cell);
    if (!isAlive(state, cell)) set(out, trim, 9);
    else if (isAtLimit(state, cell)) set(out, limitsShown[trim > 0 ? 1 : 0], 12);
    else set(out, trim, spread);
  },
  // From idle to another point of one car: its own tolerances cancel, so the change is sharper than either figure.
  'trim-change'(state, bank, point, _around, out) {
    const [cell, idle] = [cellOf(bank, point), cellOf(bank, 0)];
    const change = shownTrim(state, cell) - shownTrim(state, idle);
    const atLimit = Number(isAtLimit(state, cell)) + Number(isAtLimit(state, idle));
    if (!isAlive(state, cell) || !isAlive(state, idle)) set(out, 0, 6);
    else if (atLimit === 1) set(out, change, 10);
    else
      set(
        out,
        change,
        2.2 + Math.min(4, 0.2 * Math.abs(change)) + 20 * Math.max(missed(state, cell), missed(state, idle)),
      );
  },
  // Without the long-term figure: the learnt part may hide any share of the correction.
  'short-trim'(state, bank, point, _around, out) {
    const cell = cellOf(bank, point);
    const trim = 100 * state.trim[cell]!;
    set(out, 0.5 * trim, isAlive(state, cell) ? 4 + 0.3 * Math.abs(trim) + 20 * missed(state, cell) : 6);
  },
  'front-lambda'(state, bank, point, _around, out) {
    const cell = cellOf(bank, point);
    const reported = state.reported[cell]!;
    if (isAlive(state, cell)) set(out, reported, 0.012 + 0.3 * Math.abs(reported - 1));
    else set(out, 1, 0.1);
  },
  'front-voltage'(state, bank, point, _around, out) {
    const cell = cellOf(bank, point);
    if (isAlive(state, cell)) set(out, 0.06 + 0.82 * smoothStep(1, state.reported[cell]!, 0.012), 0.11);
    else set(out, 0.45, 0.16);
  },
  'front-swing'(state, bank, point, _around, out) {
    const cell = cellOf(bank, point);
    const moving = isAlive(state, cell) && Math.abs(state.reported[cell]! - 1) < held;
    set(out, moving ? 0.72 / (1 + 0.8 * state.plus[plus.lag + bank]!) : 0.12, 0.1);
  },
  // A wide-range sensor as readers show it: volts that rise with lambda, on the usual scale or a fifth of it.
  'wide-voltage'(state, bank, point, _around, out) {
    wideVolts(state, cellOf(bank, point), 1, out);
  },
  'wide-voltage-fifth'(state, bank, point, _around, out) {
    wideVolts(state, cellOf(bank, point), 0.2, out);
  },
  'wide-swing'(_state, _bank, _point, _around, out) {
    set(out, 0.06, 0.07);
  },
  // It does not switch: what a reader counts are crossings of a line that the signal hugs.
  'wide-switches'(_state, _bank, _point, _around, out) {
    set(out, onScale('wide-switches', 0.25), 1.4);
  },
  'pump-current'(state, bank, point, _around, out) {
    const cell = cellOf(bank, point);
    const current = isAlive(state, cell) ? pumpCurrent(state.reported[cell]!) : 0;
    // Makers' curves differ in height, not in sign.
    set(out, current, isAlive(state, cell) ? 0.04 + 0.4 * Math.abs(current) : 0.3);
  },
  'rear-voltage'(state, bank, point, _around, out) {
    const cell = cellOf(bank, point);
    const behind = state.lambda[cell]! * (1 + state.plus[plus.exhaustAir + cell]!);
    const worn = 1 - state.times[times.storage + bank]!;
    if (state.times[times.rearAlive + bank]! < 0.5) set(out, 0.45, 0.3);
    else
      set(out, 0.1 + 0.74 * smoothStep(1.004, behind, 0.008) + state.plus[plus.rearBias + bank]!, 0.08 + 0.12 * worn);
  },
  'rear-swing'(state, bank, _point, _around, out) {
    const worn = 1 - state.times[times.storage + bank]!;
    set(out, state.times[times.rearAlive + bank]! < 0.5 ? 0.05 : 0.15 + 0.6 * worn * Math.sqrt(worn), 0.12);
  },
  // A probe measures all banks mixed, with the air that came in on the way.
  'tail-lambda'(state, bank, point, _around, out) {
    let sum = 0;
    for (let index = 0; index < state.banks; index += 1) {
      const cell = cellOf(index, point);
      const air = (1 + state.plus[plus.exhaustAir + cell]!) * (1 + state.plus[plus.tailpipeAir + index]!);
      sum += state.lambda[cell]! * air;
    }
    const middle = sum / state.banks;
    set(out, middle, 0.012 + 0.2 * Math.abs(middle - 1) + 0.15 * missed(state, cellOf(bank, point)));
  },
  co(state, _bank, point, _around, out) {
    const co = gasAt(state, point, gasOrder.co);
    set(out, co, 0.12 + 0.3 * co);
  },
  co2(state, _bank, point, _around, out) {
    const co2 = gasAt(state, point, gasOrder.co2);
    set(out, co2, 0.5 + 0.25 * Math.abs(15.2 - co2));
  },
  o2(state, _bank, point, _around, out) {
    // Many control units cut the injector of a cylinder that misses: its air then comes through whole.
    let missing = 0;
    for (let bank = 0; bank < state.banks; bank += 1) missing += missed(state, cellOf(bank, point)) / state.banks;
    const o2 = gasAt(state, point, gasOrder.o2) + 6 * missing;
    set(out, o2, 0.2 + 0.35 * o2 + 5 * missing);
  },
  hc(state, _bank, point, _around, out) {
    set(out, onScale('hc', gasAt(state, point, gasOrder.hc)), 0.65);
  },
  nox(state, _bank, point, _around, out) {
    set(out, onScale('nox', gasAt(state, point, gasOrder.nox)), 0.9);
  },
  'air-flow'(state, _bank, point, _around, out) {
    let shown = 0;
    for (let index = 0; index < state.banks; index += 1) {
      const cell = cellOf(index, point);
      const through = state.air[cell]! * state.times[times.ductKeep + cell]! - state.plus[plus.leak + cell]!;
      shown += Math.max(0.1 * state.air[cell]!, through) * state.times[times.meter + cell]!;
    }
    set(out, onScale('air-flow', shown * state.times[times.filling + point]!), point > 0 ? 0.55 : 0.22);
  },
  'manifold-pressure'(state, _bank, point, around, out) {
    const burnt = Math.max(0, 1 - state.times[times.freshCharge + point]!);
    const loss = 1 - state.times[times.filling + point]!;
    const leak = 3 * (state.plus[plus.leak + cellOf(0, point)]! + state.plus[plus.leak + cellOf(1, point)]!);
    const measuredLeak = around.manifoldPressureMetering ? 6 * leak : leak;
    const wrong = 1 + state.plus[plus.pressureError + point]!;
    const raised = 45 * burnt + (point === 0 ? 50 * loss + measuredLeak : 0);
    set(out, (usualPressure[point]! + raised) * wrong, point === 0 ? 4.5 : 14);
  },
  'idle-speed'(state, _bank, _point, around, out) {
    const offset = state.plus[plus.idleSpeed]! * (around.manifoldPressureMetering ? 1 : 0.6);
    set(out, 760 + offset, 90 + 0.25 * Math.abs(offset));
  },
  coolant(state, _bank, _point, _around, out) {
    const wrong = state.plus[plus.coolantReading]!;
    set(out, warmCoolant - state.plus[plus.coolantDrop]! + wrong, 6 + 0.15 * Math.abs(wrong));
  },
  'fuel-pressure'(state, _bank, point, _around, out) {
    set(out, Math.log(usualFuelPressure * state.times[times.fuelPressure + point]!), 0.16);
  },
  heater(state, bank, _point, _around, out) {
    const open = state.times[times.heater + bank]! < 0.5 || state.times[times.rearHeater + bank]! < 0.5;
    if (open) set(out, Math.log(1e5), 3);
    else set(out, Math.log(7), 0.55);
  },
  switches(state, bank, point, _around, out) {
    const cell = cellOf(bank, point);
    const stuck = !isAlive(state, cell) || Math.abs(state.reported[cell]! - 1) > held;
    const rate = (point === 0 ? 1 : 2) / (1 + 5 * state.plus[plus.lag + bank]!);
    set(out, onScale('switches', stuck ? 0.03 : rate), stuck ? 0.7 : 0.5);
  },
  'edge-time'(state, bank, _point, _around, out) {
    set(out, Math.log(80 + 650 * state.plus[plus.lag + bank]!), 0.5);
  },
  oil(state, _bank, _point, _around, out) {
    set(out, onScale('oil', 0.08 + state.plus[plus.oil]!), 0.5);
  },
  'back-pressure'(state, _bank, point, _around, out) {
    set(out, onScale('back-pressure', usualBackPressure[point]! + state.plus[plus.backPressure + point]!), 0.45);
  },
  // Share of fuel used beyond the usual: richness over the drive, and what wastes fuel otherwise.
  'fuel-use'(state, _bank, _point, _around, out) {
    let richness = 0;
    for (let bank = 0; bank < state.banks; bank += 1) {
      for (let point = 0; point < pointCount; point += 1) richness += 1 / state.lambda[cellOf(bank, point)]! - 1;
    }
    richness /= state.banks * pointCount;
    const lost = 0.5 * (1 - state.times[times.filling + 2]!) + 0.001 * state.plus[plus.coolantDrop]!;
    const used = (1 + Math.max(-0.05, richness)) * state.times[times.fuelUse]! * (1 + lost) - 1;
    // Who compares has noticed something: weather, trips and traffic add some 5 %, and scatter widely.
    set(out, 5 + 100 * used, 9);
  },
  misfires(state, bank, point, _around, out) {
    const share = missed(state, cellOf(bank, point));
    set(out, share > 0.004 ? Math.log(1 + 1500 * share) : Math.log(2), 1.2);
  },
  compression(state, _bank, _point, _around, out) {
    set(out, 1200 - 5500 * (1 - state.times[times.filling]!), 170);
  },
};

/** Manifold pressure of a warm engine by point [kPa]; idle is common practice (28 to 38), the rest judgement. */
const usualPressure = [33, 30, 45, 90];

/** Rail pressure of port injection [kPa], common practice (300 to 420). */
const usualFuelPressure = 350;

/** Back-pressure of a free exhaust by point [kPa]; common practice (under 9 at idle, 14 to 20 at 2500 rpm). */
const usualBackPressure = [2, 6, 9, 18];

/** What the model expects of one observable; see Predictor. */
export function predict(state: State, what: Observable, around: Surroundings, out: Prediction): void {
  predictors[what.name](state, what.bank, what.point, around, out);
}
