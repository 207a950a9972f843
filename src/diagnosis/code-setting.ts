// Codes by their setting conditions: which codes follow from the state of the engine, and how probably, whichever fault brought
// the state about. What a fault sets by itself stands in its file. Limits are makers' own; each is a smooth step.
import { bankOfCode, codeOnBank } from './code-counterparts.ts';
import { plus, times } from './effects.ts';
import { cellOf } from './operating-points.ts';
import { smoothStep } from './smooth-step.ts';
import type { State } from './state.ts';
import { mostMissed, symptomDriverCount } from './symptom-drivers.ts';

/** Monitors of the correction, per bank, as mixture drivers behind the six of symptom-drivers.ts. */
const monitors = ['lean', 'rich', 'leanIdle', 'richIdle', 'leanDrive', 'richDrive'] as const;
export const mixtureDriverCount = symptomDriverCount + 2 * monitors.length;

/** The monitor that each code of the correction comes from, and how often it stores that code when it finds something. */
const monitored: Readonly<Record<string, ReadonlyArray<readonly [(typeof monitors)[number], number]>>> = {
  P0171: [['lean', 0.8]],
  P0172: [['rich', 0.75]],
  // "Fuel trim malfunction" does not say which way.
  P0170: [
    ['lean', 0.3],
    ['rich', 0.3],
  ],
  P2187: [['leanIdle', 0.12]],
  P2188: [['richIdle', 0.15]],
  P2177: [['leanDrive', 0.12]],
  P2178: [['richDrive', 0.12]],
};

/** Indices of the mixture drivers behind a code, with their weights; empty for codes that do not come from the correction. */
export function monitorsOf(code: string): ReadonlyArray<readonly [number, number]> {
  const base = symptomDriverCount + (bankOfCode(code) ?? 0) * monitors.length;
  return (monitored[codeOnBank(code, 0)] ?? []).map(([monitor, weight]) => [base + monitors.indexOf(monitor), weight]);
}

/** Total correction at which half of the makers' monitors store a code [%]. Source: calculators sheet 7.2, 12 to 35 %. */
const codeLimit = 18;
const codeWidth = 2.5;

/** How much of the correction at each point counts: some makers ignore idle when they decide. */
const pointShare = [0.85, 1, 1, 0.9];

/** Fills the monitors of the correction for every bank; of banks that the engine lacks they stay 0. */
export function driveMonitors(state: State, out: Float64Array): void {
  for (let bank = 0; bank < state.banks; bank += 1) {
    const base = symptomDriverCount + bank * monitors.length;
    const alive = state.times[times.alive + cellOf(bank, 0)]! > 0.5;
    const idle = 100 * state.trim[cellOf(bank, 0)]!;
    let highest = pointShare[0]! * idle;
    let lowest = highest;
    let driveHighest = -100;
    let driveLowest = 100;
    for (let point = 1; point < 4; point += 1) {
      const trim = 100 * state.trim[cellOf(bank, point)]!;
      const counted = pointShare[point]! * trim;
      if (counted > highest) highest = counted;
      if (counted < lowest) lowest = counted;
      if (trim > driveHighest) driveHighest = trim;
      if (trim < driveLowest) driveLowest = trim;
    }
    const on = alive ? 1 : 0;
    out[base] = on * smoothStep(highest, codeLimit, codeWidth);
    out[base + 1] = on * smoothStep(-lowest, codeLimit - 2, codeWidth);
    out[base + 2] = on * smoothStep(idle, codeLimit, codeWidth);
    out[base + 3] = on * smoothStep(-idle, codeLimit - 2, codeWidth);
    out[base + 4] = on * smoothStep(driveHighest, codeLimit, codeWidth);
    out[base + 5] = on * smoothStep(-driveLowest, codeLimit - 2, codeWidth);
  }
}

/** How often a code is stored though the fault in question is absent: a second trouble, an old code, a monitor's mistake. */
export function backgroundOfCode(code: string): number {
  if (/^P0(42|43)\d$/.test(code)) return 0.02;
  if (/^P(0171|0172|0174|0175)$/.test(code)) return 0.012;
  if (/^P03(0\d|1[0-2])$/.test(code)) return 0.01;
  if (/^P04[4-5]\d$/.test(code)) return 0.012;
  if (code === 'P0128') return 0.006;
  return 0.0022;
}

/**
 * Probability that the state of one fault sets a code that does not come from the correction.
 *
 * @param state the fault alone, composed
 * @param code  as stored; the bank that it names is looked at
 */
export function codeFromState(state: State, code: string): number {
  const bank = bankOfCode(code) ?? 0;
  if (bank >= state.banks) return 0;
  switch (codeOnBank(code, 0)) {
    case 'P0300':
      return 0.45 * step(mostMissed(state, 0, 3), 0.05, 0.012);
    case 'P0301':
      return 0.65 * step(mostMissed(state, 0, 3), 0.05, 0.012);
    case 'P0420':
      return 0.85 * step(0.42, state.times[times.storage + bank]!, 0.06);
    case 'P0133':
      return 0.6 * step(state.plus[plus.lag + bank]!, 0.3, 0.06);
    case 'P0135':
      return heater(state, bank) ? 0.68 : 0;
    case 'P0031':
      return heater(state, bank) ? 0.25 : 0;
    case 'P0030':
      return heater(state, bank) ? 0.18 : 0;
    case 'P0032':
      return heater(state, bank) ? 0.1 : 0;
    case 'P0141':
      return rearHeater(state, bank) ? 0.68 : 0;
    case 'P0037':
      return rearHeater(state, bank) ? 0.25 : 0;
    case 'P0036':
      return rearHeater(state, bank) ? 0.18 : 0;
    case 'P0038':
      return rearHeater(state, bank) ? 0.1 : 0;
    case 'P0134':
      return state.times[times.alive + cellOf(bank, 0)]! < 0.5 ? 0.15 : 0;
    case 'P0507':
      return 0.35 * step(state.plus[plus.idleSpeed]!, 350, 60);
    case 'P0506':
      return 0.35 * step(-state.plus[plus.idleSpeed]!, 90, 20);
    default:
      return 0;
  }
}

/** A smooth step that is exactly 0 well below the limit, so that a healthy state sets nothing beyond the background. */
function step(value: number, limit: number, width: number): number {
  return Math.max(0, smoothStep(value, limit, width) - 0.02);
}

function heater(state: State, bank: number): boolean {
  return state.times[times.heater + bank]! < 0.5;
}

function rearHeater(state: State, bank: number): boolean {
  return state.times[times.rearHeater + bank]! < 0.5;
}
