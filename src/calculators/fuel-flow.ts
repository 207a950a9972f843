// Fuel burnt, from the air flow and the mixture; and what an injector delivers at another pressure.
import { checkNumber } from './check-number.ts';
import type { Result } from './result.ts';

/** Petrol at 15 degC [g/L]. Source: acea-wltp-07-11 (E0). */
const petrolDensity = 745;

/**
 * @param airFlow        [g/s], 0 to 700
 * @param lambda         0.5 to 10 [1]
 * @param stoichiometric air need of the fuel [kg/kg], 4 to 40
 * @param density        of the fuel [g/L], 300 to 1000
 * @returns [g/s], with [L/h]
 * Source: definition of lambda.
 */
export function fuelFlow(
  airFlow: number,
  lambda: number,
  stoichiometric = 14.7,
  density = petrolDensity,
): Result<number, { litresPerHour: number }> {
  const wrong =
    checkNumber('The air flow', airFlow, 0, 700, 'g/s') ??
    checkNumber('Lambda', lambda, 0.5, 10, '') ??
    checkNumber('The stoichiometric ratio', stoichiometric, 4, 40, 'to 1') ??
    checkNumber('The fuel density', density, 300, 1000, 'g/L');
  if (wrong) return wrong;
  const value = airFlow / (stoichiometric * lambda);
  return { valid: true, value, litresPerHour: (value * 3600) / density };
}

/**
 * Fuel flow of a moving car as consumption.
 *
 * @param litresPerHour [L/h], 0 to 200
 * @param speed         [km/h], 1 to 450
 * @returns [L/100 km]; standing still there is none
 */
export function consumptionFromFlow(litresPerHour: number, speed: number): Result {
  const wrong =
    checkNumber('The fuel flow', litresPerHour, 0, 200, 'L/h') ??
    checkNumber('The road speed', speed, 1, 450, 'km/h', 'A standing car has no consumption by distance.');
  if (wrong) return wrong;
  return { valid: true, value: (100 * litresPerHour) / speed };
}

/**
 * Injector flow goes with the square root of the pressure across it.
 *
 * @param flow     at the rated pressure, in any unit
 * @param rated    pressure across the injector at which it was measured [kPa], 20 to 40,000
 * @param pressure pressure across it now [kPa]
 * @returns flow in the same unit
 * Source: Bernoulli; common practice.
 */
export function injectorFlow(flow: number, rated: number, pressure: number): Result {
  const wrong =
    checkNumber('The injector flow', flow, 0, 10_000, '') ??
    checkNumber('The rated pressure', rated, 20, 40_000, 'kPa') ??
    checkNumber('The fuel pressure', pressure, 0, 40_000, 'kPa');
  if (wrong) return wrong;
  return { valid: true, value: flow * Math.sqrt(pressure / rated) };
}
