// Drafts for helpers on chat platforms: someone else's post is worked out in private, the helper changes the words, and they go
// out as the helper's reply. Nothing is stored of the post until then, but the draft itself, sealed, for an hour.
import { z } from 'zod';
import type { Inbox } from '../channels/channel.ts';
import { dropHidden } from '../pages/readable-text.ts';
import type { Store } from '../store/store.ts';
import type { AnswerDocument } from '../vocabulary/answer-document.ts';
import { type Post, post as postSchema } from '../vocabulary/post.ts';
import { Problem } from '../vocabulary/problems.ts';

const kind = 'draft';
const draftLivesMs = 60 * 60_000;
/** Longest reply that a helper may send [UTF-16 units]. */
export const helperReplyLimit = 3_000;

interface HelperDraft {
  readonly id: string;
  readonly document: AnswerDocument;
}

export interface HelperDrafts {
  /** Works a post out and keeps the draft for an hour. */
  open(post: Post): Promise<HelperDraft>;
  /** The words that a draft proposes; null when it is over. */
  proposal(id: string): Promise<string | null>;
  /**
   * Sends the helper's words in answer to the post, once, whatever is pressed twice.
   *
   * @param by name of the helper, as the bay and the audit log show it
   * @returns null when they are on their way (stored durably), else what stands in the way, for the helper to read
   */
  send(id: string, text: string, by: string): Promise<string | null>;
}

export interface HelperDraftsDeps {
  readonly channel: string;
  readonly store: Store;
  readonly inbox: Inbox;
  readonly draft: (post: Post) => Promise<AnswerDocument>;
  readonly clock: () => number;
  readonly newId: () => string;
}

const kept = z.object({ post: postSchema, proposal: z.string(), isSent: z.boolean() });
type Kept = z.infer<typeof kept>;

export function helperDrafts({ channel, store, inbox, draft, clock, newId }: HelperDraftsDeps): HelperDrafts {
  const write = (id: string, { post, ...rest }: Kept, expected: number | null) =>
    store.writeRecord(
      {
        channel,
        kind,
        key: id,
        workspace: post.workspace ?? '',
        conversation: post.conversation,
        body: JSON.stringify({ post, ...rest }),
        expiresAt: clock() + draftLivesMs,
      },
      expected,
      clock(),
    );

  async function read(id: string): Promise<{ draft: Kept; version: number } | null> {
    const found = /^[\w-]{1,64}$/.test(id) ? await store.readRecord(channel, kind, id, clock()) : null;
    return found && { draft: kept.parse(JSON.parse(found.body)), version: found.version };
  }

  /** The bot has answered already: the helper takes the answer over and replies. */
  async function sendAfterAnswer(postId: number, post: Post, text: string, by: string, marker: string) {
    const answer = await store.readAnswerOfPost(postId);
    if (!answer) return 'This post is being answered just now: try again in a moment.';
    const { state, by: holder } = answer.helper;
    if (state === 'taken' && holder !== by) return 'Another helper has this post in hand.';
    if (state !== 'taken' && !(await store.moveHelperState(answer.answerId, state, 'taken', by, clock())))
      return 'Another helper was faster.';
    const { conversation } = post;
    const message = { channel, conversation, postId, kind: 'helper-reply' as const, text, markdown: text, marker };
    const sent = await store.sendHelperReply(answer.answerId, by, message, clock());
    return sent ? null : 'Another helper was faster.';
  }

  async function hand(id: string, post: Post, text: string, by: string): Promise<string | null> {
    const { postId, fresh } = await inbox.accept({ ...post, helperReply: { by, text } });
    if (fresh) return null;
    if (postId === null) return 'This post was erased.';
    return sendAfterAnswer(postId, post, text, by, `${channel}-draft-${id}`);
  }

  return {
    async open(post) {
      const document = await draft(post);
      const id = newId();
      await write(id, { post, proposal: document.reply.text, isSent: false }, 0);
      return { id, document };
    },

    async proposal(id) {
      const found = await read(id);
      return found === null || found.draft.isSent ? null : found.draft.proposal;
    },

    async send(id, given, by) {
      const text = dropHidden(given).trim().slice(0, helperReplyLimit);
      if (text === '') return 'Write an answer first.';
      const found = await read(id);
      if (!found) return 'This draft is over an hour old: open it again from the menu of the post.';
      if (found.draft.isSent) return 'It was sent already.';
      if (!(await write(id, { ...found.draft, isSent: true }, found.version))) return 'It was sent already.';
      let says: string | null;
      try {
        says = await hand(id, found.draft.post, text, by);
      } catch (error) {
        await write(id, found.draft, null);
        if (error instanceof Problem && error.code !== 'internal') return error.message;
        throw error;
      }
      if (says !== null) await write(id, found.draft, null);
      return says;
    },
  };
}

/** How a person of a platform is named in the bay: never like one who signs in there. */
export function platformPerson(name: string, platform: string, id: string): string {
  const words = name
    .replaceAll(/[^\p{L}\p{N} ._-]/gu, '')
    .trim()
    .slice(0, 40);
  return `${words || 'Somebody'} (${platform} ${id.slice(0, 25)})`;
}
