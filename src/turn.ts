// Turns: from a stored post to a stored answer with its reply in the outbox. app.ts submits posts through it, the front doors
// sweep what was left waiting (a crash, a failure, another process that went away).
import type { answerPost } from './answer.ts';
import type { Knowledge } from './knowledge/knowledge.ts';
import { describeError, type Log } from './serving/log.ts';
import type { Store, StoredPost } from './store/store.ts';
import { type AnswerDocument, answerDocument } from './vocabulary/answer-document.ts';
import type { Case } from './vocabulary/case.ts';
import { amendCase } from './vocabulary/finding-change.ts';
import type { Post } from './vocabulary/post.ts';
import { Problem } from './vocabulary/problems.ts';
import { programVersion } from './vocabulary/version.ts';

export interface TurnDeps {
  readonly store: Store;
  readonly knowledge: Knowledge;
  /** The whole job from post to answer; at once, or in a thread of its own. */
  readonly answer: (
    ...given: Parameters<typeof answerPost>
  ) => ReturnType<typeof answerPost> | Promise<ReturnType<typeof answerPost>>;
  /** Milliseconds since 1970. */
  readonly clock: () => number;
  /** A fresh unguessable id each time. */
  readonly newId: () => string;
  readonly sleep: (ms: number) => Promise<void>;
  readonly log: Log;
  /** Told how long after its arrival a post was answered [s], for /metrics. */
  readonly observeAnswer?: (seconds: number) => void;
}

/** How long a post is ours to work [ms], waiting for its turn in the answering thread included; a late finisher finds it settled. */
export const postLeaseMs = 15_000;
/** After this many attempts a post goes to a helper instead. */
export const mostAttempts = 5;
/** How long a submitter waits for its answer [ms]. */
const submitPatienceMs = 20_000;
const pollMs = 25;
/** Danger of a post that nobody has read yet: it may hold a stop sign (judgement). */
const unreadDanger = 60;

/**
 * Stores a post and works its conversation up to it.
 *
 * @returns the post's id; its answer is stored then
 * @throws Problem `unavailable` when it could not be stored (nothing was taken in) or not be answered in time (it is kept and
 *   will be answered; the same event again is safe); `conflict` when the event belongs to what was erased
 */
export async function submitPost(deps: TurnDeps, post: Post): Promise<number> {
  const { store, clock } = deps;
  const started = clock();
  const { postId, claimed } = await acceptPost(deps, post);
  if (postId === null) throw new Problem('conflict', 'This post was erased; send it under a new id.');
  let next = claimed;
  while (clock() - started < submitPatienceMs) {
    const claimed = next ?? (await store.claimNextPost(post.channel, post.conversation, clock(), postLeaseMs));
    next = null;
    const outcome = claimed && (await workPost(deps, claimed));
    if (claimed?.postId === postId && outcome === 'retry') break;
    if (claimed?.postId === postId) return postId;
    if (claimed) continue;
    const stored = await store.readPost(postId);
    if (stored === null) throw new Problem('conflict', 'This post was erased while it was read.');
    if (stored.state !== 'waiting') return postId;
    await deps.sleep(pollMs);
  }
  throw new Problem('unavailable', 'The post is stored but not answered yet; ask again with the same id in a moment.');
}

/**
 * Stores a post durably, without working it.
 *
 * @param claims whether to take it at once when nothing of its conversation is before it
 * @returns `claimed` is the post to hand to `workPost` when it is ours now
 */
export async function acceptPost(
  { store, clock }: Pick<TurnDeps, 'store' | 'clock'>,
  post: Post,
  claims = true,
): Promise<{ postId: number | null; fresh: boolean; claimed: StoredPost | null }> {
  const now = clock();
  const { postId, fresh, claimed } = await store.acceptPost(post, now, claims ? postLeaseMs : 0);
  if (postId === null || !claimed) return { postId, fresh, claimed: null };
  const { attachments, writtenAt, workspace: _, delivery: __, ...words } = post;
  const stored: StoredPost = {
    ...words,
    postId,
    receivedAt: now,
    writtenAt: writtenAt ?? now,
    revisedAt: 0,
    attached: attachments?.length ?? 0,
    state: 'waiting',
    attempts: 1,
  };
  return { postId, fresh, claimed: stored };
}

