// Asks owners once, some days after the last answer, what it was: a message with a one-time link, which also lets them wish not
// to be asked. The housekeeping calls it.
import { hashToken, newToken } from '../pages/tokens.ts';
import type { BayStore } from '../store/bay-store.ts';

const day = 24 * 60 * 60 * 1000;
/** How long after the last answer an owner is asked [ms]: a repair takes some days (judgement). */
export const askAfterMs = 6 * day;
/** After this an owner is not asked any more: nobody remembers [ms] (judgement). */
const askUntilMs = 45 * day;
/** Owners asked in one housekeeping at most. */
const mostAtOnce = 40;

export interface AskDeps {
  readonly store: BayStore;
  readonly clock: () => number;
  /** Where people reach the program; without it nobody is asked, for the link would lead nowhere. */
  readonly address: string | null;
  /** Channels on which people read what is sent later. */
  readonly channels: readonly string[];
}

/** @returns how many were asked */
export async function askOutcomes({ store, clock, address, channels }: AskDeps): Promise<number> {
  if (address === null || channels.length === 0) return 0;
  const now = clock();
  const due = await store.listOutcomeCandidates(now - askUntilMs, now - askAfterMs, channels, mostAtOnce);
  let asked = 0;
  for (const candidate of due) {
    const token = newToken();
    const { channel, conversation, postId } = candidate;
    const text = askWords(`${address}/outcome?token=${token}`);
    // As a person's message: the program's own reply to a post is one for each post.
    const message = { channel, conversation, postId, kind: 'helper-reply', text, markdown: text } as const;
    if (await store.askOutcome(candidate, await hashToken(token), { ...message, marker: crypto.randomUUID() }, now))
      asked += 1;
  }
  return asked;
}

function askWords(link: string): string {
  return (
    'How did it end with your car? If you know what it was, or that it is as it was, please say so here; it takes a few ' +
    `seconds and helps to judge the next answers: ${link}\n\nThis is asked once, by itself. The same page lets you wish ` +
    'not to be asked again.'
  );
}
