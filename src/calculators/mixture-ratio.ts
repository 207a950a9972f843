// Lambda, air-fuel ratio and equivalence ratio: three ways to state one mixture.
import { checkNumber } from './check-number.ts';
import type { Result } from './result.ts';

/** What gauges print as stoichiometric whatever the fuel in the tank [kg/kg]. Source: us-doe-fuel-table. */
export const gaugeRatio = 14.7;

export interface Mixture {
  /** Fuel over air, as a share of stoichiometric: 1 / lambda. */
  readonly equivalence: number;
  /** [kg/kg] */
  readonly ratio: number;
  /** Air beyond what is needed [%]; negative when rich. */
  readonly excessAir: number;
}

/**
 * @param lambda         0.3 to 20 [1]
 * @param stoichiometric air need of the fuel, or the constant that a gauge assumes [kg/kg], 4 to 40
 * @returns lambda again, with the other ways of stating it
 * Source: definitions; heywood-1988, section 2.9.
 */
export function mixtureFromLambda(lambda: number, stoichiometric: number = gaugeRatio): Result<number, Mixture> {
  const wrong =
    checkNumber('Lambda', lambda, 0.3, 20, '') ??
    checkNumber('The stoichiometric ratio', stoichiometric, 4, 40, 'to 1');
  if (wrong) return wrong;
  return {
    valid: true,
    value: lambda,
    equivalence: 1 / lambda,
    ratio: lambda * stoichiometric,
    excessAir: 100 * (lambda - 1),
  };
}

/**
 * @param ratio          air-fuel ratio [kg/kg], 3 to 200
 * @param stoichiometric as above; a gauge that shows ratios nearly always assumes 14.7, also on other fuels
 * @returns lambda [1]
 */
export function lambdaFromRatio(ratio: number, stoichiometric: number = gaugeRatio): Result<number, Mixture> {
  const wrong =
    checkNumber('The air-fuel ratio', ratio, 3, 200, 'to 1', 'A figure near 1 would be lambda.') ??
    checkNumber('The stoichiometric ratio', stoichiometric, 4, 40, 'to 1');
  if (wrong) return wrong;
  return mixtureFromLambda(ratio / stoichiometric, stoichiometric);
}

/**
 * @param equivalence fuel over air as a share of stoichiometric, 0.05 to 3.3 [1]
 * @returns lambda [1]
 */
export function lambdaFromEquivalence(equivalence: number): Result<number, Mixture> {
  const wrong = checkNumber('The equivalence ratio', equivalence, 0.05, 3.3, '');
  if (wrong) return wrong;
  return mixtureFromLambda(1 / equivalence);
}