/** Works posts that are waiting, a few at a time, until none is left or `most` are done. @returns how many were taken */
export async function workWaiting(deps: TurnDeps, most: number): Promise<number> {
  let taken = 0;
  while (taken < most) {
    const posts = await deps.store.claimWaitingPosts(deps.clock(), postLeaseMs, Math.min(5, most - taken));
    if (posts.length === 0) break;
    for (const post of posts) await workPost(deps, post);
    taken += posts.length;
  }
  return taken;
}

/** Works one conversation's waiting posts, `most` of them at most. @returns how many were taken */
export async function workConversation(
  deps: TurnDeps,
  channel: string,
  conversation: string,
  most: number,
): Promise<number> {
  let taken = 0;
  while (taken < most) {
    const post = await deps.store.claimNextPost(channel, conversation, deps.clock(), postLeaseMs);
    if (!post) break;
    await workPost(deps, post);
    taken += 1;
  }
  return taken;
}

/**
 * Works one claimed post: answers it from the conversation's case and stores case, answer and reply together.
 *
 * @returns `retry` when it was given back for later, `gone` when someone else settled or erased it
 */
export async function workPost(deps: TurnDeps, claimed: StoredPost): Promise<'answered' | 'failed' | 'retry' | 'gone'> {
  const { store, knowledge, log } = deps;
  const started = deps.clock();
  let post = claimed;
  try {
    // A post that took the whole program down with it comes back with its attempts counted, and is not tried for ever.
    if (post.attempts > mostAttempts) return await failPost(deps, post);
    for (let round = 0; round < 3; round += 1) {
      const { state, version, stale } = await store.loadTurn(post.postId);
      const { document, next, before } = stale ? await answerAgain(deps, post) : await answerNext(deps, post, state);
      const danger = dangerOf(document, knowledge);
      const saved = await store.saveTurn({
        postId: post.postId,
        revisedAt: post.revisedAt,
        state: 'answered',
        caseVersion: version,
        next,
        document,
        danger,
        helperWanted: document.fit.handOver.wanted || document.driving === 'stop',
        ...turnMessage(post, document, before, deps.newId()),
        now: deps.clock(),
      });
      if (saved) {
        deps.observeAnswer?.(Math.max(0, deps.clock() - post.receivedAt) / 1000);
        log.info('post answered', { postId: post.postId, channel: post.channel, danger, ms: deps.clock() - started });
        return 'answered';
      }
      const stored = await store.readPost(post.postId);
      if (stored?.state !== 'waiting') return 'gone';
      post = { ...stored, attempts: post.attempts };
    }
    throw new Problem('busy', 'the case kept moving');
  } catch (error) {
    log.error('post not answered', { postId: post.postId, attempt: post.attempts, ...describeError(error) });
    if (post.attempts >= mostAttempts) return failPost(deps, post);
    const now = deps.clock();
    await store.releasePost(post.postId, now + retryDelayMs(post.attempts), now);
    return 'retry';
  }
}

interface Answered {
  readonly document: AnswerDocument;
  readonly next: Case;
  /** The reply to an earlier version of the post; null when there was none. */
  readonly before: string | null;
}

/** The ordinary turn: everything written before the post is in the case, and nothing else. */
async function answerNext(deps: TurnDeps, post: StoredPost, state: Case | null): Promise<Answered> {
  const { answer, next } = await deps.answer(await documentOf(deps, post), state, deps.knowledge);
  return { document: answerDocument.parse(answer), next, before: null };
}

/**
 * The turn of a post that came late, was revised, or follows a withdrawn one: the conversation is read again from its beginning,
 * in the order of writing. The answers that were given to others stand; the case is as if all had come in order.
 */
