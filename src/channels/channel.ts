// What a channel must do: prove where an event came from, read it into a Post, render an answer in its own format, send it; and
// what the program gives it for that: an inbox that has stored an event before the channel acknowledges it.
import type { OutboxMessage } from '../store/store.ts';
import type { Post, PostRevision } from '../vocabulary/post.ts';

/** How a sending ended; `unknown` when the connection broke after the request went out. */
export type SendOutcome =
  /** `platformId` is the platform's own id of the message, for later corrections. */
  | { readonly kind: 'sent'; readonly platformId?: string | null }
  /** `afterMs` is what the platform asked for (Retry-After), null when it named no time. */
  | { readonly kind: 'retry'; readonly afterMs: number | null; readonly because: string }
  | { readonly kind: 'refused'; readonly because: string }
  | { readonly kind: 'unknown'; readonly because: string };

/** Whether a message that may have arrived has; `unsure` when the platform could not be asked. */
export type FindOutcome =
  | { readonly kind: 'found'; readonly platformId: string | null }
  | { readonly kind: 'absent' }
  | { readonly kind: 'unsure'; readonly because: string };

export interface Channel {
  /** Name used in posts and messages: `web`, `api`, `slack`, ... */
  readonly name: string;
  /** Why it is off, for /readyz: the settings that are missing, never their values. Null when it is on. */
  readonly offBecause: string | null;
  /**
   * Delivers one message. Never throws for what the platform answers; may throw when we are wrong. Must end by itself within 10 s.
   * A `correction` takes the place of `message.replaces` where the platform lets us edit, a `withdrawal` takes that away.
   */
  send(message: OutboxMessage): Promise<SendOutcome>;
  /**
   * Looks for a message whose sending ended `unknown`, or was cut off by a crash, before it is sent again. Left out where the
   * platform itself drops a second copy.
   */
  find?(message: OutboxMessage): Promise<FindOutcome>;
}

/** Where routes hand in what their platform tells them, and after which they may acknowledge it. */
export interface Inbox {
  /**
   * Stores a post durably; it is answered afterwards, and the answer comes through `send`.
   *
   * @returns `fresh` false for a second copy of the event; `postId` null when that one was erased
   * @throws Problem `busy` (with the seconds to wait) over a limit, `conflict` when the delivery's id came with another body,
   *   `unavailable` when it could not be stored, `too-large`; nothing was taken in then
   */
  accept(post: Post): Promise<{ readonly postId: number | null; readonly fresh: boolean }>;
  /**
   * A post's writer changed it: it is answered anew, and the answer that was sent is corrected.
   * @returns `unchanged` when the words are the same or an older version, `unknown` when there is no such post
   */
  revise(revision: PostRevision): Promise<'revised' | 'unchanged' | 'unknown'>;
  /**
   * A post was deleted on its platform: its words are erased here, no answer goes out, one that did is withdrawn; a later copy
   * of the event is refused.
   */
  withdraw(channel: string, eventId: string): Promise<'withdrawn' | 'unknown'>;
}

/** A channel whose readers fetch the conversation themselves (web chat, API, demo): a stored message has arrived. */
export function fetchedChannel(name: string): Channel {
  return { name, offBecause: null, send: async () => ({ kind: 'sent' }) };
}
