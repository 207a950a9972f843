// From the state of an engine to what an instrument would show: for each quantity that a reading may have, the value that the
// model expects and how widely such readings really scatter. likelihood of findings and gain of questions both come from here.
import type { Quantity } from '../vocabulary/quantities.ts';
import { plus, times, warmCoolant } from './effects.ts';
import { type Gas, tailpipeGas } from './gas.ts';
import { cellOf, pointCount } from './operating-points.ts';
import { smoothStep } from './smooth-step.ts';
import type { State } from './state.ts';

/** What can be predicted; `swing` is the distance between the extremes of a sensor's voltage. */
export const observables = [
  'trim',
  'short-trim',
  'front-lambda',
  'front-voltage',
  'front-swing',
  'rear-voltage',
  'rear-swing',
  'tail-lambda',
  'co',
  'co2',
  'o2',
  'hc',
  'nox',
  'air-flow',
  'manifold-pressure',
  'idle-speed',
  'coolant',
  'fuel-pressure',
  'heater',
  'switches',
  'edge-time',
  'oil',
  'back-pressure',
  'fuel-use',
  'misfires',
  'compression',
] as const;
export type ObservableName = (typeof observables)[number];

/** One predicted quantity at one place. */
export interface Observable {
  readonly name: ObservableName;
  /** 0 or 1. */
  readonly bank: number;
  readonly point: number;
}

/** Predicted values scatter on a logarithmic scale for these. */
const logarithmic: ReadonlySet<ObservableName> = new Set([
  'hc',
  'nox',
  'air-flow',
  'fuel-pressure',
  'heater',
  'switches',
  'edge-time',
  'oil',
  'back-pressure',
  'misfires',
]);
const logOffset: Partial<Record<ObservableName, number>> = {
  hc: 15,
  nox: 30,
  oil: 0.1,
  'back-pressure': 1,
  misfires: 1,
  switches: 0.05,
};

/** A reading's value on the scale on which its prediction scatters. */
export function onScale(name: ObservableName, value: number): number {
  return logarithmic.has(name) ? Math.log(Math.max(1e-6, value) + (logOffset[name] ?? 0)) : value;
}

export interface Prediction {
  middle: number;
  spread: number;
}

/** What the model needs to know of the engine beyond its state. */
export interface Surroundings {
  readonly manifoldPressureMetering: boolean;
  /** True where a figure of fuel pressure means the low side of ordinary port injection. */
  readonly banks: number;
  /** Which short-term trims hide a learnt long-term one (only short term was given). */
  readonly displacementKnown: boolean;
}

const gas: Gas = { co: 0, co2: 0, o2: 0, hc: 0, nox: 0 };
const bankGas: Gas = { co: 0, co2: 0, o2: 0, hc: 0, nox: 0 };

/** Load 0..1 by point, for NOx. */
const loadOf = [0.05, 0.15, 0.35, 0.8];

/** Conversion of a hot catalyst in good order. */
export const freshConversion = 0.97;

/** Tailpipe gas of the whole engine at a point: the banks' mean. */
function gasAt(state: State, point: number): void {
  gas.co = gas.co2 = gas.o2 = gas.hc = gas.nox = 0;
  for (let bank = 0; bank < state.banks; bank += 1) {
    const cell = cellOf(bank, point);
    tailpipeGas(
      {
        lambda: state.lambda[cell]!,
        firing: state.times[times.firing + cell]!,
        airBefore: state.plus[plus.exhaustAir + cell]!,
        airBehind: state.plus[plus.tailpipeAir + bank]!,
        catalyst: freshConversion * state.times[times.catalyst + bank]!,
        oil: state.plus[plus.oil]!,
        freshCharge: state.times[times.freshCharge + point]!,
        load: loadOf[point]!,
      },
      bankGas,
    );
    gas.co += bankGas.co / state.banks;
    gas.co2 += bankGas.co2 / state.banks;
    gas.o2 += bankGas.o2 / state.banks;
    gas.hc += bankGas.hc / state.banks;
    gas.nox += bankGas.nox / state.banks;
  }
}

/** Misfire oxygen and false air make a front sensor's picture restless; share of missed firings at a cell. */
function missed(state: State, cell: number): number {
  return 1 - state.times[times.firing + cell]!;
}

/** Half-widths on the natural scale; judgement anchored on the faults sheet, section 2.1 (spread of healthy cars). */
const trimSpread = [3.6, 3.4, 3.4, 4.2];

/**
 * Writes what the model expects of one observable.
 *
 * @param out middle and spread (Student-t scale) on the observable's scale (see onScale)
 */
