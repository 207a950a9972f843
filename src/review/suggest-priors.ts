// What settled cases say about the priors of the faults: a suggestion for the knowledge base, to be reviewed, never applied by
// the program. The calibration page shows it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Counts } from '../store/outcome-types.ts';
import { wilsonInterval } from './interval.ts';

export interface PriorSuggestion {
  readonly fault: string;
  readonly cases: number;
  /** Share of the settled cases, and the share that the present priors expect. */
  readonly share: number;
  readonly expected: number;
  readonly per1000: number;
  readonly suggested: number;
}

/** Below this number of settled cases nothing is suggested (judgement). */
export const fewestCases = 30;
/** The present prior weighs as much as this many cases (judgement: a year of a small forum). */
const priorWeight = 200;

/**
 * Faults whose share of the settled cases lies outside what their prior lets expect (95 %), with a prior that leans towards the
 * cases: (weight of the prior + cases) over (weight + all cases), as a Dirichlet prior would. Largest shift first.
 */
export function suggestPriors(
  counts: ReadonlyArray<Pick<Counts, 'cases'> & { readonly fault: string }>,
  knowledge: Knowledge,
): PriorSuggestion[] {
  const all = counts.reduce((sum, { cases }) => sum + cases, 0);
  if (all < fewestCases) return [];
  const casesOf = new Map(counts.map(({ fault, cases }) => [fault, cases]));
  const total = knowledge.faults.reduce((sum, { prior }) => sum + prior.per1000, 0);
  return knowledge.faults
    .flatMap(({ id, prior }) => {
      const cases = casesOf.get(id) ?? 0;
      const expected = prior.per1000 / total;
      const { low, high } = wilsonInterval(cases, all);
      if (low <= expected && expected <= high) return [];
      const share = (priorWeight * expected + cases) / (priorWeight + all);
      const suggested = Number((share * total).toPrecision(3));
      return [{ fault: id, cases, share: cases / all, expected, per1000: prior.per1000, suggested }];
    })
    .sort((a, b) => Math.abs(Math.log(b.suggested / b.per1000)) - Math.abs(Math.log(a.suggested / a.per1000)));
}
