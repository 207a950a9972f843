// What a store must do for the service bay beyond store.ts: the audit log. Every store does both; the bay, the admin command and
// the app around them ask for this one.
import type { Store } from './store.ts';

export type AuditAct =
  | 'sign-in'
  | 'sign-in-refused'
  | 'sign-out'
  | 'take'
  | 'hand-back'
  | 'reply'
  | 'review'
  | 'erase'
  | 'export'
  | 'retention';

/** Plain facts about an act: ids, states, counts, reasons' lengths. Never words of people. */
export type AuditDetails = Readonly<Record<string, string | number | boolean | null>>;

export interface AuditRecord {
  /** A person's name, or in brackets what acted for nobody by name: `(owner)`, `(command line)`, `(program)`. */
  readonly who: string;
  readonly act: AuditAct;
  /** `answer 12`, `conversation <pseudonym>`, `session`, ... */
  readonly about: string;
  readonly details: AuditDetails;
}

export interface AuditEntry extends AuditRecord {
  /** 1, 2, 3, ... without a gap. */
  readonly entry: number;
  /** Milliseconds since 1970. */
  readonly at: number;
  /** Keyed hash over this entry and the hash before it. */
  readonly hash: string;
}

export interface AuditVerdict {
  readonly entries: number;
  /** First entry that is still kept; older ones went with the retention job. */
  readonly first: number;
  /** Last entry and its hash: written down elsewhere, they prove later that nothing was cut off at the end. */
  readonly last: { readonly entry: number; readonly hash: string } | null;
  /** What is wrong, in plain words; null when every entry follows from the one before. */
  readonly wrong: string | null;
}

export interface BayStore extends Store {
  /** Appends one entry by itself, for acts that change nothing else in the store. */
  recordAct(record: AuditRecord, now: number): Promise<void>;
  /** Newest first, entries below `before` when it is given. */
  listAudit(
    filter: { readonly before: number | null; readonly about: string | null },
    limit: number,
  ): Promise<AuditEntry[]>;
  /**
   * Reads the whole log and recomputes every hash.
   *
   * @param known an entry and its hash that was written down earlier; it must still be there
   */
  verifyAudit(known: { readonly entry: number; readonly hash: string } | null): Promise<AuditVerdict>;
}
