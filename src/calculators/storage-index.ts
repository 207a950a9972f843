// How much of the front sensor's activity comes out behind the catalyst: the less, the more oxygen it stores.
import { type Result, refuse } from './result.ts';

export interface StorageIndex {
  /** Path of each signal, all its ups and downs added [V]. */
  readonly frontPath: number;
  readonly rearPath: number;
  readonly verdict: 'good' | 'worn' | 'doubtful';
}

/**
 * Ratio at which a catalyst counts as worn, and below which as good. Judgement from what storage monitors are described to do (a rear
 * sensor that copies the front one approaches 1); makers' own limits differ.
 */
const wornFrom = 0.7;
const goodBelow = 0.4;

/** Least path of the front signal that makes the ratio mean anything [V]. */
const leastPath = 5;

/** Steps below this are noise and the converter's own steps [V]. */
const noise = 0.02;

/**
 * Path of the rear signal over path of the front signal, steady cruise, warm, closed loop.
 *
 * @param front front sensor [V], one entry a row; rows in which either is no voltage (below -0.2 or at the top of the scale) are left out
 * @param rear  rear sensor of the same bank [V], same rows
 * @returns the ratio [1], 0 or more; refused with fewer than 50 rows, when a front signal barely moves, or when lengths differ
 * An exhaust leak, a misfire or a rich engine raise it as well. Steps under 0.02 V are noise and not counted.
 * Source: judgement, after published descriptions of storage monitors.
 */
export function storageIndex(front: ArrayLike<number>, rear: ArrayLike<number>): Result<number, StorageIndex> {
  if (front.length !== rear.length) return refuse('The two sensors do not have the same number of readings.');
  let frontPath = 0;
  let rearPath = 0;
  let rows = 0;
  let lastFront = Number.NaN;
  let lastRear = Number.NaN;
  for (let index = 0; index < front.length; index += 1) {
    const one = front[index]!;
    const two = rear[index]!;
    if (!(one > -0.2 && one < 1.27 && two > -0.2 && two < 1.27)) continue;
    rows += 1;
    const frontStep = Math.abs(one - lastFront);
    const rearStep = Math.abs(two - lastRear);
    // Comparisons with the first row's NaN are false, which counts nothing.
    if (frontStep >= noise) frontPath += frontStep;
    if (rearStep >= noise) rearPath += rearStep;
    lastFront = one;
    lastRear = two;
  }
  if (rows < 50) return refuse('Fewer than fifty readings of both sensors are too few to judge the catalyst.');
  if (frontPath < leastPath) return refuse('The front sensor hardly moved, so nothing can be said about the catalyst.');
  const value = rearPath / frontPath;
  return {
    valid: true,
    value,
    frontPath,
    rearPath,
    verdict: value >= wornFrom ? 'worn' : value < goodBelow ? 'good' : 'doubtful',
  };
}
