// Short-term and long-term fuel trim of one bank taken together. derive.ts calls it for each bank and condition.
import { checkNumber } from './check-number.ts';
import type { Result } from './result.ts';

/**
 * Total trim as the trade states it: the plain sum. `product` is what the engine gets, fuel = base x (1 + s)(1 + l).
 *
 * @param shortTerm short-term trim [%], -100 to 100
 * @param longTerm  long-term trim of the same bank and condition [%], -100 to 100
 * @returns the sum [%]; `product` [%]. Below 10 % each the two differ by less than one point.
 * Source: common practice for the sum; sae-j1979 for the two as factors.
 */
export function totalTrim(shortTerm: number, longTerm: number): Result<number, { product: number }> {
  const wrong =
    checkNumber('The short-term trim', shortTerm, -100, 100, '%') ??
    checkNumber('The long-term trim', longTerm, -100, 100, '%');
  if (wrong) return wrong;
  return {
    valid: true,
    value: shortTerm + longTerm,
    product: 100 * ((1 + shortTerm / 100) * (1 + longTerm / 100) - 1),
  };
}
