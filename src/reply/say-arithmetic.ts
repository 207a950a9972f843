// "How did you get lambda 0.94?": the steps of the calculators that the post asks about.
import type { RequestFinding } from '../vocabulary/findings.ts';
import { type Block, sentence } from './blocks.ts';
import type { ReplyDraft } from './draft.ts';

/** The arithmetic of at most two results; null unless a request's item is `arithmetic`. */
export function sayArithmetic(
  draft: ReplyDraft,
  requests: readonly RequestFinding[],
  titleOf: (source: string) => string,
): Block | null {
  if (!requests.some((request) => request.item === 'arithmetic')) return null;
  const results = draft.derived.filter((result) => result.valid && result.steps.length > 0).slice(0, 2);
  const lines = results.flatMap((result) => [
    `${sentence(result.says)} (Source: ${titleOf(result.source)}.)`,
    ...result.steps,
  ]);
  return {
    title: lines.length > 0 ? 'How I got there' : null,
    lines:
      lines.length > 0
        ? lines
        : ['I have not worked anything out from figures yet, so there is no arithmetic to show.'],
    short: lines.slice(0, 6),
    weight: 96,
  };
}
