// For and against each cause: how far every finding moved its odds, in bits, with the reason.
import type { Evidence } from '../vocabulary/answer-document.ts';
import type { CaseModel, World } from './case-model.ts';
import { cellOf } from './operating-points.ts';
import { type Prediction, predict } from './predict.ts';
import { type Seen, sayEvidence } from './say-evidence.ts';
import { relativeDensity } from './student-t.ts';
import type { ReadingTerm } from './terms.ts';

/** Below this a finding is not worth naming [bits]. */
const worthNaming = 0.1;

/** Likelihoods of every term under every single hypothesis of the likeliest world, made once for all causes. */
export interface TermTable {
  readonly world: World;
  /** singles x terms. */
  readonly likelihood: Float64Array;
}

export function tabulateTerms(model: CaseModel): TermTable {
  const world = model.worlds[0]!;
  const count = world.terms.length;
  const likelihood = new Float64Array(world.hypotheses.singles.length * count);
  for (let single = 0; single < world.hypotheses.singles.length; single += 1) {
    for (let term = 0; term < count; term += 1)
      likelihood[single * count + term] = world.evaluator.ofTerm(term, single, world.table.nobody);
  }
  return { world, likelihood };
}

/**
 * Weight of evidence of each finding for one fault: the factor that it puts on the fault's odds, given all other findings, as
 * log2. Single hypotheses alone are compared: pairs would need one posterior a finding and change the weights little.
 */
export function weighEvidence(
  model: CaseModel,
  table: TermTable,
  fault: number,
): { for: Evidence[]; against: Evidence[] } {
  const { world, likelihood } = table;
  const { singles, start } = world.hypotheses;
  const count = world.terms.length;
  const bySingle = world.posterior.bySingle;
  const sumOver = (term: number | null) => {
    let inside = 0;
    let outside = 0;
    for (let single = 0; single < singles.length; single += 1) {
      const mass = bySingle[single]! / (term === null ? 1 : Math.max(1e-300, likelihood[single * count + term]!));
      if (singles[single]!.fault === fault) inside += mass;
      else outside += mass;
    }
    return Math.log2(inside / outside);
  };
  const withAll = sumOver(null);
  let best = start[fault]!;
  for (let single = best; single < start[fault + 1]!; single += 1)
    if (bySingle[single]! > bySingle[best]!) best = single;

  const evidence = world.terms.flatMap((term, index): Evidence[] => {
    const [finding] = term.findings;
    // What was left unsaid has no words to point at.
    if (finding === undefined) return [];
    const bits = withAll - sumOver(index);
    if (!Number.isFinite(bits) || Math.abs(bits) < worthNaming) return [];
    const value = likelihood[best * count + index]!;
    const shown = term.kind === 'yes-no' ? shownOf(value ** (1 / term.strength), term.present, term.noticed) : 0;
    const seen: Seen = {
      bits,
      shown,
      banks: model.engine.banks,
      ...(term.kind === 'reading' ? predicted(world, best, term) : { prediction: null, observable: null, idle: 0 }),
    };
    return [{ finding, bits: Math.round(bits * 100) / 100, why: sayEvidence(term, seen, model.knowledge) }];
  });
  const said = new Set<string>();
  const sorted = evidence
    .sort((a, b) => Math.abs(b.bits) - Math.abs(a.bits))
    // The same words of two findings say no more than once; the stronger stays.
    .filter((item) => !said.has(item.why) && said.add(item.why));
  return { for: sorted.filter((item) => item.bits > 0), against: sorted.filter((item) => item.bits < 0) };
}

function shownOf(value: number, present: boolean, noticed: number): number {
  return present ? value : (1 - value) / Math.max(0.01, noticed);
}

/** The alternative under which the best hypothesis explains a reading best, and what it predicts there. */
function predicted(world: World, single: number, term: ReadingTerm): Pick<Seen, 'prediction' | 'observable' | 'idle'> {
  const state = world.table.stateOf(single, world.table.nobody);
  let best: Pick<Seen, 'prediction' | 'observable' | 'idle'> = { prediction: null, observable: null, idle: 0 };
  let most = -1;
  for (const { observable, weight } of term.alternatives) {
    const prediction: Prediction = { middle: 0, spread: 1 };
    predict(state, observable, world.around, prediction);
    const fits = weight * relativeDensity(term.value, prediction.middle, prediction.spread);
    if (fits > most) {
      most = fits;
      best = { prediction, observable, idle: 100 * state.trim[cellOf(observable.bank, 0)]! };
    }
  }
  return best;
}