export function predict(state: State, what: Observable, around: Surroundings, out: Prediction): void {
  const { bank, point } = what;
  const cell = cellOf(bank, point);
  const trim = 100 * state.trim[cell]!;
  const alive = state.times[times.alive + cell]! > 0.5;
  const lambda = state.lambda[cell]!;
  switch (what.name) {
    case 'trim':
      out.middle = trim;
      out.spread = alive ? trimSpread[point]! + 0.14 * Math.abs(trim) + 20 * missed(state, cell) : 9;
      return;
    case 'short-trim':
      // Without the long-term figure: the learnt part may hide any share of the correction.
      out.middle = 0.5 * trim;
      out.spread = alive ? 4 + 0.3 * Math.abs(trim) + 20 * missed(state, cell) : 6;
      return;
    case 'front-lambda':
      out.middle = alive ? state.reported[cell]! : 1;
      out.spread = alive ? 0.012 + 0.3 * Math.abs(state.reported[cell]! - 1) : 0.1;
      return;
    case 'front-voltage':
      out.middle = alive ? 0.06 + 0.82 * smoothStep(1.0, state.reported[cell]!, 0.012) : 0.45;
      out.spread = alive ? 0.11 : 0.16;
      return;
    case 'front-swing': {
      const moving = alive && Math.abs(state.reported[cell]! - 1) < 0.02;
      out.middle = moving ? 0.72 / (1 + 0.8 * state.plus[plus.lag + bank]!) : 0.12;
      out.spread = 0.1;
      return;
    }
    case 'rear-voltage': {
      const behind = lambda * (1 + state.plus[plus.exhaustAir + cell]!);
      const worn = 1 - state.times[times.storage + bank]!;
      const dead = state.times[times.rearAlive + bank]! < 0.5;
      out.middle = dead ? 0.45 : 0.1 + 0.74 * smoothStep(1.004, behind, 0.008) + state.plus[plus.rearBias + bank]!;
      out.spread = dead ? 0.3 : 0.08 + 0.12 * worn;
      return;
    }
    case 'rear-swing': {
      const storage = state.times[times.storage + bank]!;
      const dead = state.times[times.rearAlive + bank]! < 0.5;
      out.middle = dead ? 0.05 : 0.15 + 0.6 * (1 - storage) ** 1.5;
      out.spread = 0.12;
      return;
    }
    case 'tail-lambda': {
      // A probe measures all banks mixed, with air that came in on the way.
      let sum = 0;
      for (let index = 0; index < state.banks; index += 1) {
        const there = cellOf(index, point);
        sum +=
          state.lambda[there]! *
          (1 + state.plus[plus.exhaustAir + there]!) *
          (1 + state.plus[plus.tailpipeAir + index]!);
      }
      out.middle = sum / state.banks;
      out.spread = 0.012 + 0.2 * Math.abs(out.middle - 1) + 0.15 * missed(state, cell);
      return;
    }
    case 'co':
      gasAt(state, point);
      out.middle = gas.co;
      out.spread = 0.12 + 0.3 * gas.co;
      return;
    case 'co2':
      gasAt(state, point);
      out.middle = gas.co2;
      out.spread = 0.5 + 0.25 * Math.abs(15.2 - gas.co2);
      return;
    case 'o2':
      gasAt(state, point);
      out.middle = gas.o2;
      out.spread = 0.2 + 0.35 * gas.o2;
      return;
    case 'hc':
      gasAt(state, point);
      out.middle = onScale('hc', gas.hc);
      out.spread = 0.65;
      return;
    case 'nox':
      gasAt(state, point);
      out.middle = onScale('nox', gas.nox);
      out.spread = 0.9;
      return;
    case 'air-flow': {
      let shown = 0;
      for (let index = 0; index < state.banks; index += 1) {
        const there = cellOf(index, point);
        const through = state.air[there]! * state.times[times.ductKeep + there]! - state.plus[plus.leak + there]!;
        shown += Math.max(0.1 * state.air[there]!, through) * state.times[times.meter + there]!;
      }
      out.middle = onScale('air-flow', shown * state.times[times.filling + point]!);
      out.spread = (around.displacementKnown ? 0.2 : 0.4) + (point > 0 ? 0.35 : 0);
      return;
    }
    case 'manifold-pressure': {
      const usual = [33, 30, 45, 90][point]!;
      const burnt = 1 - state.times[times.freshCharge + point]!;
      const loss = 1 - state.times[times.filling + point]!;
      const leak = 3 * (state.plus[plus.leak + cellOf(0, point)]! + state.plus[plus.leak + cellOf(1, point)]!);
      const measuredLeak = around.manifoldPressureMetering ? 6 * leak : leak;
      const wrong = 1 + state.plus[plus.pressureError + point]!;
      out.middle = (usual + 45 * burnt + (point === 0 ? 50 * loss + measuredLeak : 0)) * wrong;
      out.spread = point === 0 ? 4.5 : 14;
      return;
    }
    case 'idle-speed':
      out.middle = 760 + state.plus[plus.idleSpeed]! * (around.manifoldPressureMetering ? 1 : 0.6);
      out.spread = 90 + 0.25 * Math.abs(out.middle - 760);
      return;
    case 'coolant':
      out.middle = warmCoolant - state.plus[plus.coolantDrop]! + state.plus[plus.coolantReading]!;
      out.spread = 6 + 0.15 * Math.abs(state.plus[plus.coolantReading]!);
      return;
    case 'fuel-pressure':
      out.middle = Math.log(350 * state.times[times.fuelPressure + point]!);
      out.spread = 0.16;
      return;
    case 'heater': {
      const open = state.times[times.heater + bank]! < 0.5 || state.times[times.rearHeater + bank]! < 0.5;
      out.middle = open ? Math.log(1e5) : Math.log(7);
      out.spread = open ? 3 : 0.55;
      return;
    }
    case 'switches': {
      const stuck = !alive || Math.abs(state.reported[cell]! - 1) > 0.02;
      const rate = (point === 0 ? 1 : 2) / (1 + 5 * state.plus[plus.lag + bank]!);
      out.middle = onScale('switches', stuck ? 0.03 : rate);
      out.spread = stuck ? 0.7 : 0.5;
      return;
    }
    case 'edge-time':
      out.middle = Math.log(80 + 650 * state.plus[plus.lag + bank]!);
      out.spread = 0.5;
      return;
    case 'oil':
      out.middle = onScale('oil', 0.08 + state.plus[plus.oil]!);
      out.spread = 0.5;
      return;
    case 'back-pressure':
      out.middle = onScale('back-pressure', [2, 6, 9, 18][point]! + state.plus[plus.backPressure + point]!);
      out.spread = 0.45;
      return;
    case 'fuel-use': {
      // Share of fuel used beyond the usual: richness over the drive, plus what wastes fuel otherwise.
      let richness = 0;
      for (let index = 0; index < state.banks * pointCount; index += 1) {
        const there = cellOf(Math.floor(index / pointCount), index % pointCount);
        richness += (1 / state.lambda[there]! - 1) / (state.banks * pointCount);
      }
      const lost = 1 - state.times[times.filling + 2]!;
      const cold = 0.001 * state.plus[plus.coolantDrop]!;
      out.middle = 100 * ((1 + Math.max(-0.05, richness)) * state.times[times.fuelUse]! * (1 + 0.5 * lost + cold) - 1);
      out.spread = 7;
      return;
    }
    case 'misfires': {
      const share = missed(state, cell);
      out.middle = share > 0.004 ? Math.log(1 + 1500 * share) : Math.log(2);
      out.spread = 1.2;
      return;
    }
    case 'compression':
      out.middle = 1200 - 5500 * (1 - state.times[times.filling]!);
      out.spread = 170;
  }
}

