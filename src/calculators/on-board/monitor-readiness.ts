// Parameter 01: lamp, number of codes, and which self-tests exist and have finished. A self-test that has not finished after codes were
// cleared explains why no code is there yet.
import { type Result, refuse } from '../result.ts';

/** Self-tests that run all the time, by bit of byte B (supported in bits 0 to 2, not finished in 4 to 6). */
export const continuousMonitors = ['misfire', 'fuel-system', 'components'] as const;

/** Of spark-ignition engines, by bit of byte C (supported) and D (not finished). */
export const sparkMonitors = [
  'catalyst',
  'heated-catalyst',
  'evap',
  'secondary-air',
  'air-conditioning',
  'oxygen-sensor',
  'oxygen-sensor-heater',
  'egr',
] as const;

export type Monitor = (typeof continuousMonitors)[number] | (typeof sparkMonitors)[number];

export interface Readiness {
  readonly lampOn: boolean;
  /** Stored codes of this control unit, 0 to 127. */
  readonly codes: number;
  readonly ignition: 'spark' | 'compression';
  /** Self-tests that the car has; true when finished. Compression-ignition engines list only those that run all the time. */
  readonly monitors: Partial<Record<Monitor, boolean>>;
}

/**
 * @param bytes A, B, C, D of parameter 01
 * @returns the state, `value` with every self-test; a set bit in the second half means NOT finished
 * Source: sae-j1979, parameter 01 (from memory).
 */
export function decodeReadiness(bytes: readonly number[]): Result<Readiness, { unfinished: Monitor[] }> {
  if (bytes.length < 4 || bytes.slice(0, 4).some((byte) => !(Number.isInteger(byte) && byte >= 0 && byte <= 255)))
    return refuse('The readiness reply must have four bytes.');
  const [a, b, c, d] = bytes as unknown as [number, number, number, number];
  const monitors: Partial<Record<Monitor, boolean>> = {};
  continuousMonitors.forEach((name, bit) => {
    if (b & (1 << bit)) monitors[name] = (b & (1 << (bit + 4))) === 0;
  });
  const ignition = b & 8 ? 'compression' : 'spark';
  if (ignition === 'spark') {
    sparkMonitors.forEach((name, bit) => {
      if (c & (1 << bit)) monitors[name] = (d & (1 << bit)) === 0;
    });
  }
  const unfinished = (Object.keys(monitors) as Monitor[]).filter((name) => monitors[name] === false);
  return { valid: true, value: { lampOn: (a & 0x80) !== 0, codes: a & 0x7f, ignition, monitors }, unfinished };
}

/** The four bytes for a state. */
export function encodeReadiness(state: Readiness): Result<number[]> {
  if (!(Number.isInteger(state.codes) && state.codes >= 0 && state.codes <= 127))
    return refuse('A control unit can report 0 to 127 codes.');
  let b = state.ignition === 'compression' ? 8 : 0;
  let c = 0;
  let d = 0;
  continuousMonitors.forEach((name, bit) => {
    if (state.monitors[name] !== undefined) b |= (1 << bit) | (state.monitors[name] ? 0 : 1 << (bit + 4));
  });
  if (state.ignition === 'spark') {
    sparkMonitors.forEach((name, bit) => {
      if (state.monitors[name] === undefined) return;
      c |= 1 << bit;
      if (!state.monitors[name]) d |= 1 << bit;
    });
  }
  return { valid: true, value: [(state.lampOn ? 0x80 : 0) | state.codes, b, c, d] };
}
