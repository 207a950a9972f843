// What a store must do. Two adapters (sqlite/, d1/) implement it through one set of statements; tests/store/store-suite.ts
// runs on both. It fits the poorer adapter: every change of state is one conditional statement or one batch.
import type { AnswerDocument } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import type { FindingChange } from '../vocabulary/finding-change.ts';
import type { Attachment, Post, PostRevision } from '../vocabulary/post.ts';
import type { ChannelRecords } from './channel-record.ts';

/** Where a post stands: `waiting` for the program, `answered`, or `failed` after too many attempts. */
export type PostState = 'waiting' | 'answered' | 'failed';

/** A post as stored; its attached logs are read by `readAttachments`. */
export interface StoredPost extends Omit<Post, 'attachments' | 'writtenAt' | 'workspace' | 'delivery'> {
  readonly postId: number;
  /** Its place in the conversation's order; never before an earlier arrival that carried no time of its own. */
  readonly writtenAt: number;
  /** Time of the version that stands; 0 for the first one. */
  readonly revisedAt: number;
  /** How many logs came with it. */
  readonly attached: number;
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
  /** What the channel said of the post's place when it handed the post in. */
  readonly place: string | null;
  /** An earlier attempt may have arrived: its outcome is unknown, or the program went down in the middle of it. */
  readonly unsure: boolean;
  /** The message that this one corrects or withdraws, by the platform's id (null when it is not known) and by our marker. */
  readonly replaces: { readonly platformId: string | null; readonly marker: string } | null;
  /** Why it was postponed or given up last; our words. */
  readonly because: string | null;
}

export type DueMessage = Pick<
  OutboxMessage,
  'channel' | 'conversation' | 'postId' | 'kind' | 'text' | 'markdown' | 'marker'
>;

export interface PostChange<Outcome extends string> {
  readonly outcome: Outcome;
  /** The conversation that has work now; null when there is none. */
  readonly conversation: string | null;
}

export type ChannelChoice = { readonly only: string } | { readonly except: readonly string[] };

export interface PostponedMessage {
  /** Null for the undeliverable list. */
  readonly retryAt: number | null;
  readonly now: number;
  /** It may have arrived all the same. */
  readonly unsure: boolean;
  /** The platform named the time. */
  readonly asked: boolean;
  readonly because: string;
}

/** One entry of a conversation as its owner sees it, oldest first. */
export type ConversationEntry =
  | {
      readonly kind: 'post';
      readonly id: number;
      readonly at: number;
      readonly text: string;
      readonly state: PostState;
      /** Logs that came with it. */
      readonly attached: number;
    }
  | {
      readonly kind: MessageKind;
      readonly id: number;
      readonly at: number;
      readonly text: string;
      readonly markdown: string;
      readonly postId: number | null;
    };

export type Role = 'helper' | 'moderator';
export interface Session {
  readonly name: string;
  readonly role: Role;
  /** Names of the communities whose posts this person may see and work on; null for all. */
  readonly communities: readonly string[] | null;
}

export interface AnswerFilter {
  readonly review?: ReviewState;
  readonly helper?: HelperState;
  /** Only posts of these communities; left out or null for all. */
  readonly communities?: readonly string[] | null;
  /** Only those that a moderator should look at. */
  readonly look?: boolean;
  readonly driving?: 'stop' | 'limit';
  /** Only those in this helper's hands, or in nobody else's. */
  readonly helperBy?: { readonly is: string } | { readonly not: string };
  /** Only ids below this one. */
  readonly before?: number | null;
  /** `danger`: most dangerous first, then longest waiting, then least sure; `newest`: newest first. */
  readonly order: 'danger' | 'newest';
  readonly limit: number;
  readonly offset: number;
}

