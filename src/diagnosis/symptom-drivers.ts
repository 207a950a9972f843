// How symptoms follow from the state: each symptom has a background (how often a post tells of it though this fault is absent)
// and drivers, smooth steps of the state that bring it about. Either a driver or the fault itself shows it ("noisy or").
// All numbers are judgement, anchored on the table of symptoms by fault that the fault files were written from.
import { plus, times } from './effects.ts';
import { bankCount, cellOf, pointCount } from './operating-points.ts';
import { freshConversion } from './predict.ts';
import { smoothStep } from './smooth-step.ts';
import type { State } from './state.ts';

/**
 * Drivers that depend on the settled mixture, so that two faults that cancel show less than either. The first six are for
 * symptoms, the rest are what the monitors of each bank look at (code-setting.ts).
 */
const mixtureDrivers = {
  richIdle: 0,
  richDrive: 1,
  leanIdle: 2,
  leanDrive: 3,
  soot: 4,
  richOverall: 5,
} as const;
export const symptomDriverCount = 6;

/** Fills the six symptom drivers. */
export function driveSymptoms(state: State, out: Float64Array): void {
  let idleLow = 9;
  let idleHigh = 0;
  let driveLow = 9;
  let driveHigh = 0;
  let sum = 0;
  for (let bank = 0; bank < state.banks; bank += 1) {
    for (let point = 0; point < pointCount; point += 1) {
      const lambda = state.lambda[cellOf(bank, point)]!;
      sum += 1 / lambda - 1;
      if (point === 0) {
        if (lambda < idleLow) idleLow = lambda;
        if (lambda > idleHigh) idleHigh = lambda;
      } else {
        if (lambda < driveLow) driveLow = lambda;
        if (lambda > driveHigh) driveHigh = lambda;
      }
    }
  }
  out[mixtureDrivers.richIdle] = smoothStep(0.92, idleLow, 0.025);
  out[mixtureDrivers.richDrive] = smoothStep(0.92, driveLow, 0.025);
  out[mixtureDrivers.leanIdle] = smoothStep(idleHigh, 1.08, 0.025);
  out[mixtureDrivers.leanDrive] = smoothStep(driveHigh, 1.08, 0.025);
  out[mixtureDrivers.soot] = smoothStep(0.87, Math.min(idleLow, driveLow), 0.025);
  out[mixtureDrivers.richOverall] = smoothStep(sum / (state.banks * pointCount), 0.07, 0.025);
}

/** Drivers of one fault that do not depend on the mixture; computed once per hypothesis. */
type OwnDriver =
  | 'missedIdle'
  | 'leakIdle'
  | 'missedDrive'
  | 'deadCylinder'
  | 'burntGasIdle'
  | 'lostPower'
  | 'wornCatalyst'
  | 'wastedFuel'
  | 'highIdle'
  | 'lowIdle'
  | 'oilBurned'
  | 'coolantBurned'
  | 'coldEngine';

export interface SymptomModel {
  /** How often a post tells of it though the fault is absent. */
  readonly background: number;
  readonly mixture: ReadonlyArray<readonly [number, number]>;
  readonly own: ReadonlyArray<readonly [OwnDriver, number]>;
}

const m = mixtureDrivers;

