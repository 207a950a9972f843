// The answer to a post without storing anything, for helpers who look before they send. The front doors hand it to the channels.
import type { answerPost } from './answer.ts';
import type { Knowledge } from './knowledge/knowledge.ts';
import type { Store } from './store/store.ts';
import { type AnswerDocument, answerDocument } from './vocabulary/answer-document.ts';
import type { Post } from './vocabulary/post.ts';

export interface DraftDeps {
  readonly store: Pick<Store, 'loadCase'>;
  readonly knowledge: Knowledge;
  readonly answer: typeof answerPost;
}

/** What the bot would say to this post, on the case of its conversation as it stands. */
export async function draftAnswer({ store, knowledge, answer }: DraftDeps, post: Post): Promise<AnswerDocument> {
  const { state } = await store.loadCase(post.channel, post.conversation);
  const attachments = post.attachments ?? [];
  const drafted = answer({ id: `${post.channel} draft`, text: post.text, attachments }, state, knowledge);
  return answerDocument.parse(drafted.answer);
}
