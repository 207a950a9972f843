// The two load figures of on-board data, worked out from air flow, so that a reported load can be checked.
import { checkNumber } from './check-number.ts';
import type { Result } from './result.ts';

/** Air at 25 degC and 101.325 kPa, by which absolute load is defined [g/L]. Source: sae-j1979, parameter 43. */
const standardDensity = 1.184;

/**
 * Absolute load: air mass of one intake stroke over what the cylinder would hold at 1.184 g/L. A charged engine goes above 100.
 *
 * @param flow         [g/s], 0 to 700
 * @param displacement [L], 0.05 to 30
 * @param speed        [1/min], 100 to 20,000; four-stroke
 * @returns [%]
 * Source: sae-j1979, parameter 43.
 */
export function absoluteLoad(flow: number, displacement: number, speed: number): Result {
  const wrong =
    checkNumber('The air flow', flow, 0, 700, 'g/s') ??
    checkNumber('The displacement', displacement, 0.05, 30, 'L', 'It may be in cm3 rather than litres.') ??
    checkNumber('The engine speed', speed, 100, 20_000, '1/min');
  if (wrong) return wrong;
  return { valid: true, value: (100 * flow) / (((displacement * speed) / 120) * standardDensity) };
}

/**
 * Calculated load: flow over the most that flows at full throttle and this speed, allowing for the day's air.
 *
 * @param flow        [g/s]
 * @param peakFlow    flow at full throttle, this speed, 25 degC and 101.325 kPa [g/s], 0.1 to 700
 * @param barometer   [kPa], 50 to 110
 * @param temperature outside [degC], -60 to 60
 * @returns [%], 100 at full throttle at any height
 * Source: sae-j1979, parameter 04.
 */
export function calculatedLoad(flow: number, peakFlow: number, barometer = 101.325, temperature = 25): Result {
  const wrong =
    checkNumber('The air flow', flow, 0, 700, 'g/s') ??
    checkNumber('The full-throttle air flow', peakFlow, 0.1, 700, 'g/s') ??
    checkNumber('The air pressure', barometer, 50, 110, 'kPa') ??
    checkNumber('The air temperature', temperature, -60, 60, 'degrees C');
  if (wrong) return wrong;
  const peak = peakFlow * (barometer / 101.325) * Math.sqrt(298 / (temperature + 273));
  return { valid: true, value: (100 * flow) / peak };
}
