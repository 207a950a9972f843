// What fixed the car, as bay-store.ts speaks of it.

/** Whose word it is, the weightiest last. */
export const outcomeSources = ['owner', 'helper', 'moderator'] as const;
export type OutcomeSource = (typeof outcomeSources)[number];
/** `unknown`: it runs, but nobody knows why; `not-fixed`: it is as it was. */
export type OutcomeResult = 'fixed' | 'not-fixed' | 'unknown';

export interface NewOutcome {
  /** An answer of the conversation; the last one before the outcome, whose ranking is held against it. */
  readonly answerId: number;
  readonly source: OutcomeSource;
  readonly who: string;
  readonly result: OutcomeResult;
  /** Id of the vocabulary; null when it is not known what it was. */
  readonly fault: string | null;
  readonly note: string;
  /** Version that the person looked at; 0 when there was no outcome. */
  readonly version: number;
  /** What the answer is found by, and what later cases are likened to it by. */
  readonly terms: readonly string[];
  readonly likeness: readonly string[];
  readonly now: number;
}

export interface KeptOutcome {
  readonly answerId: number;
  readonly source: OutcomeSource;
  readonly who: string;
  readonly at: number;
  readonly result: OutcomeResult;
  readonly fault: string | null;
  /** Place of that fault in the ranking, 1 for the first; null when it was nowhere. */
  readonly place: number | null;
  readonly probability: number | null;
  readonly note: string;
  readonly version: number;
}

export interface SettledCase {
  readonly answerId: number;
  readonly at: number;
  readonly fault: string;
  readonly firstCause: string | null;
  readonly firstProbability: number | null;
  /** The terms that both cases share. */
  readonly shared: readonly string[];
}

/** Settled cases, and in how many of them the fault stood first, or among the first three. */
export interface Counts {
  readonly cases: number;
  readonly first: number;
  readonly three: number;
  /** Sum of the probabilities of the first causes. */
  readonly stated: number;
}

export interface OutcomeCandidate {
  readonly answerId: number;
  readonly postId: number;
  readonly channel: string;
  readonly conversation: string;
  readonly person: string;
  readonly createdAt: number;
}
