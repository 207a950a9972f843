// A channel record: what a chat platform makes a channel remember between two events. store.ts keeps them.

export interface ChannelRecord {
  readonly channel: string;
  /** What it is: `workspace`, `target`, `sent`, ... */
  readonly kind: string;
  /** Unique within channel and kind. */
  readonly key: string;
  /** The platform's workspace or server, whose records can go together. */
  readonly workspace: string;
  /** Erased with that conversation; null when it belongs to none. */
  readonly conversation: string | null;
  readonly body: string;
  /** When it stops counting [ms since 1970]; null for never. */
  readonly expiresAt: number | null;
}
