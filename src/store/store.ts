// What a store must do. Two adapters (sqlite/, d1/) implement it through one set of statements; tests/store/store-suite.ts
// runs on both. It fits the poorer adapter: every change of state is one conditional statement or one batch.
import type { AnswerDocument } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import type { Post } from '../vocabulary/post.ts';

/** Where a post stands: `waiting` for the program, `answered`, or `failed` after too many attempts. */
export type PostState = 'waiting' | 'answered' | 'failed';

export interface StoredPost extends Post {
  readonly postId: number;
  /** Milliseconds since 1970. */
  readonly receivedAt: number;
  readonly state: PostState;
  readonly attempts: number;
}

/** What a moderator has said of an answer. */
export type ReviewState = 'unreviewed' | 'standing' | 'corrected' | 'withdrawn';

/** Whether a person is wanted: `none`, `wanted` (in the helper's queue), `taken` (a helper has it), `done`. */
export type HelperState = 'none' | 'wanted' | 'taken' | 'done';

export interface StoredAnswer {
  readonly answerId: number;
  readonly postId: number;
  readonly channel: string;
  readonly conversation: string;
  readonly createdAt: number;
  readonly postText: string;
  readonly document: AnswerDocument;
  readonly helper: { readonly state: HelperState; readonly by: string | null };
  readonly review: {
    readonly state: ReviewState;
    readonly by: string | null;
    readonly reason: string | null;
    readonly at: number | null;
    /** Rises with every change, so that two moderators cannot overwrite each other. */
    readonly version: number;
  };
}

/** One line of a list: enough to sort and show, without opening the post's words. */
export interface AnswerSummary {
  readonly answerId: number;
  readonly channel: string;
  readonly createdAt: number;
  /** First words of the post, opened for the list page only. */
  readonly excerpt: string;
  /** 0..100, the danger of the worst caution; stop signs are the highest. */
  readonly danger: number;
  readonly surprise: number;
  readonly firstCause: string | null;
  readonly firstProbability: number | null;
  readonly driving: string;
  readonly helper: HelperState;
  readonly review: ReviewState;
}

export type MessageKind = 'reply' | 'helper-reply' | 'correction' | 'withdrawal';

/** A message on its way to a channel, stored with the state that made it due. */
export interface OutboxMessage {
  readonly messageId: number;
  readonly channel: string;
  readonly conversation: string;
  readonly postId: number | null;
  readonly kind: MessageKind;
  readonly text: string;
  readonly markdown: string;
  readonly createdAt: number;
  readonly state: 'due' | 'sent' | 'undeliverable';
  readonly attempts: number;
  /** Unique; a channel that can look messages up by a marker uses it when an outcome is unknown. */
  readonly marker: string;
}

export type DueMessage = Pick<
  OutboxMessage,
  'channel' | 'conversation' | 'postId' | 'kind' | 'text' | 'markdown' | 'marker'
>;

/** One entry of a conversation as its owner sees it, oldest first. */
export type ConversationEntry =
  | {
      readonly kind: 'post';
      readonly id: number;
      readonly at: number;
      readonly text: string;
      readonly state: PostState;
    }
  | {
      readonly kind: MessageKind;
      readonly id: number;
      readonly at: number;
      readonly text: string;
      readonly markdown: string;
      readonly postId: number | null;
    };

/** Something that a chat platform makes a channel remember. */
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

export type Role = 'helper' | 'moderator';
export interface Session {
  readonly name: string;
  readonly role: Role;
  /** Names of the communities whose posts this person may see and work on; null for all. */
  readonly communities: readonly string[] | null;
}

interface AnswerFilter {
  readonly review?: ReviewState;
  readonly helper?: HelperState;
  /** Only posts of these communities; left out or null for all. */
  readonly communities?: readonly string[] | null;
  /** `danger`: most dangerous first, then longest waiting, then least sure; `newest`: newest first. */
  readonly order: 'danger' | 'newest';
  readonly limit: number;
  readonly offset: number;
}

export interface Store {
  /**
   * Inbox: stores a post under (channel, eventId) durably before it returns, and in the same commit claims it for the caller as
   * `claimNextPost` would when nothing else of its conversation is waiting (`claimed`). A second copy changes nothing: `fresh`
   * is false and `postId` is the first copy's, or null when that one was erased since.
   *
   * @param leaseMs how long the claim holds; 0 claims nothing
   * @throws Problem `unavailable` when it could not be stored, `too-large` when it is over what a row can hold
   */
  acceptPost(
    post: Post,
    now: number,
    leaseMs: number,
  ): Promise<{ fresh: boolean; postId: number | null; claimed: boolean }>;
  readPost(postId: number): Promise<StoredPost | null>;
  /** Posts in one state, oldest first, for the admin command; texts are opened. */
  listPosts(state: PostState, limit: number): Promise<StoredPost[]>;
  /**
   * Takes up to `limit` waiting posts, oldest first, and only the first waiting one of each conversation; each is leased until
   * `now + leaseMs` and its attempts rise by one.
   */
  claimWaitingPosts(now: number, leaseMs: number, limit: number): Promise<StoredPost[]>;
  /** The same for one conversation: its first waiting post, or null when there is none or someone has it. */
  claimNextPost(channel: string, conversation: string, now: number, leaseMs: number): Promise<StoredPost | null>;
  /** Gives a claimed post back after a failure, not to be taken before `retryAt`. */
  releasePost(postId: number, retryAt: number): Promise<void>;

