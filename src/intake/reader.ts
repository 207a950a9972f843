// What every reader of a post takes in and gives back. read-post.ts calls the readers in order; each sees the same text.
import type { Conflict } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import type { Finding } from '../vocabulary/findings.ts';
import type { ClauseMap } from './clauses.ts';
import type { ReadableText } from './readable-text.ts';
import type { Token } from './tokens.ts';

export interface ReaderInput {
  readonly text: ReadableText;
  readonly tokens: readonly Token[];
  readonly clauses: ClauseMap;
  /** Index of this post in its conversation. */
  readonly post: number;
  /** A new finding id, unique within the case. */
  readonly nextId: () => string;
  /** The case before this post: an answer that names only a bank or a number is read against it. */
  readonly previous: Case;
  /** Folded spans that earlier readers have consumed, in order of place; a reader leaves them alone. */
  readonly taken: ReadonlyArray<readonly [number, number]>;
}

export interface ReaderResult {
  /** In the order of the text. */
  readonly findings: readonly Finding[];
  readonly conflicts: readonly Conflict[];
  /** Folded spans [start, end) that this reader consumed. */
  readonly used: ReadonlyArray<readonly [number, number]>;
}

/** Nothing read. */
export const nothingRead: ReaderResult = { findings: [], conflicts: [], used: [] };

/** Both results together, as if one reader had given them. */
export function joinResults(results: readonly ReaderResult[]): ReaderResult {
  return {
    findings: results.flatMap((result) => result.findings),
    conflicts: results.flatMap((result) => result.conflicts),
    used: results.flatMap((result) => result.used).sort((a, b) => a[0] - b[0]),
  };
}

/** Whether [start, end) touches a span of a list that is in order of place. */
export function isTaken(taken: ReaderInput['taken'], start: number, end: number): boolean {
  let low = 0;
  let high = taken.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (taken[middle]![1] <= start) low = middle + 1;
    else high = middle;
  }
  const span = taken[low];
  return span !== undefined && span[0] < end;
}
