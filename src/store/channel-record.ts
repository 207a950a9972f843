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

export interface ChannelRecords {
  /** A channel's record that has not expired, opened, with its version (1 and up). */
  readRecord(
    channel: string,
    kind: string,
    key: string,
    now: number,
  ): Promise<{ readonly body: string; readonly version: number } | null>;
  /**
   * Writes a record when its stored version is still `expected` (0: there must be none; null: whatever there is).
   * @returns false when it has moved; nothing is changed then
   */
  writeRecord(record: ChannelRecord, expected: number | null, now: number): Promise<boolean>;
  deleteRecord(channel: string, kind: string, key: string): Promise<void>;
  /** Deletes all records of a workspace, tokens included. @returns how many */
  deleteRecordsOf(channel: string, workspace: string): Promise<number>;
  /** Deletes records whose time is over. @returns how many */
  deleteExpiredRecords(now: number): Promise<number>;
}
