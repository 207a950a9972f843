// Cuts a post into clauses and says of each under which sign it stands: now or before, the owner's own word or hearsay,
// a plain statement, a doubt, a question or a supposition, which car, which running condition. Readers ask `contextAt`.
import type { Condition } from '../vocabulary/quantities.ts';

/** Under which sign the words of a clause stand. */
export interface ClauseContext {
  readonly time: 'now' | 'before';
  readonly source: 'owner' | 'hearsay' | 'helper';
  readonly car: number;
  /** `question` and `supposed` must not become findings. */
  readonly mood: 'stated' | 'doubted' | 'question' | 'supposed';
  readonly when: Condition | null;
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