/** By symptom id; a symptom that is not here has a background of 2 % and no driver. */
export const symptomModels: Readonly<Record<string, SymptomModel>> = {
  'poor-fuel-economy': {
    background: 0.1,
    mixture: [
      [m.richOverall, 0.7],
      [m.richDrive, 0.25],
    ],
    own: [
      ['wastedFuel', 0.6],
      ['missedDrive', 0.3],
      ['coldEngine', 0.25],
      ['lostPower', 0.2],
    ],
  },
  'black-smoke': {
    background: 0.012,
    mixture: [
      [m.soot, 0.65],
      [m.richDrive, 0.12],
    ],
    own: [],
  },
  'rough-idle': {
    background: 0.06,
    mixture: [
      [m.leanIdle, 0.5],
      [m.richIdle, 0.35],
    ],
    own: [
      ['missedIdle', 0.8],
      ['leakIdle', 0.55],
      ['burntGasIdle', 0.7],
      ['lowIdle', 0.3],
    ],
  },
  hesitation: {
    background: 0.05,
    mixture: [
      [m.leanDrive, 0.5],
      [m.richDrive, 0.1],
    ],
    own: [
      ['missedDrive', 0.4],
      ['lostPower', 0.25],
    ],
  },
  surging: {
    background: 0.03,
    mixture: [
      [m.leanDrive, 0.25],
      [m.leanIdle, 0.2],
    ],
    own: [['lowIdle', 0.2]],
  },
  'low-power': {
    background: 0.06,
    mixture: [
      [m.leanDrive, 0.35],
      [m.soot, 0.2],
    ],
    own: [
      ['lostPower', 0.75],
      ['missedDrive', 0.4],
    ],
  },
  misfire: {
    background: 0.03,
    mixture: [
      [m.leanDrive, 0.3],
      [m.leanIdle, 0.25],
      [m.soot, 0.15],
    ],
    own: [
      ['missedDrive', 0.85],
      ['missedIdle', 0.6],
    ],
  },
  stall: {
    background: 0.03,
    mixture: [
      [m.leanIdle, 0.35],
      [m.richIdle, 0.2],
    ],
    own: [
      ['burntGasIdle', 0.4],
      ['leakIdle', 0.15],
      ['lowIdle', 0.4],
    ],
  },
  'hard-start': {
    background: 0.04,
    mixture: [
      [m.soot, 0.15],
      [m.leanIdle, 0.1],
    ],
    own: [],
  },
  'no-start': { background: 0.01, mixture: [], own: [] },
  'failed-emission-test': {
    background: 0.07,
    mixture: [
      [m.richIdle, 0.5],
      [m.richDrive, 0.55],
      [m.leanIdle, 0.3],
      [m.leanDrive, 0.3],
    ],
    own: [
      ['missedIdle', 0.6],
      ['wornCatalyst', 0.6],
    ],
  },
  'fuel-smell': {
    background: 0.025,
    mixture: [
      [m.soot, 0.35],
      [m.richIdle, 0.12],
    ],
    own: [],
  },
  'rotten-egg-smell': {
    background: 0.012,
    mixture: [
      [m.richDrive, 0.2],
      [m.soot, 0.15],
    ],
    own: [],
  },
  'high-idle': { background: 0.02, mixture: [], own: [['highIdle', 0.6]] },
  'check-engine-light-flashing': { background: 0.012, mixture: [], own: [['deadCylinder', 0.55]] },
  'blue-smoke': { background: 0.01, mixture: [], own: [['oilBurned', 0.3]] },
  'oil-use': { background: 0.035, mixture: [], own: [['oilBurned', 0.6]] },
  'white-smoke': { background: 0.02, mixture: [], own: [['coolantBurned', 0.3]] },
  'coolant-loss': { background: 0.015, mixture: [], own: [['coolantBurned', 0.3]] },
  overheating: { background: 0.012, mixture: [], own: [] },
  knocking: { background: 0.02, mixture: [[m.leanDrive, 0.15]], own: [] },
  'exhaust-noise': { background: 0.03, mixture: [], own: [] },
  'exhaust-smell-in-cabin': { background: 0.01, mixture: [], own: [] },
  'glowing-exhaust': { background: 0.003, mixture: [], own: [['deadCylinder', 0.05]] },
  'fuel-leak': { background: 0.004, mixture: [], own: [] },
  hissing: { background: 0.015, mixture: [], own: [] },
};
export const otherSymptom: SymptomModel = { background: 0.02, mixture: [], own: [] };

/**
 * Probability that the fault itself (its own list and the drivers that do not depend on the mixture) leaves a symptom out.
 *
 * @param state the fault alone, composed
 * @param shown probability that the fault shows it by itself, from its file
 * @returns a factor: the background's absence times this is the absence of the symptom
 */
export function ownAbsence(model: SymptomModel, state: State, shown: number): number {
  let absent = 1 - shown;
  for (const [driver, weight] of model.own)
    absent *= 1 - weight * Math.max(0, ownDriver(state, driver) - healthyDriver);
  return Math.max(0.001, absent);
}

/** What a smooth step gives on a healthy engine at most: taken off so that health adds nothing to the background. */
const healthyDriver = 0.03;

function ownDriver(state: State, driver: OwnDriver): number {
  switch (driver) {
    // Air that enters behind the throttle reaches the cylinders unevenly.
    case 'leakIdle':
      return smoothStep(leakAtIdle(state), 0.4, 0.09);
    case 'missedIdle':
      return smoothStep(mostMissed(state, 0, 0), 0.035, 0.012);
    case 'missedDrive':
      return smoothStep(mostMissed(state, 1, pointCount - 1), 0.035, 0.012);
    case 'deadCylinder':
      return smoothStep(mostMissed(state, 0, pointCount - 1), 0.13, 0.03);
    case 'burntGasIdle':
      return smoothStep(1 - state.times[times.freshCharge]!, 0.13, 0.03);
    case 'lostPower':
      return smoothStep(1 - state.times[times.filling + pointCount - 1]!, 0.12, 0.03);
    case 'wornCatalyst':
      return (
        smoothStep(0.7, Math.min(state.times[times.catalyst]!, state.times[times.catalyst + 1]!), 0.06) *
        freshConversion
      );
    case 'wastedFuel':
      return smoothStep(state.times[times.fuelUse]! - 1, 0.06, 0.015);
    case 'highIdle':
      return smoothStep(state.plus[plus.idleSpeed]!, 350, 80);
    case 'lowIdle':
      return smoothStep(-state.plus[plus.idleSpeed]!, 90, 20);
    case 'oilBurned':
      return smoothStep(state.plus[plus.oil]!, 0.6, 0.12);
    case 'coolantBurned':
      return smoothStep(state.plus[plus.coolantBurn]!, 0.4, 0.1);
    case 'coldEngine':
      return smoothStep(state.plus[plus.coolantDrop]! - 0.4 * state.plus[plus.coolantReading]!, 15, 4);
  }
}

/** Air that passes the meter at idle, all banks [g/s]. */
function leakAtIdle(state: State): number {
  return state.plus[plus.leak + cellOf(0, 0)]! + state.plus[plus.leak + cellOf(1, 0)]!;
}

/** Largest share of missed firings over the banks between two points. */
export function mostMissed(state: State, from: number, to: number): number {
  let most = 0;
  for (let bank = 0; bank < bankCount; bank += 1) {
    for (let point = from; point <= to; point += 1) {
      most = Math.max(most, 1 - state.times[times.firing + cellOf(bank, point)]!);
    }
  }
  return most;
}
