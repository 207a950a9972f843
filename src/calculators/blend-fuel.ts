// Petrol mixed with ethanol: composition, air need, and the correction that a car set up for plain petrol would have to make.
import { checkNumber } from './check-number.ts';
import { type Fuel, fuels } from './fuels.ts';
import { type Result, refuse } from './result.ts';
import { atomicMass, stoichiometricRatio } from './stoichiometric-ratio.ts';

export interface Blend {
  readonly fuel: Fuel;
  /** Air need [kg/kg]. */
  readonly ratio: number;
  /** More fuel by volume than the base needs for the same air [%]: the trim of a healthy car on it. */
  readonly extraVolume: number;
}

/**
 * @param ethanol share by volume [%], 0 to 100
 * @param base    the petrol it is mixed into
 * @returns density of the blend [g/L], with composition, air need and the trim to expect. Volumes are added as they are: the
 *          real blend expands by 0.2 % at most (judgement)
 * Source: mass balance; heywood-1988, equation 3.6.
 */
export function blendFuel(ethanol: number, base: Fuel = fuels['petrol-e0']): Result<number, Blend> {
  const wrong = checkNumber('The ethanol share', ethanol, 0, 100, '%');
  if (wrong) return wrong;
  if (base.density === null) return refuse('Ethanol cannot be blended into a gas.');
  const share = ethanol / 100;
  const baseCarbon = ((1 - share) * base.density) / molarMass(base);
  const ethanolCarbon = (share * fuels.ethanol.density) / molarMass(fuels.ethanol);
  const carbon = baseCarbon + ethanolCarbon;
  const fuel: Fuel = {
    name: `petrol with ${Number(ethanol.toFixed(1))} % ethanol`,
    hydrogen: (baseCarbon * base.hydrogen + ethanolCarbon * fuels.ethanol.hydrogen) / carbon,
    oxygen: (baseCarbon * base.oxygen + ethanolCarbon * fuels.ethanol.oxygen) / carbon,
    density: (1 - share) * base.density + share * fuels.ethanol.density,
    spark: true,
  };
  const ratio = stoichiometricRatio(fuel);
  const baseRatio = stoichiometricRatio(base);
  if (!ratio.valid) return ratio;
  if (!baseRatio.valid) return baseRatio;
  return {
    valid: true,
    value: fuel.density!,
    fuel,
    ratio: ratio.value,
    extraVolume: 100 * ((baseRatio.value * base.density) / (ratio.value * fuel.density!) - 1),
  };
}

/** Mass for one mole of carbon atoms [g/mol]. */
function molarMass(fuel: Fuel): number {
  return atomicMass.carbon + atomicMass.hydrogen * fuel.hydrogen + atomicMass.oxygen * fuel.oxygen;
}
