// Results of the calculators that are evidence of their own. Most say again what the raw figures say (lambda from gas, total
// trims), and the figures are weighed already; the loss against earlier consumption is in no single figure.
import type { Derived } from '../vocabulary/answer-document.ts';
import type { ReadingTerm } from './terms.ts';

/** Losses beyond this are slips of units more often than cars [%]. */
const mostLoss = 150;

export function derivedTerms(derived: readonly Derived[]): ReadingTerm[] {
  return derived.flatMap((result): ReadingTerm[] => {
    if (result.calculator !== 'consumption-loss' || !result.valid || result.result === null) return [];
    if (Math.abs(result.result) > mostLoss) return [];
    const findings = result.inputs.flatMap((input) => (input.finding === null ? [] : [input.finding]));
    return [
      {
        kind: 'reading',
        findings: findings.length > 0 ? findings.slice(-1) : [result.id],
        strength: 1,
        value: result.result,
        alternatives: [{ observable: { name: 'fuel-use', bank: 0, point: 0 }, weight: 1 }],
        limit: null,
        widen: 1,
      },
    ];
  });
}
