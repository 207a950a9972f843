// The HTTP API: one post in, one answer document out. app.ts mounts it at /api.
import { Hono } from 'hono';
import { z } from 'zod';
import { readJson } from '../../serving/read-json.ts';
import type { Store } from '../../store/store.ts';
import type { Post } from '../../vocabulary/post.ts';
import { Problem } from '../../vocabulary/problems.ts';
import { openApi } from './open-api.ts';

export const apiChannelName = 'api';

const answerRequest = z.object({
  id: z
    .string()
    .min(1)
    .max(200)
    .optional()
    .describe('Your own id of the post, echoed in the answer. Within a conversation the same id is answered once.'),
  text: z.string().describe('The post as its writer wrote it. 100,000 UTF-16 units are read.'),
  conversation: z
    .string()
    .min(1)
    .max(200)
    .optional()
    .describe(
      'Posts with the same value build on each other. Use an unguessable one. Without it the post stands alone.',
    ),
});

export interface ApiDeps {
  readonly store: Store;
  readonly submit: (post: Post) => Promise<number>;
  readonly newId: () => string;
}

export function api({ store, submit, newId }: ApiDeps): Hono {
  const routes = new Hono();

  routes.get('/openapi.json', (context) => context.json(openApi(answerRequest)));

  routes.post('/answers', async (context) => {
    const { id, text, conversation } = await readJson(context.req.raw, answerRequest);
    const thread = conversation ?? newId();
    const postId = await submit({
      eventId: id === undefined ? newId() : await eventOf(thread, id),
      channel: apiChannelName,
      conversation: thread,
      author: thread,
      text,
      callerId: id ?? null,
    });
    const answer = await store.readAnswerOfPost(postId);
    if (!answer) throw new Problem('conflict', 'This post was erased while it was answered.');
    if (answer.postText !== text)
      throw new Problem('conflict', 'This id was used in this conversation for another text; use a new id.');
    return context.json(answer.document);
  });

  return routes;
}

/** Both parts have up to 200 characters, so their hash stands for them. */
async function eventOf(conversation: string, id: string): Promise<string> {
  const bytes = new TextEncoder().encode(JSON.stringify([conversation, id]));
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return [...hash].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
