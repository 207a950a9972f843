// Works a stored conversation again from its first post, with a person's changes of what was read, under this or another
// knowledge version. The preview of changed findings and the rerun call it; it stores nothing.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { StoredAnswer, StoredPost } from '../store/store.ts';
import { type AnswerDocument, answerDocument } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import { amendCase, type FindingChange } from '../vocabulary/finding-change.ts';
import type { BayDeps } from './bay-deps.ts';

export interface WorkedAgain {
  /** The answer to the post in question. */
  readonly document: AnswerDocument;
  /** The case after the conversation's last post. */
  readonly next: Case;
  /** Posts after the one in question, which rest on the same findings. */
  readonly laterPosts: number;
}

/** A conversation's posts with their logs, read once for several workings. */
export type History = ReadonlyArray<{ readonly post: StoredPost; readonly attachments: Attachments }>;
type Attachments = Awaited<ReturnType<BayDeps['store']['readAttachments']>>;

export async function readHistory(
  { store }: Pick<BayDeps, 'store'>,
  { channel, conversation }: Pick<StoredAnswer, 'channel' | 'conversation'>,
): Promise<History> {
  const posts = await store.listAnsweredPosts(channel, conversation);
  return Promise.all(
    posts.map(async (post) => ({
      post,
      attachments: post.attached > 0 ? await store.readAttachments(post.postId) : [],
    })),
  );
}

/**
 * @param answer  the stored answer in question
 * @param history its conversation in the order of writing
 * @param changes a person's changes, made after every post in which they find their finding
 * @returns null when the post could not be answered (then or now)
 */
export function workAgain(
  work: BayDeps['answer'],
  knowledge: Knowledge,
  answer: StoredAnswer,
  history: History,
  changes: readonly FindingChange[],
): WorkedAgain | null {
  const at = history.findIndex(({ post }) => post.postId === answer.postId);
  if (at < 0) return null;
  const amend = (current: Case) => amendCase(current, changes);
  let state: Case | null = null;
  let document: AnswerDocument | null = null;
  for (const [index, { post, attachments }] of history.entries()) {
    const input = { id: post.callerId ?? answer.document.id, text: post.text, attachments };
    const worked: ReturnType<BayDeps['answer']> = work(input, state, knowledge, amend);
    state = worked.next;
    if (index === at) document = answerDocument.parse(worked.answer);
  }
  return document && state ? { document, next: state, laterPosts: history.length - 1 - at } : null;
}

/** Everything that persons have changed in a conversation, oldest first; of two changes of one finding the later finds nothing. */
export function readChanges(
  { store }: Pick<BayDeps, 'store'>,
  { channel, conversation }: Pick<StoredAnswer, 'channel' | 'conversation'>,
): Promise<FindingChange[]> {
  return store.listFindingChanges(channel, conversation);
}
