// Density of dry air. The flow calculators build on it.
import { checkNumber } from './check-number.ts';
import type { Result } from './result.ts';

/** Specific gas constant of dry air [J/(kg K)]. Source: us-standard-atmosphere-1976. */
export const gasConstantOfAir = 287.053;

/**
 * @param pressure    absolute [kPa], 5 to 500
 * @param temperature [degC], -60 to 250
 * @returns [g/L]
 * Source: ideal gas; us-standard-atmosphere-1976.
 */
export function airDensity(pressure: number, temperature: number): Result {
  const wrong =
    checkNumber('The pressure', pressure, 5, 500, 'kPa', 'It must be absolute, about 100 for plain air.') ??
    checkNumber('The air temperature', temperature, -60, 250, 'degrees C');
  if (wrong) return wrong;
  return { valid: true, value: (pressure * 1000) / (gasConstantOfAir * (temperature + 273.15)) };
}
