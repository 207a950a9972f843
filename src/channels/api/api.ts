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
  /** Paths of other channels, for the description. */
  readonly describes: Readonly<Record<string, unknown>>;
  /** Set when not everybody who knows a conversation's name may go on with it; `key` may go on with all. */
  readonly guard: { readonly key: string | null } | null;
}

/** Carries the token that goes on with a conversation, as `Authorization: Bearer <token>`. */
export const tokenHeader = 'Conversation-Token';

export function api(deps: ApiDeps): Hono {
  const { store, submit, newId, describes } = deps;
  const routes = new Hono();

  routes.get('/openapi.json', (context) => context.json(openApi(answerRequest, describes)));

  routes.post('/answers', async (context) => {
    const { id, text, conversation } = await readJson(context.req.raw, answerRequest);
    const thread = conversation ?? newId();
    const eventId = id === undefined ? newId() : await eventOf(thread, id);
    if (conversation !== undefined && deps.guard) {
      const bearer = /^Bearer ([\w-]{1,300})$/.exec(context.req.header('Authorization') ?? '')?.[1] ?? '';
      context.header(tokenHeader, await admit(deps, { conversation, eventId, text, bearer, key: deps.guard.key }));
    }
    const postId = await submit({
      eventId,
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

/**
 * Lets in whoever begins a conversation, repeats its first call, or holds its token or the API key.
 *
 * @returns the conversation's token
 */
async function admit(
  { store }: ApiDeps,
  call: { conversation: string; eventId: string; text: string; bearer: string; key: string | null },
): Promise<string> {
  const token = await store.conversationToken(apiChannelName, call.conversation);
  if (isSame(call.bearer, token) || (call.key !== null && isSame(call.bearer, call.key))) return token;
  const entries = await store.readConversation(apiChannelName, call.conversation, 1);
  // A caller whose first answer was lost has no token yet.
  const repeated = entries.length === 0 ? null : await store.findPost(apiChannelName, call.eventId);
  if (entries.length === 0 || repeated?.text === call.text) return token;
  throw new Problem(
    'unauthorised',
    `This conversation has begun: send the ${tokenHeader} of its first answer, or the API key, as Authorization: Bearer.`,
  );
}

/** In constant time for texts of equal length. */
function isSame(one: string, other: string): boolean {
  if (one.length !== other.length) return false;
  let difference = 0;
  for (let at = 0; at < one.length; at += 1) difference |= one.charCodeAt(at) ^ other.charCodeAt(at);
  return difference === 0;
}

/** Both parts have up to 200 characters, so their hash stands for them. */
async function eventOf(conversation: string, id: string): Promise<string> {
  const bytes = new TextEncoder().encode(JSON.stringify([conversation, id]));
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return [...hash].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
