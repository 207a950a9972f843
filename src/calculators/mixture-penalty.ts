// How much more fuel a rich mixture alone can cost, so that a large loss is never blamed on a slightly rich engine.
import { checkNumber } from './check-number.ts';
import type { Result } from './result.ts';

/**
 * Extra fuel at equal air: 1/lambda - 1 below 1. An upper bound, since a richer engine needs a little less air for the same work
 * down to about 0.9 (judgement); lean of 1 it is zero.
 *
 * @param lambda 0.5 to 2 [1]
 * @returns extra fuel [%]
 * Source: definition of lambda.
 */
export function mixturePenalty(lambda: number): Result {
  const wrong = checkNumber('Lambda', lambda, 0.5, 2, '');
  if (wrong) return wrong;
  return { valid: true, value: Math.max(0, 100 * (1 / lambda - 1)) };
}

/**
 * Lambda at which the mixture alone would explain a loss.
 *
 * @param loss extra fuel [%], 0 to 100
 * @returns lambda [1]; `plausible` false when an engine would hardly run that rich (below 0.75)
 */
export function lambdaThatExplains(loss: number): Result<number, { plausible: boolean }> {
  const wrong = checkNumber('The loss', loss, 0, 100, '%');
  if (wrong) return wrong;
  const value = 1 / (1 + loss / 100);
  return { valid: true, value, plausible: value >= 0.75 };
}
