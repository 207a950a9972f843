// What a channel must do: prove where an event came from, read it into a Post, render an answer in its own format, send it.
import type { OutboxMessage } from '../store/store.ts';

/** How a sending ended; `unknown` when the connection broke after the request went out. */
export type SendOutcome =
  | { readonly kind: 'sent' }
  | { readonly kind: 'retry'; readonly afterMs: number | null; readonly because: string }
  | { readonly kind: 'refused'; readonly because: string }
  | { readonly kind: 'unknown'; readonly because: string };

export interface Channel {
  /** Name used in posts and messages: `web`, `api`, `slack`, ... */
  readonly name: string;
  /** Off when its secrets are unset; /readyz says so. */
  readonly enabled: boolean;
  /** Delivers one message. Never throws for what the platform answers. */
  send(message: OutboxMessage): Promise<SendOutcome>;
}
