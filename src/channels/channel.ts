// What a channel must do: prove where an event came from, read it into a Post, render an answer in its own format, send it.
import type { OutboxMessage } from '../store/store.ts';

/** How a sending ended; `unknown` when the connection broke after the request went out. */
export type SendOutcome =
  | { readonly kind: 'sent' }
  /** `afterMs` is what the platform asked for (Retry-After), null when it named no time. */
  | { readonly kind: 'retry'; readonly afterMs: number | null; readonly because: string }
  | { readonly kind: 'refused'; readonly because: string }
  | { readonly kind: 'unknown'; readonly because: string };

export interface Channel {
  /** Name used in posts and messages: `web`, `api`, `slack`, ... */
  readonly name: string;
  /** Why it is off, for /readyz: the settings that are missing, never their values. Null when it is on. */
  readonly offBecause: string | null;
  /** Delivers one message. Never throws for what the platform answers; may throw when we are wrong. */
  send(message: OutboxMessage): Promise<SendOutcome>;
}

/** A channel whose readers fetch the conversation themselves (web chat, API, demo): a stored message has arrived. */
export function fetchedChannel(name: string): Channel {
  return { name, offBecause: null, send: async () => ({ kind: 'sent' }) };
}
