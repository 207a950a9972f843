// What a store must do for the service bay beyond store.ts: the audit log, corrected findings, outcomes and how often the program
// was right, the search, reruns, and who may sign in. Every store does all of it; the bay, its housekeeping, the admin command
// and the app around them ask for this one.
import type { AnswerDocument } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import type { FindingChange } from '../vocabulary/finding-change.ts';
import type { AuditEntry, AuditRecord, AuditVerdict } from './audit-types.ts';
import type { Counts, KeptOutcome, NewOutcome, OutcomeCandidate, SettledCase } from './outcome-types.ts';
import type { AnswerFilter, AnswerSummary, DueMessage, Role, Session, Store, StoredAnswer } from './store.ts';

/** Communities that a person may see; null for all. */
export type Communities = readonly string[] | null;

/** A moderator's change of what was read in one answer, and the answer worked out anew. */
export interface Revision {
  readonly answerId: number;
  readonly who: string;
  readonly at: number;
  readonly changes: readonly FindingChange[];
  readonly document: AnswerDocument;
}

export interface NewRevision {
  readonly answerId: number;
  /** Version of the answer's review that the moderator looked at. */
  readonly version: number;
  /** Version of the conversation's case that `next` replaces. */
  readonly caseVersion: number;
  readonly by: string;
  readonly reason: string;
  readonly changes: readonly FindingChange[];
  readonly document: AnswerDocument;
  readonly next: Case;
  readonly message: DueMessage;
  readonly terms: readonly string[];
  readonly now: number;
}

export interface Rerun {
  readonly rerunId: number;
  readonly startedAt: number;
  readonly who: string;
  readonly communities: Communities;
  /** Version of the knowledge under which the cases are worked again. */
  readonly knowledge: string;
  readonly state: 'running' | 'done' | 'stopped';
  /** Answers with a higher id came after the start. */
  readonly lastAnswer: number;
  readonly doneTo: number;
  readonly done: number;
  readonly total: number;
  readonly finishedAt: number | null;
}

export interface RerunResult {
  readonly answerId: number;
  readonly wasCause: string | null;
  readonly wasProbability: number | null;
  readonly nowCause: string | null;
  readonly nowProbability: number | null;
  /** What it was in the end, when that is known, and its place in both rankings (1 is first, null is nowhere). */
  readonly fault: string | null;
  readonly wasPlace: number | null;
  readonly nowPlace: number | null;
  readonly wasDriving: string;
  readonly nowDriving: string;
}

export interface Grant {
  /** Issuer and subject, as the issuer names them, with a blank between. */
  readonly subject: string;
  readonly name: string;
  readonly role: Role;
  readonly communities: Communities;
}

/** Everything that is kept of one writer, for the writer. */
export interface PersonExport {
  readonly channel: string;
  readonly author: string;
  readonly posts: ReadonlyArray<{
    readonly conversation: string;
    readonly receivedAt: number;
    readonly text: string;
    readonly attachments: ReadonlyArray<{ readonly name: string; readonly text: string }>;
  }>;
  readonly answers: ReadonlyArray<{
    readonly conversation: string;
    readonly createdAt: number;
    readonly document: AnswerDocument;
  }>;
  readonly messages: ReadonlyArray<{
    readonly conversation: string;
    readonly createdAt: number;
    readonly text: string;
  }>;
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

  /**
   * Stores changed findings with the answer and the case worked out from them; the answer counts as corrected and the message
   * goes out, all in one batch. False when the review's or the case's version has moved; nothing is changed then.
   */
  reviseAnswer(revision: NewRevision): Promise<boolean>;
  /** All revisions of a conversation, oldest first. */
  listRevisions(channel: string, conversation: string): Promise<Revision[]>;

  /**
   * Answers that the index knows under all of these terms and that the filter lets through, newest first.
   * A term is matched from its beginning: `p01` finds `p0171`.
   */
  searchAnswers(search: {
    readonly terms: readonly string[];
    readonly filter: Partial<AnswerFilter>;
    readonly limit: number;
  }): Promise<AnswerSummary[]>;
  /** One piece of a community's answers, newest first, with the whole post opened in place of its first words. */
  listWholePosts(community: string, before: number | null, limit: number): Promise<AnswerSummary[]>;
  /** Communities that have any answer, in order of their names. */
  listCommunities(): Promise<string[]>;
  /** Puts answers into the index that are not in it (from before it was there). @returns how many were left out before */
  indexAnswers(limit: number): Promise<number>;

