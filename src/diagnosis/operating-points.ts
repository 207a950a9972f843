// The four operating points and the air that an engine takes at each. Every other file of this folder counts points and
// banks with the indices given here.
import type { Condition } from '../vocabulary/quantities.ts';

export const points = ['idle', '2500rpm', 'cruise', 'load'] as const;
export const pointCount = points.length;

/** Banks that the model tells apart; engines with more are read as two. */
export const bankCount = 2;

/** One bank at one operating point. */
export const cellCount = bankCount * pointCount;
export function cellOf(bank: number, point: number): number {
  return bank * pointCount + point;
}

/**
 * Air taken per litre of displacement [g/s per L], warm.
 * Source: idle common practice (0.8 to 1.5, about 1 g/s per litre with load of generator and gearbox 1.5); the rest is the design's
 * example of a 2.0 L engine (3, 9 and 15 g/s) and 50 g/s under load.
 */
const airPerLitre: readonly number[] = [1.5, 4.5, 7.5, 25];

/** Litres, where the writer does not say. */
export const usualDisplacement = 2;

/**
 * All the air that the cylinders take at each point [g/s].
 *
 * @param displacement [L], 0.3 to 10; outside it is brought to the nearer end
 */
export function airTaken(displacement: number): Float64Array {
  const litres = Math.min(10, Math.max(0.3, displacement));
  return Float64Array.from(airPerLitre, (perLitre) => perLitre * litres);
}

/** How often a reading without a condition was taken at each point (judgement: most people read standing at idle). */
const unknownPointWeights: readonly number[] = [0.45, 0.2, 0.25, 0.1];

/** Weights of the points for a stated condition; null where the condition is none of the model's (overrun, key on). */
export function pointWeights(when: Condition | null): readonly number[] | null {
  switch (when) {
    case null:
      return unknownPointWeights;
    case 'idle':
    case 'after-refuelling':
      return [1, 0, 0, 0];
    case '2500rpm':
      return [0, 1, 0, 0];
    case 'cruise':
    case 'cruise-steady':
      return [0, 0, 1, 0];
    case 'load':
      return [0, 0, 0, 1];
    case 'cold':
      return [0.7, 0.1, 0.2, 0];
    default:
      return null;
  }
}
