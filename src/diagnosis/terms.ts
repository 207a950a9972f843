// The three forms that evidence takes once findings are compiled, and how likely each is under a hypothesis. A term may gather
// several findings (short- and long-term correction are one) and knows their ids, so that the evidence can be told again.
import type { Observable } from './observables.ts';

interface Gathered {
  /** Ids of the findings in it. */
  readonly findings: readonly string[];
  /** Exponent on its likelihood: 1 for what the owner says of the car now, less for hearsay and what is unsure. */
  readonly strength: number;
}

/** A code or symptom that is there or is not. */
export interface YesNoTerm extends Gathered {
  readonly kind: 'yes-no';
  /** Symptom or code, for the wording of the evidence. */
  readonly about: { readonly symptom: string } | { readonly code: string };
  /** Probability that a car without any fault does not show it. */
  readonly backgroundAbsence: number;
  /** One entry per single: the factor by which the fault lowers its absence. */
  readonly ownAbsence: Float64Array;
  /** Mixture drivers with their weights. */
  readonly drivers: ReadonlyArray<readonly [number, number]>;
  readonly present: boolean;
  /** How reliably its absence would have been noticed, 0..1; softens a denial. */
  readonly noticed: number;
}

/** A figure. */
export interface ReadingTerm extends Gathered {
  readonly kind: 'reading';
  /** On the observable's scale. */
  readonly value: number;
  /** What it may be a reading of, with the probability of each; one entry when bank and condition are stated. */
  readonly alternatives: ReadonlyArray<{ readonly observable: Observable; readonly weight: number }>;
  /** "At least" and "at most" for a figure that stands at the end of its scale. */
  readonly limit: 'at-least' | 'at-most' | null;
  /** Factor on the spread: above 1 for a figure taken under doubtful conditions. */
  readonly widen: number;
  /** For a change of the correction: the idle figure that it starts from [%]. */
  readonly base?: number;
}

/** Evidence that acts on faults directly: work done, a question's table. */
export interface FactorTerm extends Gathered {
  readonly kind: 'factor';
  readonly about:
    | { readonly work: string; readonly action: string }
    | { readonly question: string; readonly answer: string }
    | { readonly suspect: string }
    | { readonly codeList: true }
    | { readonly silence: true };
  /** One entry per single; two faults at once multiply. */
  readonly factor: Float64Array;
}

export type Term = YesNoTerm | ReadingTerm | FactorTerm;
