// Lambda from the pump current of a wide-range sensor, by the data sheet of the one kind whose curve is published.
import { checkNumber } from './check-number.ts';
import { type Result, refuse } from './result.ts';

/** Pump current [mA] against lambda of one widely used planar sensor. Source: wideband-data-sheet. */
const curve: ReadonlyArray<readonly [number, number]> = [
  [-2, 0.65],
  [-1.602, 0.7],
  [-1.243, 0.75],
  [-0.927, 0.8],
  [-0.8, 0.822],
  [-0.652, 0.85],
  [-0.405, 0.9],
  [-0.183, 0.95],
  [-0.106, 0.97],
  [-0.04, 0.99],
  [0, 1.003],
  [0.015, 1.01],
  [0.097, 1.05],
  [0.193, 1.1],
  [0.25, 1.132],
  [0.329, 1.179],
  [0.671, 1.429],
  [0.938, 1.701],
  [1.15, 1.99],
  [1.385, 2.434],
  [1.7, 3.413],
  [2, 5.391],
  [2.15, 7.506],
  [2.25, 10.119],
];

/**
 * Straight lines between the sheet's points.
 *
 * @param current pump current [mA], -2 to 2.25
 * @param sensor  which curve; `unknown` is refused, since other makes' currents mean other mixtures
 * @returns lambda [1], rising with the current
 * Source: wideband-data-sheet. Exhaust back-pressure raises the reading.
 */
export function lambdaFromPumpCurrent(current: number, sensor: 'lsu-4.9' | 'unknown'): Result {
  if (sensor === 'unknown')
    return refuse('A pump current means different mixtures on different sensors, so the kind of sensor must be known.');
  const wrong = checkNumber('The pump current', current, curve[0]![0], curve.at(-1)![0], 'mA');
  if (wrong) return wrong;
  const index = Math.max(
    1,
    curve.findIndex(([at]) => at >= current),
  );
  const [fromAt, from] = curve[index - 1]!;
  const [toAt, to] = curve[index]!;
  return { valid: true, value: from + ((current - fromAt) / (toAt - fromAt)) * (to - from) };
}

/**
 * The current that belongs to a lambda, by the same sheet.
 *
 * @param lambda 0.65 to 10.119 [1]
 * @returns [mA]
 */
export function pumpCurrentFromLambda(lambda: number): Result {
  const wrong = checkNumber('Lambda', lambda, curve[0]![1], curve.at(-1)![1], '');
  if (wrong) return wrong;
  const index = Math.max(
    1,
    curve.findIndex(([, at]) => at >= lambda),
  );
  const [from, fromAt] = curve[index - 1]!;
  const [to, toAt] = curve[index]!;
  return { valid: true, value: from + ((lambda - fromAt) / (toAt - fromAt)) * (to - from) };
}
