// The part that every finding has: where it stands in the post, whose word it is, of which car and time.
import type { Finding } from '../vocabulary/findings.ts';
import type { ClauseContext } from './clauses.ts';
import { spanOf } from './readable-text.ts';
import type { ReaderInput } from './reader.ts';

export type FindingBase = Pick<Finding, 'id' | 'source' | 'time' | 'car' | 'span' | 'quote' | 'stated' | 'post'>;

/** What a post's clause says of its words; a plain statement when the tokens end before it. */
export function contextAt(input: ReaderInput, token: number): ClauseContext {
  return input.clauses.clauseAt(Math.max(0, Math.min(token, input.tokens.length - 1))).context;
}

/**
 * Shared fields for folded units [start, end), read in the context of a token.
 *
 * @param stated overrides what the clause's mood says
 */
export function findingBase(
  input: ReaderInput,
  start: number,
  end: number,
  token: number,
  stated?: 'present' | 'denied' | 'unsure',
): FindingBase {
  const context = contextAt(input, token);
  const span = spanOf(input.text, start, end);
  if (span[1] - span[0] > 400) span[1] = span[0] + 400;
  return {
    id: input.nextId(),
    source: context.source,
    time: context.time,
    car: context.car,
    span,
    quote: input.text.original.slice(span[0], span[1]),
    stated: stated ?? (context.mood === 'doubted' ? 'unsure' : 'present'),
    post: input.post,
  };
}
