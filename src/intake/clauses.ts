// What a clause of a post is, and under which sign its words stand: now or before, the owner's own word or hearsay, a
// plain statement, a doubt, a question or a supposition, which car, which running condition. Readers ask `clauseAt`.
import type { Condition } from '../vocabulary/quantities.ts';

/** Under which sign the words of a clause stand. */
export interface ClauseContext {
  readonly time: 'now' | 'before';
  readonly source: 'owner' | 'hearsay' | 'helper';
  readonly car: number;
  /** `question` and `supposed` must not become findings. */
  readonly mood: 'stated' | 'doubted' | 'question' | 'supposed';
  readonly when: Condition | null;
  /** Told of the response to a trial ("I unplugged it and ..."): done, but no complaint; its mood is `supposed`. */
  readonly isTrial?: boolean;
}

export interface Clause {
  /** Token indexes [first, last). */
  readonly first: number;
  readonly last: number;
  /** Number of the sentence and of the line that it stands in. */
  readonly sentence: number;
  readonly context: ClauseContext;
}

export interface ClauseMap {
  readonly clauses: readonly Clause[];
  /** Clause of a token index. */
  readonly clauseAt: (token: number) => Clause;
}

/** A plain statement of the owner about his car as it is now. */
export const plainContext: ClauseContext = { time: 'now', source: 'owner', car: 0, mood: 'stated', when: null };

/** A clause before its context is known. */
export interface ClauseSpan {
  readonly first: number;
  readonly last: number;
  readonly sentence: number;
}
