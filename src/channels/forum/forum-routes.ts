// POST /forum/posts: signed events of a forum in. A status of 2xx is given only for what is stored durably; app.ts mounts it.
import { Hono } from 'hono';
import type { Log } from '../../serving/log.ts';
import { checkJsonHeaders, parseJson, receiveBody } from '../../serving/read-json.ts';
import type { Store } from '../../store/store.ts';
import { Problem } from '../../vocabulary/problems.ts';
import type { Inbox } from '../channel.ts';
import { type ForumEvent, forumEvent, readFiles } from './forum-events.ts';
import { checkHeaders, isSigned, type Refusal, type WebhookSecret } from './standard-webhook.ts';

export const forumChannelName = 'forum';

export interface ForumRoutesDeps {
  readonly inbox: Inbox;
  readonly store: Pick<Store, 'findDelivery' | 'rememberDelivery' | 'readConversation'>;
  /** Milliseconds since 1970. */
  readonly clock: () => number;
  readonly log: Log;
  /** One, or two while the forum changes over; null when the channel is off. */
  readonly secrets: Promise<readonly WebhookSecret[]> | null;
}

/** What became of an event; `repeated` and `ignored` changed nothing. */
type State = 'accepted' | 'repeated' | 'ignored';

/** The last words of ours in a thread with which a post is compared, against a forum that hands us our own replies. */
const ownWordsLimit = 20;

export function forumRoutes(deps: ForumRoutesDeps): Hono {
  const { inbox, store, clock, log, secrets } = deps;
  const routes = new Hono();

  routes.post('/posts', async (context) => {
    if (secrets === null) throw new Problem('not-found', 'There is no forum connected here.');
    const headers = checkHeaders(context.req.raw.headers, clock());
    if (typeof headers === 'string') return refuse(log, headers);
    const body = await receiveBody(context.req.raw);
    if (!(await isSigned(headers, body, await secrets))) refuse(log, 'wrong-signature');
    checkJsonHeaders(context.req.raw.headers, 'wrong-type');
    const event = parseJson(body, forumEvent, 'wrong-shape');
    const delivery = { id: headers.id, bodyHash: await hashOf(body) };
    const known = await store.findDelivery(forumChannelName, delivery.id, delivery.bodyHash);
    if (known === 'other-body')
      throw new Problem('conflict', 'This webhook-id came with another body before: send new events under new ids.');
    const state = known === 'same' ? 'repeated' : await take(event, delivery);
    return context.json({ id: event.data.post, state }, state === 'accepted' ? 202 : 200);
  });

  async function take(event: ForumEvent, delivery: { id: string; bodyHash: string }): Promise<State> {
    const state = await carryOut(event, delivery);
    // A new post remembers its delivery in the commit that stores it.
    if (event.type !== 'post.created' || state === 'ignored')
      await store.rememberDelivery(forumChannelName, delivery.id, delivery.bodyHash, clock());
    return state;
  }

  async function carryOut(event: ForumEvent, delivery: { id: string; bodyHash: string }): Promise<State> {
    const { data } = event;
    if (event.type === 'post.deleted') {
      await inbox.withdraw(forumChannelName, data.post);
      return 'accepted';
    }
    if (event.data.bot) return 'ignored';
    const { text, thread, author } = event.data;
    if (event.type === 'post.edited') {
      const revisedAt = Date.parse(event.data.editedAt ?? event.timestamp);
      const outcome = await inbox.revise({ channel: forumChannelName, eventId: data.post, text, revisedAt });
      if (outcome !== 'unknown') return outcome === 'revised' ? 'accepted' : 'ignored';
      if (thread === undefined || author === undefined) return 'ignored';
    }
    if (thread === undefined || author === undefined || (await isOurs(thread, text))) return 'ignored';
    const created = event.type === 'post.created' ? event.data : null;
    const { postId, fresh } = await inbox.accept({
      eventId: data.post,
      channel: forumChannelName,
      conversation: thread,
      author,
      text,
      callerId: null,
      place: data.post,
      workspace: forumChannelName,
      delivery,
      ...(created?.writtenAt === undefined ? {} : { writtenAt: Date.parse(created.writtenAt) }),
      ...(created?.attachments === undefined ? {} : { attachments: readFiles(created.attachments) }),
    });
    if (postId === null) return 'ignored';
    return fresh ? 'accepted' : 'repeated';
  }

  async function isOurs(thread: string, text: string): Promise<boolean> {
    const entries = await store.readConversation(forumChannelName, thread, ownWordsLimit);
    const words = text.trim();
    return entries.some(
      (entry) => entry.kind !== 'post' && (entry.text.trim() === words || entry.markdown.trim() === words),
    );
  }

  return routes;
}

/** One body for every reason; which one it was goes to the log. */
function refuse(log: Log, because: Refusal): never {
  log.warn('forum delivery refused', { because });
  throw new Problem('unauthorised', 'The signature is missing, wrong or too old.');
}

async function hashOf(body: Uint8Array): Promise<string> {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', body as Uint8Array<ArrayBuffer>));
  return [...hash].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