  /**
   * Records what it was. A moderator's word stands over a helper's, a helper's over an owner's.
   *
   * @returns false when a word of more weight stands, or the version has moved
   */
  recordOutcome(outcome: NewOutcome): Promise<boolean>;
  readOutcome(channel: string, conversation: string): Promise<KeptOutcome | null>;
  /** Settled cases of the same community that share terms, the likest first; never one of the same conversation. */
  listSettled(like: {
    readonly channel: string;
    readonly conversation: string;
    readonly terms: readonly string[];
    readonly limit: number;
  }): Promise<SettledCase[]>;
  /** How often the first cause was right, by its probability in ten steps; erased cases count too. */
  countByProbability(communities: Communities): Promise<ReadonlyArray<Counts & { readonly step: number }>>;
  /** The same by what it was in the end, and by community. */
  countByFault(communities: Communities): Promise<ReadonlyArray<Counts & { readonly fault: string }>>;
  countByCommunity(communities: Communities): Promise<ReadonlyArray<Counts & { readonly community: string }>>;
  /**
   * Conversations to ask for their outcome: the last answer lies in the span of time, it ranked causes, nothing is known yet,
   * nobody was asked, and none of its writers wants not to be asked. Oldest first.
   */
  listOutcomeCandidates(
    from: number,
    to: number,
    channels: readonly string[],
    limit: number,
  ): Promise<OutcomeCandidate[]>;
  /** Notes that the owner is asked and puts the question into the outbox; false when that was done already. */
  askOutcome(candidate: OutcomeCandidate, tokenHash: string, message: DueMessage, now: number): Promise<boolean>;
  /** The open question behind a link; null when it is unknown, answered or declined. */
  readOutcomeRequest(tokenHash: string): Promise<{ readonly answer: StoredAnswer } | null>;
  /** Closes the question; a writer who declines is not asked again in any conversation. */
  closeOutcomeRequest(tokenHash: string, state: 'answered' | 'declined', now: number): Promise<boolean>;

  startRerun(start: { who: string; communities: Communities; knowledge: string; now: number }): Promise<Rerun>;
  listReruns(limit: number): Promise<Rerun[]>;
  readRerun(rerunId: number): Promise<Rerun | null>;
  /** The next reviewed answers of a running rerun. */
  nextOfRerun(rerun: Rerun, limit: number): Promise<StoredAnswer[]>;
  /**
   * Stores one piece and how far the run has come; with `doneTo` at the run's last answer it is done. False when it was stopped or
   * someone else did the piece.
   */
  saveRerunPiece(
    rerun: Rerun,
    results: readonly RerunResult[],
    doneTo: number,
    done: number,
    now: number,
  ): Promise<boolean>;
  stopRerun(rerunId: number, who: string, now: number): Promise<boolean>;
  /** Results where something moved come first. */
  listRerunResults(rerunId: number, limit: number, offset: number): Promise<RerunResult[]>;
  /** Results in all, those whose first cause changed, whose driving advice changed, and hits before and after. */
  sumRerun(rerunId: number): Promise<{
    readonly results: number;
    readonly moved: number;
    readonly driving: number;
    readonly settled: number;
    readonly wasFirst: number;
    readonly nowFirst: number;
    readonly wasThree: number;
    readonly nowThree: number;
  }>;

  putGrant(grant: Grant, now: number, who: string): Promise<void>;
  /** Takes a grant away and ends that person's sessions. */
  removeGrant(subject: string, now: number, who: string): Promise<boolean>;
  readGrant(subject: string): Promise<Session | null>;
  listGrants(): Promise<Grant[]>;

  exportPerson(channel: string, author: string, now: number, who: string): Promise<PersonExport>;
  /** The writer of a post; null when it is gone. */
  readAuthor(postId: number): Promise<string | null>;
  /** Takes the housekeeping of this hour for the caller; false when somebody has done it. */
  claimHousekeeping(now: number, everyMs: number): Promise<boolean>;
  /**
   * Erases what is over its time: conversations without a word since `conversationsBefore`, undeliverable messages, audit
   * entries. @returns how many of each
   */
  eraseOld(limits: {
    readonly conversationsBefore: number;
    readonly messagesBefore: number;
    readonly auditBefore: number;
    readonly tombstonesBefore: number;
    readonly most: number;
    readonly now: number;
  }): Promise<{ readonly conversations: number; readonly messages: number; readonly audit: number }>;
}
