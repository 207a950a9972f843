// Air through a round hole between outside and the intake manifold, and the hole that a leak would need.
import { gasConstantOfAir } from './air-density.ts';
import { checkNumber } from './check-number.ts';
import { type Result, refuse } from './result.ts';

/** Ratio of the specific heats of air, and of pressures at which the flow chokes. Source: naca-1135. */
const heatRatio = 1.4;
const chokedRatio = (2 / (heatRatio + 1)) ** (heatRatio / (heatRatio - 1));

/**
 * Compressible flow through an orifice; below 0.528 of the outside pressure it no longer grows.
 *
 * @param diameter    [mm], 0.1 to 50
 * @param manifold    absolute pressure inside [kPa], 5 to the outside pressure
 * @param outside     [kPa], 50 to 110
 * @param temperature outside [degC], -60 to 60
 * @param discharge   share of the ideal flow that a real edge passes, 0.3 to 1 (0.8 for a torn hose, judgement)
 * @returns [g/s]; `choked` true when the flow has reached its most
 * Source: naca-1135 (isentropic flow).
 */
export function leakFlow(
  diameter: number,
  manifold: number,
  outside = 101.325,
  temperature = 25,
  discharge = 0.8,
): Result<number, { choked: boolean }> {
  const wrong =
    checkNumber('The hole', diameter, 0.1, 50, 'mm') ??
    checkNumber('The outside pressure', outside, 50, 110, 'kPa') ??
    checkNumber('The manifold pressure', manifold, 5, 400, 'kPa') ??
    checkNumber('The air temperature', temperature, -60, 60, 'degrees C') ??
    checkNumber('The discharge share', discharge, 0.3, 1, '');
  if (wrong) return wrong;
  if (manifold > outside) return refuse('With more pressure inside than outside, air leaks out and not in.');
  const ratio = Math.max(chokedRatio, manifold / outside);
  const area = (Math.PI / 4) * (diameter / 1000) ** 2;
  const scale = (outside * 1000) / Math.sqrt(gasConstantOfAir * (temperature + 273.15));
  const shape = Math.sqrt(
    ((2 * heatRatio) / (heatRatio - 1)) * (ratio ** (2 / heatRatio) - ratio ** ((heatRatio + 1) / heatRatio)),
  );
  return { valid: true, value: 1000 * discharge * area * scale * shape, choked: manifold / outside <= chokedRatio };
}

/**
 * @param flow     leak [g/s], 0.001 to 100
 * @param manifold absolute pressure inside [kPa]
 * @returns diameter of a round hole that lets it through [mm]; refused without a pressure difference
 */
export function leakHole(flow: number, manifold: number, outside = 101.325, temperature = 25): Result {
  const wrong = checkNumber('The leak', flow, 0.001, 100, 'g/s');
  if (wrong) return wrong;
  const one = leakFlow(1, manifold, outside, temperature);
  if (!one.valid) return one;
  if (one.value < 1e-6) return refuse('Without a pressure difference no air flows through a hole.');
  return { valid: true, value: Math.sqrt(flow / one.value) };
}
