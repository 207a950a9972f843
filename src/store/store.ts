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

export type DueMessage = Pick<OutboxMessage, 'channel' | 'conversation' | 'postId' | 'kind' | 'text' | 'markdown' | 'marker'>;

/** One entry of a conversation as its owner sees it, oldest first. */
export type ConversationEntry =
  | { readonly kind: 'post'; readonly id: number; readonly at: number; readonly text: string; readonly state: PostState }
  | { readonly kind: MessageKind; readonly id: number; readonly at: number; readonly text: string; readonly markdown: string; readonly postId: number | null };

export type Role = 'helper' | 'moderator';
export interface Session {
  readonly name: string;
  readonly role: Role;
}

export interface AnswerFilter {
  readonly review?: ReviewState;
  readonly helper?: HelperState;
  /** `danger`: most dangerous first, then longest waiting, then least sure; `newest`: newest first. */
  readonly order: 'danger' | 'newest';
  readonly limit: number;
  readonly offset: number;
}

export interface Store {
  /** Inbox: stores a post under (channel, eventId) durably before it returns. `fresh` is false for a second copy. */
  acceptPost(post: Post, now: number): Promise<{ fresh: boolean; postId: number }>;
  readPost(postId: number): Promise<StoredPost | null>;
  /** Takes up to `limit` waiting posts whose lease has run out, oldest first; at most one per conversation. */
  claimWaitingPosts(now: number, leaseMs: number, limit: number): Promise<StoredPost[]>;
  /** Takes one post by id for working, when it is waiting and unleased, and no earlier post of its conversation is still waiting. */
  claimPost(postId: number, now: number, leaseMs: number): Promise<StoredPost | null>;
  /** Gives a claimed post back after a failure; after `mostAttempts` it becomes `failed`. */
  releasePost(postId: number, retryAt: number, mostAttempts: number): Promise<void>;

  /** The conversation's case and its version; version 0 and null when there is none yet. */
  loadCase(channel: string, conversation: string): Promise<{ state: Case | null; version: number }>;
  /**
   * Stores a turn in one batch: next case, answer, reply in the outbox, post answered.
   * @returns null when the case's version has moved or the post was answered meanwhile; nothing is changed then
   */
  saveTurn(turn: {
    postId: number;
    caseVersion: number;
    next: Case;
    document: AnswerDocument;
    danger: number;
    helperWanted: boolean;
    message: DueMessage;
    now: number;
  }): Promise<{ answerId: number } | null>;

  /** Due messages in order, at most one per conversation; leased until `now + leaseMs`. */
  claimDueMessages(now: number, leaseMs: number, limit: number): Promise<OutboxMessage[]>;
  markSent(messageId: number, now: number): Promise<void>;
  /** Puts a message back with a later time, or on the undeliverable list after `mostAttempts`. */
  postponeMessage(messageId: number, retryAt: number, mostAttempts: number): Promise<void>;
  listMessages(state: OutboxMessage['state'], limit: number): Promise<OutboxMessage[]>;

  /** What the owner sees of a conversation: posts and sent messages after entry `after` (0 for all), oldest first. */
  readConversation(channel: string, conversation: string, limit: number): Promise<ConversationEntry[]>;
  /** The stored answer to a post, for idempotent API calls. */
  readAnswerOfPost(postId: number): Promise<StoredAnswer | null>;

  listAnswers(filter: AnswerFilter): Promise<AnswerSummary[]>;
  readAnswer(answerId: number): Promise<StoredAnswer | null>;
  /** All answers of one conversation, oldest first. */
  listConversationAnswers(channel: string, conversation: string): Promise<StoredAnswer[]>;
  /** Moves an answer in the helper's queue; false when `from` no longer holds or someone else has it. */
  moveHelperState(answerId: number, from: HelperState, to: HelperState, by: string, now: number): Promise<boolean>;
  /** A helper's reply: queue state `done` and the message due, in one batch; false when someone else has it. */
  sendHelperReply(answerId: number, by: string, message: DueMessage, now: number): Promise<boolean>;
  /** A moderator's word on an answer, with the message that tells the owner when there is one; false when the version has moved. */
  reviewAnswer(review: {
    answerId: number;
    version: number;
    state: ReviewState;
    by: string;
    reason: string;
    message: DueMessage | null;
    now: number;
  }): Promise<boolean>;

  /** Stores the hash of a one-time sign-in link. */
  addSignInLink(link: { tokenHash: string; name: string; role: Role; expiresAt: number }): Promise<void>;
  /** Spends a link once; null when unknown, spent or expired. */
  spendSignInLink(tokenHash: string, now: number): Promise<Session | null>;
  addSession(session: Session & { tokenHash: string; expiresAt: number }): Promise<void>;
  readSession(tokenHash: string, now: number): Promise<Session | null>;
  endSession(tokenHash: string): Promise<void>;

  /** Removes everything of one conversation, a tombstone of its event ids excepted. @returns posts removed */
  eraseConversation(channel: string, conversation: string, now: number): Promise<number>;
  /** Counts for /readyz, /metrics and the admin command. */
  counts(): Promise<{ waiting: number; failed: number; due: number; undeliverable: number; answers: number; helperWanted: number }>;
  /** Answers whether the database can be written. */
  ping(): Promise<void>;
  close(): Promise<void>;
}
