// The two banks' total trims against each other: what both share is about the whole engine, what differs is about one bank.
import { checkNumber } from './check-number.ts';
import type { Result } from './result.ts';

export interface BankDifference {
  /** Mean of both banks [%]. */
  readonly shared: number;
  /** `opposite`: the banks run to opposite sides, as crossed sensors make them; `one-bank`; `both`; `none`. */
  readonly pattern: 'opposite' | 'one-bank' | 'both' | 'none';
  /** The bank with the larger correction, when the pattern is `one-bank`. */
  readonly bank: 1 | 2 | null;
}

/** Corrections within this are nothing to act on [%]. Source: common practice (5 nothing, 8 to 10 look into it). */
const notable = 8;

/**
 * @param bankOne total trim of bank 1 [%], -100 to 150
 * @param bankTwo total trim of bank 2 in the same condition [%]
 * @returns bank 1 less bank 2 [%]; swapping the banks changes the sign and nothing else
 * Source: common practice.
 */
export function bankDifference(bankOne: number, bankTwo: number): Result<number, BankDifference> {
  const wrong =
    checkNumber('The trim of bank 1', bankOne, -100, 150, '%') ??
    checkNumber('The trim of bank 2', bankTwo, -100, 150, '%');
  if (wrong) return wrong;
  const one = Math.abs(bankOne) >= notable;
  const two = Math.abs(bankTwo) >= notable;
  const value = bankOne - bankTwo;
  const isOpposite = one && two && bankOne * bankTwo < 0;
  const isApart = Math.abs(value) >= notable;
  const larger = Math.abs(bankOne) > Math.abs(bankTwo) ? 1 : 2;
  const pattern = isOpposite ? 'opposite' : isApart && (one || two) ? 'one-bank' : one && two ? 'both' : 'none';
  return {
    valid: true,
    value,
    shared: (bankOne + bankTwo) / 2,
    pattern,
    bank: pattern === 'one-bank' ? larger : null,
  };
}
