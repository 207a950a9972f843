// Rows of posts and what is sealed in them. The inbox, the turns and the changes of the SQL store share it.
import { z } from 'zod';
import type { StoredPost } from '../store.ts';
import { unseal } from '../vault.ts';
import { keyReader, type StoreContext } from './body-keys.ts';

const postRow = z.object({
  post_id: z.number(),
  channel: z.string(),
  event_id: z.string(),
  conversation: z.string(),
  person: z.string(),
  body: z.string(),
  received_at: z.number(),
  written_at: z.number(),
  revised_at: z.number(),
  state: z.enum(['waiting', 'answered', 'failed']),
  attempts: z.number(),
});

export const postColumns = [
  'post_id',
  'channel',
  'event_id',
  'conversation',
  'person',
  'body',
  'received_at',
  'written_at',
  'revised_at',
  'state',
  'attempts',
] as const;

/** What a post's body holds, sealed under its writer's key. */
export const postBody = z.object({
  author: z.string(),
  text: z.string(),
  callerId: z.string().nullable(),
  place: z.string().optional(),
  helperReply: z.object({ by: z.string(), text: z.string() }).optional(),
  attached: z.number().default(0),
});

/** Where the words of a post stand, so that a sealed text cannot be moved under another event. */
export const postPlace = (channel: string, conversation: string, eventId: string) =>
  `post ${JSON.stringify([channel, conversation, eventId])}`;

export const eventHash = (context: StoreContext, channel: string, eventId: string) =>
  context.vault.pseudonym('event', channel, eventId);

export const personOf = (context: StoreContext, channel: string, author: string) =>
  context.vault.pseudonym('person', channel, author);

/** Rows -> posts, in the rows' order; a post whose key is gone was erased between two statements and is left out. */
export async function openPosts(context: StoreContext, rows: readonly unknown[]): Promise<StoredPost[]> {
  const keyOf = keyReader(context);
  const posts: StoredPost[] = [];
  for (const row of z.array(postRow).parse(rows)) {
    const key = await keyOf(row);
    if (!key) continue;
    const opened = await unseal(key, row.body, postPlace(row.channel, row.conversation, row.event_id));
    posts.push({
      ...postBody.parse(JSON.parse(opened)),
      postId: row.post_id,
      eventId: row.event_id,
      channel: row.channel,
      conversation: row.conversation,
      receivedAt: row.received_at,
      writtenAt: row.written_at,
      revisedAt: row.revised_at,
      state: row.state,
      attempts: row.attempts,
    });
  }
  return posts;
}
