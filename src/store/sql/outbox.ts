// The outbox: messages due, sent or undeliverable, and the conversation as its owner sees it. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { ConversationEntry, OutboxMessage, Store } from '../store.ts';
import { unseal } from '../vault.ts';
import { keyReader, ownKey, type StoreContext } from './body-keys.ts';
import { isFree } from './leases.ts';
import { postBody, postPlace } from './posts.ts';
import { compile, query } from './tables.ts';
import { messagePlace } from './turns.ts';

const messageRow = z.object({
  message_id: z.number(),
  channel: z.string(),
  conversation: z.string(),
  post_id: z.number().nullable(),
  kind: z.enum(['reply', 'helper-reply', 'correction', 'withdrawal']),
  body: z.string(),
  created_at: z.number(),
  state: z.enum(['due', 'sent', 'undeliverable']),
  attempts: z.number(),
  marker: z.string(),
  unsure: z.number(),
  platform_id: z.string().nullable(),
  because: z.string().nullable(),
});
const messageColumns = [
  'message_id',
  'channel',
  'conversation',
  'post_id',
  'kind',
  'body',
  'created_at',
  'state',
  'attempts',
  'marker',
  'unsure',
  'platform_id',
  'because',
] as const;
const messageBody = z.object({
  text: z.string(),
  markdown: z.string(),
  /** Kept here once the post that it was about is gone. */
  place: z.string().nullable().optional(),
  replaces: z.object({ platformId: z.string().nullable(), marker: z.string() }).optional(),
});
const aboutRow = z.object({
  post_id: z.number(),
  event_id: z.string(),
  conversation: z.string(),
  channel: z.string(),
  person: z.string(),
  body: z.string(),
  /** Of the last reply or correction that was tried. */
  marker: z.string().nullable(),
  platform_id: z.string().nullable(),
});

const postRow = z.object({
  post_id: z.number(),
  event_id: z.string(),
  person: z.string(),
  body: z.string(),
  received_at: z.number(),
  state: z.enum(['waiting', 'answered', 'failed']),
});

type Outbox = Pick<
  Store,
  | 'claimDueMessages'
  | 'markSent'
  | 'postponeMessage'
  | 'hastenMessages'
  | 'redeliverMessage'
  | 'listMessages'
  | 'readConversation'
>;

