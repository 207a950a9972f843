// How much more fuel a car takes than before, what that costs, and how much of it a rich mixture alone could explain.
import { checkNumber } from './check-number.ts';
import type { Result } from './result.ts';

export interface ConsumptionLoss {
  /** Extra fuel over a year [L]; null without a yearly distance. */
  readonly extraLitres: number | null;
  /** [in the currency of the price]; null without a price. */
  readonly extraCost: number | null;
  /** Extra carbon dioxide over a year [kg]; null without a yearly distance. */
  readonly extraCarbonDioxide: number | null;
}

/** Carbon dioxide from burning petrol [kg/L]: 8,887 g a US gallon. Source: epa-420-f-11-041. */
const carbonDioxidePerLitre = 8.887 / 3.785411784;

/**
 * Loss of economy: extra fuel as a share of the baseline. 25 down to 20 miles a gallon is 25 % more fuel, not 20.
 *
 * @param before   consumption that was usual [L/100 km], 0.5 to 120
 * @param now      consumption now [L/100 km], 0.5 to 120
 * @param distance driven in a year [km], or null
 * @param price    of a litre, or null
 * @returns extra fuel [%] of the baseline; negative when the car takes less than before
 * Source: definition; carbon dioxide epa-420-f-11-041.
 */
export function consumptionLoss(
  before: number,
  now: number,
  distance: number | null = null,
  price: number | null = null,
): Result<number, ConsumptionLoss> {
  const wrong =
    checkNumber('The earlier consumption', before, 0.5, 120, 'L/100 km') ??
    checkNumber('The consumption now', now, 0.5, 120, 'L/100 km') ??
    checkNumber('The distance a year', distance ?? 0, 0, 500_000, 'km') ??
    checkNumber('The price of a litre', price ?? 0, 0, 100_000, '');
  if (wrong) return wrong;
  const extraLitres = distance === null ? null : (distance / 100) * (now - before);
  return {
    valid: true,
    value: 100 * (now / before - 1),
    extraLitres,
    extraCost: extraLitres === null || price === null ? null : extraLitres * price,
    extraCarbonDioxide: extraLitres === null ? null : extraLitres * carbonDioxidePerLitre,
  };
}
