// The air that a fuel needs to burn completely, and the density and energy figures that follow from its composition.
import { checkNumber } from './check-number.ts';
import type { Fuel } from './fuels.ts';
import type { Result } from './result.ts';

/** Standard atomic weights [g/mol]. Source: iupac-2021 (abridged values). */
export const atomicMass = { carbon: 12.011, hydrogen: 1.008, oxygen: 15.999 } as const;

/** Dry air: oxygen by mole, and molar mass [g/mol]. Source: us-standard-atmosphere-1976. */
const oxygenOfAir = 0.20946;
const molarMassOfAir = 28.9647;

/**
 * Kilograms of air for a kilogram of fuel at lambda 1: each carbon atom needs 1 + H/4 - O/2 molecules of oxygen.
 *
 * @param fuel composition by carbon atom, hydrogen 0 to 4.5 and oxygen 0 to 2 per carbon
 * @returns [kg/kg]
 * Source: heywood-1988, equation 3.6.
 */
export function stoichiometricRatio(fuel: Pick<Fuel, 'hydrogen' | 'oxygen'>): Result {
  const wrong =
    checkNumber('Hydrogen per carbon', fuel.hydrogen, 0, 4.5, '') ??
    checkNumber('Oxygen per carbon', fuel.oxygen, 0, 1.5, '');
  if (wrong) return wrong;
  const need = 1 + fuel.hydrogen / 4 - fuel.oxygen / 2;
  const mass = atomicMass.carbon + atomicMass.hydrogen * fuel.hydrogen + atomicMass.oxygen * fuel.oxygen;
  return { valid: true, value: ((need / oxygenOfAir) * molarMassOfAir) / mass };
}
