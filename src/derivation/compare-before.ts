// Before and after: the same figure at an earlier time and now, so that a repair can be judged.
import type { Derived } from '../vocabulary/answer-document.ts';
import { figure, placeInWords, signed } from './plain.ts';

/** Results worth comparing, with what counts as a change and which way is better. */
const compared: Readonly<Record<string, { name: string; decimals: number; least: number; target: number }>> = {
  'total-trim': { name: 'the fuel correction', decimals: 0, least: 3, target: 0 },
  'lambda-from-gas': { name: 'lambda from the gases', decimals: 3, least: 0.01, target: 1 },
};

/**
 * @param now    results of the present figures
 * @param before results of the figures of an earlier time
 * @returns one result for each calculator, bank and condition that stands in both and has changed
 */
export function compareBefore(now: readonly Derived[], before: readonly Derived[]): Derived[] {
  return now.flatMap((present) => {
    const rule = compared[present.calculator];
    const earlier = before.find((result) => result.id === present.id);
    if (!rule || !earlier || present.result === null || earlier.result === null) return [];
    const change = present.result - earlier.result;
    if (Math.abs(change) < rule.least) return [];
    const isBetter = Math.abs(present.result - rule.target) < Math.abs(earlier.result - rule.target);
    const place = placeInWords(present.bank, present.when, 'overall');
    const show = (value: number) =>
      rule.target === 0 ? `${signed(value, rule.decimals)} %` : figure(value, rule.decimals);
    return [
      {
        ...present,
        id: `change.${present.id}`.slice(0, 40),
        calculator: 'before-and-after',
        inputs: [...earlier.inputs, ...present.inputs],
        result: change,
        says: `${place}: ${rule.name} went from ${show(earlier.result)} to ${show(present.result)}, which is ${isBetter ? 'better' : 'worse'}.`,
        steps: [
          `${show(present.result)} now less ${show(earlier.result)} before = ${signed(change, rule.decimals || 1)}`,
        ],
      },
    ];
  });
}
