// The audit log's entries, as bay-store.ts speaks of them.

export type AuditAct =
  | 'sign-in'
  | 'sign-in-refused'
  | 'sign-out'
  | 'take'
  | 'hand-back'
  | 'reply'
  | 'review'
  | 'change-findings'
  | 'outcome'
  | 'rerun'
  | 'export'
  | 'erase'
  | 'retention'
  | 'allow'
  | 'disallow';

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