export function outbox(context: StoreContext): Outbox {
  const { connection } = context;

  async function openMessages(rows: readonly unknown[]): Promise<OutboxMessage[]> {
    const keyOf = keyReader(context);
    const messages: OutboxMessage[] = [];
    for (const row of z.array(messageRow).parse(rows)) {
      const key = await keyOf({ channel: row.channel, conversation: row.conversation, person: ownKey });
      if (!key) continue;
      const body = messageBody.parse(JSON.parse(await unseal(key, row.body, messagePlace(row.marker))));
      messages.push({
        text: body.text,
        markdown: body.markdown,
        place: body.place ?? null,
        replaces: body.replaces ?? null,
        unsure: row.unsure === 1,
        because: row.because,
        messageId: row.message_id,
        channel: row.channel,
        conversation: row.conversation,
        postId: row.post_id,
        kind: row.kind,
        createdAt: row.created_at,
        state: row.state,
        attempts: row.attempts,
        marker: row.marker,
      });
    }
    return messages.sort((a, b) => a.messageId - b.messageId);
  }

  return {
    async claimDueMessages(now, leaseMs, limit, from) {
      const which =
        from === undefined
          ? sql`TRUE`
          : 'only' in from
            ? sql`channel = ${from.only}`
            : sql`channel NOT IN (${sql.join(from.except)})`;
      const { rows } = await connection.run(
        // A message that was in flight when its lease ran out may have arrived.
        compile(sql`UPDATE messages SET lease_until = ${now + leaseMs}, lease_from = ${now}, attempts = attempts + 1,
                unsure = MAX(unsure, in_flight), in_flight = 1
              WHERE message_id IN (
                SELECT message_id FROM messages AS first
                WHERE state = 'due' AND ${isFree(now)} AND ${which}
                  AND NOT EXISTS (
                    SELECT 1 FROM messages AS earlier
                    WHERE earlier.state = 'due' AND earlier.channel = first.channel
                      AND earlier.conversation = first.conversation AND earlier.message_id < first.message_id
                  )
                ORDER BY message_id LIMIT ${limit}
              )
              RETURNING ${sql.join(messageColumns.map((column) => sql.ref(column)))}`),
      );
      const messages = await openMessages(rows);
      return withPosts(context, messages);
    },

    async markSent(messageId, now, platformId = null) {
      await connection.run(
        compile(
          query
            .updateTable('messages')
            .set({ state: 'sent', sent_at: now, in_flight: 0, platform_id: platformId })
            .where('message_id', '=', messageId)
            .where('state', '=', 'due'),
        ),
      );
    },

    async postponeMessage(messageId, { retryAt, now, unsure, asked, because }) {
      const later = {
        in_flight: 0,
        unsure: unsure ? 1 : 0,
        retry_asked: asked ? 1 : 0,
        because: because.slice(0, 200),
      };
      await connection.run(
        compile(
          query
            .updateTable('messages')
            .set(
              retryAt === null
                ? { ...later, state: 'undeliverable' }
                : { ...later, lease_until: retryAt, lease_from: now },
            )
            .where('message_id', '=', messageId)
            .where('state', '=', 'due'),
        ),
      );
    },

    async hastenMessages(channel, now) {
      const { rows } = await connection.run(
        compile(sql`UPDATE messages SET lease_until = ${now}
              WHERE channel = ${channel} AND state = 'due' AND in_flight = 0 AND retry_asked = 0 AND lease_until > ${now}
              RETURNING message_id`),
      );
      return rows.length;
    },

    async redeliverMessage(messageId, now) {
      const { rows } = await connection.run(
        compile(
          query
            .updateTable('messages')
            // Its time counts from now on, or it would be given up again at once.
            .set({ state: 'due', attempts: 0, lease_until: 0, lease_from: now, created_at: now })
            .where('message_id', '=', messageId)
            .where('state', '=', 'undeliverable')
            .returning('message_id'),
        ),
      );
      return rows.length === 1;
    },

    async listMessages(state, limit) {
      const { rows } = await connection.run(
        compile(
          query
            .selectFrom('messages')
            .select(messageColumns)
            .where('state', '=', state)
            .orderBy('message_id')
            .limit(limit),
        ),
      );
      return openMessages(rows);
    },

    async readConversation(channel, conversation, limit) {
      const [posts, messages] = await connection.batch([
        compile(
          query
            .selectFrom('posts')
            .select(['post_id', 'event_id', 'person', 'body', 'received_at', 'state'])
            .where('channel', '=', channel)
            .where('conversation', '=', conversation)
            .orderBy('post_id', 'desc')
            .limit(limit),
        ),
        compile(
          query
            .selectFrom('messages')
            .select(messageColumns)
            .where('channel', '=', channel)
            .where('conversation', '=', conversation)
            .where('state', '!=', 'undeliverable')
            .orderBy('message_id', 'desc')
            .limit(limit),
        ),
      ]);
      const keyOf = keyReader(context);
      const entries: ConversationEntry[] = [];
      for (const row of z.array(postRow).parse(posts?.rows ?? [])) {
        const key = await keyOf({ channel, conversation, person: row.person });
        if (!key) continue;
        const opened = await unseal(key, row.body, postPlace(channel, conversation, row.event_id));
        const { text, attached } = z
          .object({ text: z.string(), attached: z.number().default(0) })
          .parse(JSON.parse(opened));
        entries.push({ kind: 'post', id: row.post_id, at: row.received_at, text, state: row.state, attached });
      }
      for (const message of await openMessages(messages?.rows ?? []))
        entries.push({
          kind: message.kind,
          id: message.messageId,
          at: message.createdAt,
          text: message.text,
          markdown: message.markdown,
          postId: message.postId,
        });
      // Within one millisecond a post stands before the message that answers it.
      const rank = (entry: ConversationEntry) => (entry.kind === 'post' ? 0 : 1);
      entries.sort((a, b) => a.at - b.at || rank(a) - rank(b) || a.id - b.id);
      return entries.slice(-limit);
    },
  };
}

/** Adds what the channel said of the posts' places, and which message a correction or withdrawal takes the place of. */
async function withPosts(context: StoreContext, messages: OutboxMessage[]): Promise<OutboxMessage[]> {
  const ids = [...new Set(messages.flatMap((message) => (message.postId === null ? [] : [message.postId])))];
  if (ids.length === 0) return messages;
  const { rows } = await context.connection.run(
    compile(sql`SELECT posts.post_id, event_id, posts.conversation, posts.channel, person, posts.body,
          told.marker, told.platform_id
        FROM posts LEFT JOIN messages AS told ON told.message_id = (
          SELECT message_id FROM messages AS earlier
          WHERE earlier.post_id = posts.post_id AND earlier.kind IN ('reply', 'correction') AND earlier.state = 'sent'
          ORDER BY earlier.platform_id IS NULL, message_id DESC LIMIT 1
        )
        WHERE posts.post_id IN (${sql.join(ids)})`),
  );
  const keyOf = keyReader(context);
  const about = new Map<number, { place: string | null; replaces: OutboxMessage['replaces'] }>();
  for (const row of z.array(aboutRow).parse(rows)) {
    const key = await keyOf(row);
    if (!key) continue;
    const opened = await unseal(key, row.body, postPlace(row.channel, row.conversation, row.event_id));
    about.set(row.post_id, {
      place: postBody.parse(JSON.parse(opened)).place ?? null,
      replaces: row.marker === null ? null : { platformId: row.platform_id, marker: row.marker },
    });
  }
  return messages.map((message) => {
    const found = message.postId === null ? undefined : about.get(message.postId);
    if (!found) return message;
    const replaces = message.kind === 'correction' || message.kind === 'withdrawal' ? found.replaces : null;
    return { ...message, place: message.place ?? found.place, replaces: message.replaces ?? replaces };
  });
}
