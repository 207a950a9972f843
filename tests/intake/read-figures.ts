// Runs readers of figures over a text as read-post.ts does, for the tests of this folder.

import { foldText } from '../../src/intake/readable-text.ts';
import { joinResults, type ReaderInput, type ReaderResult } from '../../src/intake/reader.ts';
import { splitClauses } from '../../src/intake/split-clauses.ts';
import { splitTokens } from '../../src/intake/tokens.ts';
import type { Knowledge } from '../../src/knowledge/knowledge.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';

export type Reader = (input: ReaderInput, knowledge: Knowledge) => ReaderResult;

/** Each reader in turn, with the spans that those before it consumed. */
export function readWith(readers: readonly Reader[], text: string, knowledge: Knowledge): ReaderResult {
  const folded = foldText(text);
  const tokens = splitTokens(folded.folded);
  const clauses = splitClauses(folded, tokens);
  let count = 0;
  const nextId = () => {
    count += 1;
    return `f${count}`;
  };
  let result: ReaderResult = { findings: [], conflicts: [], used: [] };
  for (const reader of readers) {
    result = joinResults([
      result,
      reader({ text: folded, tokens, clauses, post: 0, nextId, previous: emptyCase, taken: result.used }, knowledge),
    ]);
  }
  return result;
}
