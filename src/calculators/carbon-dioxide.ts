// Carbon dioxide by litre of fuel and by distance, and fuel by distance from what an exhaust laboratory measured.
import { checkNumber } from './check-number.ts';
import type { Fuel } from './fuels.ts';
import { type Result, refuse } from './result.ts';
import { atomicMass } from './stoichiometric-ratio.ts';

/** Molar mass of carbon dioxide over that of carbon. */
const perCarbon = (atomicMass.carbon + 2 * atomicMass.oxygen) / atomicMass.carbon;

/**
 * @param fuel a liquid, by composition and density
 * @returns carbon dioxide when all its carbon burns [kg/L]
 * Source: acea-wltp-07-11 (carbon balance).
 */
export function carbonDioxidePerLitre(fuel: Fuel): Result {
  if (fuel.density === null) return refuse('A gas is not sold by the litre.');
  const mass = atomicMass.carbon + atomicMass.hydrogen * fuel.hydrogen + atomicMass.oxygen * fuel.oxygen;
  return { valid: true, value: (fuel.density / 1000) * (atomicMass.carbon / mass) * perCarbon };
}

/**
 * @param consumption [L/100 km], 0.5 to 120
 * @param perLitre    [kg/L], 0.5 to 4
 * @returns [g/km]
 */
export function carbonDioxideByDistance(consumption: number, perLitre: number): Result {
  const wrong =
    checkNumber('The consumption', consumption, 0.5, 120, 'L/100 km') ??
    checkNumber('Carbon dioxide by litre', perLitre, 0.5, 4, 'kg/L');
  if (wrong) return wrong;
  return { valid: true, value: consumption * perLitre * 10 };
}

/**
 * Fuel economy from the carbon in the exhaust: petrol of 2421 g of carbon a gallon.
 *
 * @param hc, co, co2 [g/mile], together holding some carbon
 * @returns [miles per US gallon]
 * Source: cfr-600-113-78.
 */
export function economyFromCarbon(hc: number, co: number, co2: number): Result {
  const wrong =
    checkNumber('HC', hc, 0, 100, 'g/mile') ??
    checkNumber('CO', co, 0, 1000, 'g/mile') ??
    checkNumber('CO2', co2, 0, 5000, 'g/mile');
  if (wrong) return wrong;
  const carbon = 0.866 * hc + 0.429 * co + 0.273 * co2;
  if (carbon < 1) return refuse('There is hardly any carbon in these figures.');
  return { valid: true, value: 2421 / carbon };
}

/**
 * Mean of several stretches of road, by fuel used: the harmonic mean of miles per gallon.
 *
 * @param stretches distance [km] and consumption [L/100 km], 1 to 1000 of them
 * @returns [L/100 km]
 */
export function meanConsumption(stretches: ReadonlyArray<{ distance: number; consumption: number }>): Result {
  if (stretches.length === 0 || stretches.length > 1000) return refuse('It takes 1 to 1000 stretches to make a mean.');
  let distance = 0;
  let litres = 0;
  for (const stretch of stretches) {
    const wrong =
      checkNumber('The distance', stretch.distance, 0.01, 3_000_000, 'km') ??
      checkNumber('The consumption', stretch.consumption, 0.5, 120, 'L/100 km');
    if (wrong) return wrong;
    distance += stretch.distance;
    litres += (stretch.distance * stretch.consumption) / 100;
  }
  return { valid: true, value: (100 * litres) / distance };
}
