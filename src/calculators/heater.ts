// The heater of an oxygen sensor: whether its resistance is plausible, and what it draws.
import { checkNumber } from './check-number.ts';
import type { Result } from './result.ts';

export type HeaterKind = 'any' | 'wide-range' | 'planar-two-point' | 'rod-two-point';

/**
 * Resistance cold, 20 degC [ohm]: widest published spread for the kind. The maker's figure decides.
 * Sources: wide-range wideband-data-sheet (3.2 typical); rod-two-point toyota-sensor-values (5 to 7 and 11 to 16) and
 * nissan-sensor-values (5.2 to 8.2); planar from memory (9); any: common practice.
 */
const coldRange: Record<HeaterKind, readonly [number, number]> = {
  any: [2, 20],
  'wide-range': [2, 4.5],
  'planar-two-point': [6, 13],
  'rod-two-point': [3, 16],
};

/** Resistance of one maker's heater by temperature, over that at 20 degC [degC, 1]. Source: hyundai-heater-table. */
const warmth: ReadonlyArray<readonly [number, number]> = [
  [20, 9.2 / 9.2],
  [100, 10.7 / 9.2],
  [200, 13.1 / 9.2],
  [300, 14.6 / 9.2],
  [400, 17.7 / 9.2],
  [500, 19.2 / 9.2],
  [600, 20.7 / 9.2],
  [700, 22.5 / 9.2],
];

/** Below a short, above suspicious, above failed [ohm]. Source: common practice; bmw-heater-text (100 ohm). */
const shortBelow = 1;
const failedAbove = 100;

/**
 * @param resistance  measured at the sensor's plug, unplugged [ohm], 0 to 10,000,000
 * @param temperature of the sensor [degC], -40 to 900; a sensor that just ran reads up to two and a half times its cold figure
 * @returns what it would read at 20 degC [ohm], with the range for the kind and a verdict
 * Source: as named beside the tables.
 */
export function heaterResistance(
  resistance: number,
  kind: HeaterKind = 'any',
  temperature = 20,
): Result<number, { low: number; high: number; verdict: 'short' | 'low' | 'plausible' | 'high' | 'open' }> {
  const wrong =
    checkNumber('The heater resistance', resistance, 0, 10_000_000, 'ohm') ??
    checkNumber('The temperature of the sensor', temperature, -40, 900, 'degrees C');
  if (wrong) return wrong;
  const value = resistance / warmthAt(temperature);
  const [low, high] = coldRange[kind];
  const verdict =
    resistance < shortBelow
      ? 'short'
      : resistance > failedAbove
        ? 'open'
        : value < low
          ? 'low'
          : value > high
            ? 'high'
            : 'plausible';
  return { valid: true, value, low, high, verdict };
}

/** Straight lines between the table's rows; below the first and above the last the nearest line goes on. */
function warmthAt(temperature: number): number {
  const upper = warmth.findIndex(([at]) => at >= temperature);
  const index = Math.max(1, upper < 0 ? warmth.length - 1 : upper);
  const [fromAt, from] = warmth[index - 1]!;
  const [toAt, to] = warmth[index]!;
  return from + ((temperature - fromAt) / (toAt - fromAt)) * (to - from);
}

/**
 * @param voltage    at the heater [V], 0 to 32
 * @param resistance [ohm], 0.5 to 1000
 * @param duty       share of the time that it is switched on, 0 to 1; control units throttle a hot heater
 * @returns mean power [W], with the current while on [A]. Cold, the current is the highest: two heaters of 3 ohm take 9 A from 13.5 V, so a
 *          fuse that blows points at a short in a heater or its wire.
 * Source: Ohm's law.
 */
export function heaterPower(voltage: number, resistance: number, duty = 1): Result<number, { current: number }> {
  const wrong =
    checkNumber('The voltage', voltage, 0, 32, 'V') ??
    checkNumber('The heater resistance', resistance, 0.5, 1000, 'ohm', 'Less than half an ohm is a short.') ??
    checkNumber('The duty', duty, 0, 1, '', 'It is a share, 0.5 for half of the time.');
  if (wrong) return wrong;
  const current = voltage / resistance;
  return { valid: true, value: duty * voltage * current, current };
}