/** The observable that a quantity names, given which sensor it came from; null where the model predicts nothing for it. */
export function observableOf(quantity: Quantity, sensor: number | null): ObservableName | null {
  switch (quantity) {
    case 'total-trim':
    case 'long-term-trim':
      return 'trim';
    case 'short-term-trim':
      return 'short-trim';
    case 'sensor-voltage':
      return sensor !== null && sensor >= 2 ? 'rear-voltage' : 'front-voltage';
    case 'lambda':
      return sensor === 1 ? 'front-lambda' : 'tail-lambda';
    case 'gas-co':
      return 'co';
    case 'gas-co2':
      return 'co2';
    case 'gas-o2':
      return 'o2';
    case 'gas-hc':
      return 'hc';
    case 'gas-nox':
      return 'nox';
    case 'air-flow':
    case 'manifold-pressure':
    case 'fuel-pressure':
    case 'switches':
    case 'edge-time':
    case 'back-pressure':
    case 'compression':
      return quantity;
    case 'engine-speed':
      return 'idle-speed';
    case 'coolant-temperature':
      return 'coolant';
    case 'heater-resistance':
      return 'heater';
    case 'oil-consumption':
      return 'oil';
    case 'misfire-count':
      return 'misfires';
    default:
      return null;
  }
}
