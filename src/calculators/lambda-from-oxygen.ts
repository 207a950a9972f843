// The short form of lambda, from oxygen alone, for lean and completely burnt gas. derive.ts falls back on it when a post gives
// no CO2.
import { checkNumber } from './check-number.ts';
import { type Fuel, fuels } from './fuels.ts';
import type { Result } from './result.ts';

/** Nitrogen (with argon) for each oxygen molecule of dry air. Source: air of 20.946 % O2. */
const nitrogenPerOxygen = (100 - 20.946) / 20.946;

/**
 * Lambda of completely burnt lean gas: solves the dry-gas balance O2 = (lambda - 1) s / (1 + (lambda - 1) s + lambda s N)
 * for lambda, with s the oxygen that one carbon atom of fuel needs and N the nitrogen per oxygen of air.
 *
 * @param o2 oxygen in the dry gas [% vol], 0 to 18; CO and HC must be near zero
 * @returns lambda, 1 or more [1]
 * Source: the balance itself; heywood-1988, chapter 4.
 */
export function lambdaFromOxygen(o2: number, fuel: Fuel = fuels['petrol-e0']): Result {
  const wrong = checkNumber('O2', o2, 0, 18, '%', 'Above that the probe is drawing in air.');
  if (wrong) return wrong;
  const share = o2 / 100;
  const need = 1 + fuel.hydrogen / 4 - fuel.oxygen / 2;
  const value = (share * (1 - need) + need) / (need * (1 - share * (1 + nitrogenPerOxygen)));
  return { valid: true, value };
}