  /** The conversation's case and its version; version 0 and null when there is none yet. */
  loadCase(channel: string, conversation: string): Promise<{ state: Case | null; version: number }>;
  /**
   * Stores a turn in one batch: next case, answer, reply in the outbox, post settled.
   * @returns null when the case's version has moved or the post was settled or erased meanwhile; nothing is changed then
   */
  saveTurn(turn: {
    readonly postId: number;
    /** `failed` when the program could not answer: the document says so and a helper is wanted. */
    readonly state: 'answered' | 'failed';
    readonly caseVersion: number;
    /** Null leaves the case as it is. */
    readonly next: Case | null;
    readonly document: AnswerDocument;
    /** 0..100. */
    readonly danger: number;
    readonly helperWanted: boolean;
    readonly message: DueMessage;
    readonly now: number;
  }): Promise<{ answerId: number } | null>;

  /** Due messages, oldest first and only the first of each conversation; leased until `now + leaseMs`, attempts rise by one. */
  claimDueMessages(now: number, leaseMs: number, limit: number): Promise<OutboxMessage[]>;
  markSent(messageId: number, now: number): Promise<void>;
  /** Puts a message back with a later time; null puts it on the undeliverable list instead. */
  postponeMessage(messageId: number, retryAt: number | null): Promise<void>;
  listMessages(state: OutboxMessage['state'], limit: number): Promise<OutboxMessage[]>;

  /** What the owner sees of a conversation: its last `limit` posts and messages (undeliverable ones excepted), oldest first. */
  readConversation(channel: string, conversation: string, limit: number): Promise<ConversationEntry[]>;
  /** The stored answer to a post, for idempotent API calls. */
  readAnswerOfPost(postId: number): Promise<StoredAnswer | null>;

  listAnswers(filter: AnswerFilter): Promise<AnswerSummary[]>;
  readAnswer(answerId: number): Promise<StoredAnswer | null>;
  /** All answers of one conversation, oldest first, 200 at most. */
  listConversationAnswers(channel: string, conversation: string): Promise<StoredAnswer[]>;
  /** Moves an answer in the helper's queue; false when `from` no longer holds or someone else has it. */
  moveHelperState(answerId: number, from: HelperState, to: HelperState, by: string, now: number): Promise<boolean>;
  /** A helper's reply: queue state `done` and the message due, in one batch; false when `by` does not hold it (`taken`). */
  sendHelperReply(answerId: number, by: string, message: DueMessage, now: number): Promise<boolean>;
  /** A moderator's word on an answer, with the message that tells the owner when there is one; false when the version has moved. */
  reviewAnswer(review: {
    readonly answerId: number;
    readonly version: number;
    readonly state: ReviewState;
    readonly by: string;
    readonly reason: string;
    readonly message: DueMessage | null;
    readonly now: number;
  }): Promise<boolean>;

  /** Stores the hash of a one-time sign-in link. */
  addSignInLink(link: Session & { readonly tokenHash: string; readonly expiresAt: number }): Promise<void>;
  /** Spends a link once; null when unknown, spent or expired. */
  spendSignInLink(tokenHash: string, now: number): Promise<Session | null>;
  /** @param from how the person came in, for the audit log */
  addSession(
    session: Session & { readonly tokenHash: string; readonly expiresAt: number },
    now: number,
    from: 'link' | 'issuer',
  ): Promise<void>;
  /** Null when unknown, over its time, or not used for `idleMs`; the time of its use is kept to the minute. */
  readSession(tokenHash: string, now: number, idleMs: number): Promise<Session | null>;
  endSession(tokenHash: string, now: number): Promise<void>;

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

  /**
   * Destroys the keys and rows of one conversation and leaves keyed hashes of its event ids.
   *
   * @param who for the audit log: a person's name, `(owner)` when left out, `(command line)`, `(program)`
   * @returns posts removed
   */
  eraseConversation(channel: string, conversation: string, now: number, who?: string): Promise<number>;
  /**
   * The same for one writer in all conversations of a channel. Where others wrote too, their posts stay; the case, answers and
   * messages of that conversation go, because they quote everybody.
   * @returns posts removed
   */
  erasePerson(channel: string, author: string, now: number, who?: string): Promise<number>;
  /** Counts for /readyz, /metrics and the admin command. */
  counts(): Promise<StoreCounts>;
  /** Answers whether the database can be written. @throws Problem `unavailable` */
  ping(now: number): Promise<void>;
  close(): Promise<void>;
}

export interface StoreCounts {
  readonly waiting: number;
  readonly failed: number;
  readonly due: number;
  readonly undeliverable: number;
  readonly answers: number;
  readonly helperWanted: number;
}
