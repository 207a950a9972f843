// One comparison of a calculator with something outside the project. The rows of this folder are run by published-values.test.ts and
// summed up by print-checks.ts.
import { evaluate } from 'mathjs';
import type { Result } from '../../../src/calculators/result.ts';

export interface Check {
  readonly calculator: string;
  /** What is compared, in a few words. */
  readonly what: string;
  /** Where the expected value stands. */
  readonly from: string;
  /**
   * How far it can be trusted: a published text that was opened, one cited from memory, a general-purpose library, recorded data with
   * figures worked out by others, a habit of the trade, or a definition or law that the value follows from by hand.
   */
  readonly kind: 'published' | 'from memory' | 'library' | 'recorded' | 'common practice' | 'definition';
  readonly got: () => number;
  readonly expected: number;
  /** Largest difference allowed, in the value's own unit: half the last digit printed unless `why` says otherwise. */
  readonly tolerance: number;
  readonly why?: string;
}

/** The value of a result; throws with its reason when there is none, which fails the check. */
export function take<Value>(result: Result<Value, unknown>): Value {
  if (!result.valid) throw new Error(result.because);
  return result.value;
}

/** A formula worked out by mathjs, which knows nothing of this project. */
export function library(formula: string, scope: Record<string, number> = {}): number {
  return Number(evaluate(formula, { ...scope }));
}
