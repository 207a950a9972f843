// Delay of one signal behind another by cross-correlation: the rear sensor behind the front one, or a sensor behind the fuel.
import { type Result, refuse } from './result.ts';

/** Rows looked at, and the most steps of delay tried; together they bound the work. */
const mostRows = 100_000;
const mostSteps = 400;

/** Correlation below which the two signals have too little in common (judgement). */
const leastCorrelation = 0.4;

/**
 * @param first    leading signal, one entry a row, evenly spaced
 * @param second   following signal, same rows
 * @param interval between rows [s], 0.001 to 10
 * @param longest  longest delay to try [s]
 * @returns delay [s] in whole rows, with the correlation there; refused when signals are constant, too short, or alike at no delay
 * Source: definition of the sample cross-correlation.
 */
export function signalDelay(
  first: ArrayLike<number>,
  second: ArrayLike<number>,
  interval: number,
  longest = 5,
): Result<number, { correlation: number }> {
  if (!(interval >= 0.001 && interval <= 10)) return refuse('The time between two rows must be 0.001 to 10 seconds.');
  if (first.length !== second.length) return refuse('The two signals do not have the same number of readings.');
  const rows = Math.min(first.length, mostRows);
  for (let index = 0; index < rows; index += 1)
    if (!Number.isFinite(first[index]) || !Number.isFinite(second[index]))
      return refuse('There are gaps in the readings, so the signals cannot be laid over each other.');
  const steps = Math.min(mostSteps, Math.floor(longest / interval), Math.floor(rows / 3));
  if (rows < 30 || steps < 1) return refuse('There are too few readings to find a delay.');
  let value = 0;
  let correlation = Number.NEGATIVE_INFINITY;
  for (let lag = 0; lag <= steps; lag += 1) {
    const at = correlationAt(first, second, rows, lag);
    if (at > correlation) [value, correlation] = [lag * interval, at];
  }
  if (!(correlation >= leastCorrelation)) return refuse('The two signals have too little in common to find a delay.');
  return { valid: true, value, correlation };
}

/** Pearson correlation of first[i] with second[i + lag]. */
function correlationAt(first: ArrayLike<number>, second: ArrayLike<number>, rows: number, lag: number): number {
  const count = rows - lag;
  let meanFirst = 0;
  let meanSecond = 0;
  for (let index = 0; index < count; index += 1) {
    meanFirst += first[index]!;
    meanSecond += second[index + lag]!;
  }
  meanFirst /= count;
  meanSecond /= count;
  let both = 0;
  let one = 0;
  let two = 0;
  for (let index = 0; index < count; index += 1) {
    const left = first[index]! - meanFirst;
    const right = second[index + lag]! - meanSecond;
    both += left * right;
    one += left * left;
    two += right * right;
  }
  return one > 0 && two > 0 ? both / Math.sqrt(one * two) : Number.NEGATIVE_INFINITY;
}
