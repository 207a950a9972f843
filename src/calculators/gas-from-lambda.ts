// The other way round: what perfectly mixed and burnt exhaust gas holds at a given lambda, ahead of the catalyst.
import { checkNumber } from './check-number.ts';
import { type Fuel, fuels } from './fuels.ts';
import { type Result, refuse } from './result.ts';

/** Dry exhaust gas [% vol]. */
export interface DryGas {
  readonly co2: number;
  readonly co: number;
  readonly h2: number;
  readonly o2: number;
  /** With the argon of the air. */
  readonly n2: number;
}

/** Nitrogen and argon for each oxygen molecule of dry air. Source: air of 20.95 % O2. */
const nitrogenPerOxygen = 3.773;

/**
 * Lean: everything burns, the rest of the oxygen is left over. Rich: CO, CO2, H2 and H2O share the oxygen by the water-gas
 * balance CO x H2O = K x CO2 x H2, frozen at the gas temperature of the cylinder.
 *
 * @param lambda 0.6 to 3 [1]
 * @param waterGas K, 3.5 by default (3.8 in older work)
 * @returns the dry gas [% vol], summing to 100. No HC and no NO: take out the fuel that leaves unburnt first.
 * Source: spindt-1965; heywood-1988, chapter 4; K cfr-86-345-79.
 */
export function gasFromLambda(lambda: number, fuel: Fuel = fuels['petrol-e0'], waterGas = 3.5): Result<DryGas> {
  const wrong = checkNumber('Lambda', lambda, 0.6, 3, '') ?? checkNumber('The water-gas constant', waterGas, 1, 10, '');
  if (wrong) return wrong;
  const hydrogen = fuel.hydrogen / 2;
  const need = 1 + fuel.hydrogen / 4 - fuel.oxygen / 2;
  let co = 0;
  let h2 = 0;
  if (lambda < 1) {
    // `missing` oxygen atoms leave as CO and H2: co + h2 = missing and co (hydrogen - h2) = K (1 - co) h2.
    const missing = 2 * need * (1 - lambda);
    const a = 1 - waterGas;
    const b = hydrogen - missing + waterGas * (1 + missing);
    const c = -waterGas * missing;
    co = a === 0 ? -c / b : (-b + Math.sqrt(b * b - 4 * a * c)) / (2 * a);
    h2 = missing - co;
    if (!(co >= 0 && co <= 1 && h2 >= 0 && h2 <= hydrogen))
      return refuse('So little air is not enough to burn this fuel to gas at all.');
  }
  const o2 = Math.max(0, (lambda - 1) * need);
  const n2 = lambda * need * nitrogenPerOxygen;
  const total = 1 + h2 + o2 + n2;
  const percent = (moles: number) => (100 * moles) / total;
  return {
    valid: true,
    value: { co2: percent(1 - co), co: percent(co), h2: percent(h2), o2: percent(o2), n2: percent(n2) },
  };
}
