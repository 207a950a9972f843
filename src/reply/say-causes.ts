// The two or three likeliest causes: how sure, why, and what speaks against.
import type { Cause, Evidence } from '../vocabulary/answer-document.ts';
import { type Block, clause, sentence } from './blocks.ts';
import type { ReplyDraft } from './draft.ts';
import { surePercent, sureWords } from './say-sure.ts';

/** Below this a cause is not worth a line of a chat turn. */
const worthNaming = 0.06;

export function sayCauses(draft: ReplyDraft): Block {
  const named = draft.causes.filter((cause, rank) => rank === 0 || cause.probability >= worthNaming).slice(0, 3);
  const unsure = draft.fit.handOver.wanted || (named[0]?.probability ?? 0) < 0.12;
  return {
    title: unsure ? 'Nothing stands out yet; the first to look at' : 'What fits best',
    lines: numbered(named.map((cause, rank) => sayCause(cause, rank === 0 ? 2 : 1, true))),
    short: numbered(named.map((cause, rank) => sayCause(cause, 1, rank === 0))),
    weight: 90,
  };
}

/** `1. ...`, `2. ...`; a single line stands without a number. */
function numbered(lines: readonly string[]): string[] {
  return lines.length === 1 ? [...lines] : lines.map((line, index) => `${index + 1}. ${line}`);
}

function sayCause(cause: Cause, reasons: number, withAgainst: boolean): string {
  const where = cause.bank !== null && cause.bank > 1 ? ` on bank ${cause.bank}` : '';
  const because = strongest(cause.for, reasons);
  const against = withAgainst ? strongest(cause.against, 1) : [];
  return [
    `${capital(cause.name)}${where}: ${sureWords(cause.probability)} (${surePercent(cause.probability)})`,
    because.length > 0 ? `. For it: ${because.join('; ')}` : '',
    against.length > 0 ? `. Against: ${against.join('; ')}` : '',
    '.',
  ].join('');
}

/** Reasons of real weight, strongest first, each said once. */
function strongest(evidence: readonly Evidence[], count: number): string[] {
  const said = [...evidence]
    .filter((item) => Math.abs(item.bits) >= 0.3)
    .sort((a, b) => Math.abs(b.bits) - Math.abs(a.bits))
    .map((item) => clause(item.why));
  return [...new Set(said)].slice(0, count);
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** What two faults together would explain better than one, when that matters. */
export function sayTogether(draft: ReplyDraft, nameOf: (fault: string) => string): Block | null {
  const pair = draft.together[0];
  if (!pair || pair.probability < 0.15) return null;
  const other = pair.faults.find((fault) => fault !== pair.root) ?? pair.faults[1]!;
  return {
    title: null,
    lines: [
      `Two things at once are possible (${surePercent(pair.probability)}): ${nameOf(pair.root)} with ${nameOf(other)}. ${sentence(pair.why)}`,
    ],
    short: null,
    weight: 30,
  };
}

/** How the ranking moved since the last reply, when it moved enough to say so. */
export function sayMove(
  draft: ReplyDraft,
  before: ReadonlyArray<{ fault: string; probability: number }>,
): Block | null {
  const first = draft.causes[0];
  if (!first || before.length === 0) return null;
  const earlier = before.find((item) => item.fault === first.fault)?.probability ?? 0;
  const wasFirst = before[0]!.fault === first.fault;
  if (Math.abs(first.probability - earlier) < 0.1 && wasFirst) return null;
  const line = wasFirst
    ? `With what you added, ${first.name} goes from ${surePercent(earlier)} to ${surePercent(first.probability)}.`
    : `With what you added, ${first.name} comes first now (${surePercent(first.probability)}, before: ${surePercent(earlier)}).`;
  return { title: null, lines: [line], short: null, weight: 60 };
}