async function answerAgain(deps: TurnDeps, post: StoredPost): Promise<Answered> {
  const { store, knowledge } = deps;
  const earlier = await store.readAnswerOfPost(post.postId);
  const others = await store.listAnsweredPosts(post.channel, post.conversation);
  const changes = await store.listFindingChanges(post.channel, post.conversation);
  const isBefore = (other: StoredPost) =>
    other.writtenAt < post.writtenAt || (other.writtenAt === post.writtenAt && other.postId < post.postId);
  const history = [...others.filter(isBefore), post, ...others.filter((other) => !isBefore(other))];
  let state: Case | null = null;
  let document: AnswerDocument | null = null;
  for (const one of history) {
    const answered: ReturnType<typeof answerPost> = await deps.answer(await documentOf(deps, one), state, knowledge);
    const { answer, next } = answered;
    // What a moderator changed stays changed, whatever was written again.
    state = amendCase(next, changes);
    if (one === post) document = answerDocument.parse(answer);
  }
  return { document: document!, next: state!, before: earlier?.document.reply.text ?? null };
}

async function documentOf(deps: TurnDeps, post: StoredPost) {
  const attachments = post.attached > 0 ? await deps.store.readAttachments(post.postId) : [];
  return { id: documentId(post), text: post.text, attachments };
}

/** 1, 2, 4, 8 s after attempts 1 to 4. */
function retryDelayMs(attempts: number): number {
  return 1000 * 2 ** (attempts - 1);
}

/** Settles a post that could not be answered: the owner is told so, and a helper finds it in the queue. */
async function failPost(deps: TurnDeps, post: StoredPost): Promise<'failed' | 'gone'> {
  const { version } = await deps.store.loadCase(post.channel, post.conversation);
  const document = failureDocument(post, deps.knowledge);
  const saved = await deps.store.saveTurn({
    postId: post.postId,
    revisedAt: post.revisedAt,
    state: 'failed',
    caseVersion: version,
    next: null,
    document,
    danger: unreadDanger,
    helperWanted: true,
    message: replyTo(post, document, deps.newId()),
    now: deps.clock(),
  });
  deps.log.error('post given to a helper', { postId: post.postId, channel: post.channel });
  return saved ? 'failed' : 'gone';
}

function documentId(post: StoredPost): string {
  return post.callerId ?? `${post.channel}-${post.postId}`;
}

/** What goes out: a helper's own words once, else the reply whenever it says something new. */
function turnMessage(post: StoredPost, document: AnswerDocument, before: string | null, marker: string) {
  const { helperReply } = post;
  const reply = replyTo(post, document, marker);
  if (helperReply === undefined) return { message: before === document.reply.text ? null : reply };
  if (before !== null) return { message: null };
  const { by, text } = helperReply;
  return { message: { ...reply, kind: 'helper-reply' as const, text, markdown: text }, repliedBy: by };
}

function replyTo(post: StoredPost, document: AnswerDocument, marker: string) {
  return {
    channel: post.channel,
    conversation: post.conversation,
    postId: post.postId,
    kind: 'reply' as const,
    text: document.reply.text,
    markdown: document.reply.markdown,
    marker,
  };
}

/** How dangerous the worst caution that the owner was shown is [0..100]; being told to stop is the worst of all. */
function dangerOf(document: AnswerDocument, knowledge: Knowledge): number {
  const shown = document.cautions.filter((caution) => caution.shown);
  const dangers = shown.map((caution) => knowledge.cautions.byId.get(caution.id)?.danger ?? 0);
  return Math.max(0, document.driving === 'stop' ? 100 : 0, ...dangers);
}

function failureDocument(post: StoredPost, knowledge: Knowledge): AnswerDocument {
  const says =
    'Sorry, I could not work through this post, and that is my fault, not yours. A person has it now and will answer here. ' +
    'Until then please leave the car parked if the engine light flashes, or if you smell fuel or exhaust.';
  return {
    id: documentId(post),
    findings: [],
    conflicts: [],
    derived: [],
    causes: [],
    together: [],
    questions: [],
    plan: [],
    where: [],
    fit: { surprise: 1, clash: [], handOver: { wanted: true, because: 'the program could not read the post' } },
    explanations: [],
    pictures: [],
    cautions: [],
    driving: 'limit',
    drivingBecause: 'nobody has read the post yet',
    reply: { text: says, markdown: says },
    model: { knowledge: knowledge.version, version: programVersion },
    notes: [{ kind: 'unreadable', says: 'the program could not read this post; a helper was asked' }],
  };
}
