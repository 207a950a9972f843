// How long what is kept. The housekeeping erases by it, the records page and the README state it.

const day = 24 * 60 * 60 * 1000;

/** All in ms after the last sign of life of what is meant (judgement, but for what is noted). */
export const keepPeriods = {
  /** A conversation with its posts, answers and messages, after its last post: a repair may take two seasons. */
  conversationMs: 400 * day,
  undeliverableMs: 30 * day,
  /** Entries of the audit log: ids, names and counts. */
  auditMs: 730 * day,
  /** Keyed hashes of erased events; far longer than any platform sends an event again. */
  tombstoneMs: 400 * day,
} as const;