export interface Store extends ChannelRecords {
  /**
   * Inbox: stores a post under (channel, eventId) durably before it returns, and in the same commit claims it for the caller as
   * `claimNextPost` would when nothing else of its conversation is waiting (`claimed`). A second copy changes nothing: `fresh`
   * is false and `postId` is the first copy's, or null when that one was erased since.
   *
   * @param leaseMs how long the claim holds; 0 claims nothing
   * @throws Problem `unavailable` when it could not be stored, `too-large` when it is over what a row can hold, `conflict` when
   *   its delivery's id came with another body before
   */
  acceptPost(
    post: Post,
    now: number,
    leaseMs: number,
  ): Promise<{ fresh: boolean; postId: number | null; claimed: boolean }>;
  /** Stores a writer's later version of a post, which then waits again. */
  revisePost(revision: PostRevision, now: number): Promise<PostChange<'revised' | 'unchanged' | 'unknown'>>;
  /**
   * Erases one post, its answer, and the case, which the next turn makes anew from the posts that are left. Messages about it
   * that were not tried yet go too; one that was gets a withdrawal. A tombstone stays, also when the post is unknown.
   */
  withdrawPost(
    channel: string,
    eventId: string,
    marker: string,
    now: number,
  ): Promise<PostChange<'withdrawn' | 'unknown'>>;
  readPost(postId: number): Promise<StoredPost | null>;
  /** The post of one event, while it is stored. */
  findPost(channel: string, eventId: string): Promise<StoredPost | null>;
  /** An unguessable text that belongs to a conversation's name, always the same; it is stored nowhere. */
  conversationToken(channel: string, conversation: string): Promise<string>;
  readAttachments(postId: number): Promise<Attachment[]>;
  /** The answered posts of a conversation in the order of their writing, 500 at most. */
  listAnsweredPosts(channel: string, conversation: string): Promise<StoredPost[]>;
  /** What moderators changed of what was read in a conversation, oldest first. */
  listFindingChanges(channel: string, conversation: string): Promise<FindingChange[]>;
  /** Whether a webhook's delivery was taken in before, with the same body or with another one. */
  findDelivery(channel: string, id: string, bodyHash: string): Promise<'new' | 'same' | 'other-body'>;
  /** Remembers a delivery that brought something else than a post. */
  rememberDelivery(channel: string, id: string, bodyHash: string, now: number): Promise<void>;
  /** Forgets deliveries older than `before`. */
  forgetDeliveries(before: number): Promise<void>;
  /** Posts in one state, oldest first, for the admin command; texts are opened. */
  listPosts(state: PostState, limit: number): Promise<StoredPost[]>;
  /**
   * Takes up to `limit` waiting posts, oldest first, and only the first waiting one of each conversation (as written); each is
   * leased until `now + leaseMs` and its attempts rise by one. A lease taken at a time that lies over a minute ahead of `now` is
   * void: the clock was set back.
   */
  claimWaitingPosts(now: number, leaseMs: number, limit: number): Promise<StoredPost[]>;
  /** The same for one conversation: its first waiting post, or null when there is none or someone has it. */
  claimNextPost(channel: string, conversation: string, now: number, leaseMs: number): Promise<StoredPost | null>;
  /**
   * Ends the leases that a process before this one left behind: its posts may be taken, and the messages that it was sending are due
   * and unsure. For the one process of a database file, at its start.
   */
  releaseLeases(): Promise<void>;
  /** Gives a claimed post back after a failure, not to be taken before `retryAt`. */
  releasePost(postId: number, retryAt: number, now: number): Promise<void>;

  /** The conversation's case and its version; version 0 and null when there is none yet. */
  loadCase(channel: string, conversation: string): Promise<{ state: Case | null; version: number }>;
  /**
   * The same for one post's turn. `stale` says that the case does not hold exactly what was written before that post: a later
   * one was answered already, this one was answered in an earlier version, or a post was withdrawn.
   */
  loadTurn(postId: number): Promise<{ state: Case | null; version: number; stale: boolean }>;
  /**
   * Stores a turn in one batch: next case, answer, reply in the outbox, post settled. When the post was answered before in an
   * earlier version, the answer takes the place of that one, and the message is a correction unless the reply never went out.
   * @returns null when the case's version has moved, the post was revised, settled or erased meanwhile; nothing is changed then
   */
  saveTurn(turn: {
    readonly postId: number;
    /** The version of the post that was read. */
    readonly revisedAt: number;
    /** `failed` when the program could not answer: the document says so and a helper is wanted. */
    readonly state: 'answered' | 'failed';
    readonly caseVersion: number;
    /** Null leaves the case as it is. */
    readonly next: Case | null;
    readonly document: AnswerDocument;
    /** 0..100. */
    readonly danger: number;
    readonly helperWanted: boolean;
    /** The helper whose words the message holds; the queue and the audit log then say so. */
    readonly repliedBy?: string | null;
    /** Null when there is nothing new to say. */
    readonly message: DueMessage | null;
    readonly now: number;
  }): Promise<{ answerId: number } | null>;

  /**
   * Due messages, oldest first and only the first of each conversation; leased until `now + leaseMs`, attempts rise by one.
   * Leases from a clock that was set back are void, as for posts.
   *
   * @param from one channel, or all but some; all when left out
   */
  claimDueMessages(now: number, leaseMs: number, limit: number, from?: ChannelChoice): Promise<OutboxMessage[]>;
  markSent(messageId: number, now: number, platformId?: string | null): Promise<void>;
  /** Puts a message back with a later time, or on the undeliverable list. */
  postponeMessage(messageId: number, postponed: PostponedMessage): Promise<void>;
  /** Makes postponed messages of a channel due now, but for those whose time the platform named. @returns how many */
  hastenMessages(channel: string, now: number): Promise<number>;
  /** Takes a message from the undeliverable list back into the outbox. */
  redeliverMessage(messageId: number, now: number): Promise<boolean>;
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
