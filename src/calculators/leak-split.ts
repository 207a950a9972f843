// Splits fuel trims at two or more air flows into a fixed flow of unmetered air and an error that is a share everywhere.
// derive.ts calls it when a post gives trims at idle and at a higher speed.
import { checkNumber } from './check-number.ts';
import { type Result, refuse } from './result.ts';

/** A total trim and the air flow that the meter showed with it. */
export interface TrimPoint {
  /** Total trim as the engine gets it (product form) [%], -60 to 150. */
  readonly trim: number;
  /** Metered air flow of the same bank [g/s], 0.3 to 700. */
  readonly flow: number;
  /** How well that flow is known, one standard deviation as a share of it, 0 to 0.5; 0 (default) when it was read. */
  readonly flowSpread?: number;
}

export interface LeakSplit {
  /** The share [%] that is the same at every flow: a meter, pressure or fuel error. */
  readonly share: number;
  /** One standard deviation of each. */
  readonly leakSpread: number;
  readonly shareSpread: number;
  /** Worst distance of a point from the fitted line [% of trim]; 0 with two points, which always fit. */
  readonly worstMisfit: number;
  /** What stands out beyond two standard deviations. */
  readonly verdict: 'leak' | 'extra-fuel' | 'share' | 'leak-and-share' | 'extra-fuel-and-share' | 'nothing';
}

/** Spread of one total trim as a scan tool shows it [% of fuel], one standard deviation. Judgement: long trims wander 1 to 2 points within a cell. */
const trimSpread = 1.5;

/** Flows closer than this cannot tell a fixed leak from a share (judgement). */
const leastFlowRatio = 1.5;

/**
 * Least squares of trim = leak / flow + share over the points; with two points the exact solution.
 *
 * @param points 2 to 50 points of one bank
 * @returns leak [g/s] of air past the meter; negative means fuel arriving by itself (leak x 1/14.7 of it)
 * The spread is the larger of what the points' own scatter shows (three points or more) and 1.5 % of trim per point (judgement),
 * with what unsure flows add.
 * On engines that measure manifold pressure a leak shows as idle speed, not in trims, and this must not be used.
 * Source: mass balance t = leak/metered + error; ordinary least squares.
 */
export function leakSplit(points: readonly TrimPoint[]): Result<number, LeakSplit> {
  if (points.length < 2 || points.length > 50)
    return refuse('It takes trims at two different engine speeds to tell an air leak from a general error.');
  for (const point of points) {
    const wrong =
      checkNumber('The trim', point.trim, -60, 150, '%') ??
      checkNumber('The air flow', point.flow, 0.3, 700, 'g/s') ??
      checkNumber('The spread of the air flow', point.flowSpread ?? 0, 0, 0.5, '');
    if (wrong) return wrong;
  }
  const flows = points.map((point) => point.flow);
  if (Math.max(...flows) < leastFlowRatio * Math.min(...flows))
    return refuse('The air flows are too close together to tell an air leak from a general error.');
  const count = points.length;
  const inverse = points.map((point) => 1 / point.flow);
  const meanInverse = inverse.reduce((sum, value) => sum + value, 0) / count;
  const meanTrim = points.reduce((sum, point) => sum + point.trim, 0) / count;
  let scatter = 0;
  let together = 0;
  points.forEach((point, index) => {
    const distance = inverse[index]! - meanInverse;
    scatter += distance * distance;
    together += distance * (point.trim - meanTrim);
  });
  const slope = together / scatter;
  const share = meanTrim - slope * meanInverse;
  const misfits = points.map((point, index) => point.trim - share - slope * inverse[index]!);
  const residual = count > 2 ? Math.sqrt(misfits.reduce((sum, value) => sum + value * value, 0) / (count - 2)) : 0;
  const spread = Math.max(trimSpread, residual);
  let slopeVariance = 0;
  let shareVariance = 0;
  points.forEach((point, index) => {
    // A flow that is off by a share moves the leak's part of the trim by that share.
    const fromFlow = (point.flowSpread ?? 0) * slope * inverse[index]!;
    const variance = spread * spread + fromFlow * fromFlow;
    const weight = (inverse[index]! - meanInverse) / scatter;
    slopeVariance += weight * weight * variance;
    shareVariance += (1 / count - meanInverse * weight) ** 2 * variance;
  });
  const slopeSpread = Math.sqrt(slopeVariance);
  const shareSpread = Math.sqrt(shareVariance);
  const fixed = Math.abs(slope) > 2 * slopeSpread ? (slope > 0 ? 'leak' : 'extra-fuel') : null;
  const isShare = Math.abs(share) > 2 * shareSpread;
  return {
    valid: true,
    // The slope is in % x g/s; a leak of 1 g/s at 1 g/s metered is a trim of 100 %.
    value: slope / 100,
    share,
    leakSpread: slopeSpread / 100,
    shareSpread,
    worstMisfit: count > 2 ? Math.max(...misfits.map(Math.abs)) : 0,
    verdict: fixed === null ? (isShare ? 'share' : 'nothing') : isShare ? `${fixed}-and-share` : fixed,
  };
}
