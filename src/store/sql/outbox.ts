// The outbox: messages due, sent or undeliverable, and the conversation as its owner sees it. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { ConversationEntry, OutboxMessage, Store } from '../store.ts';
import { unseal } from '../vault.ts';
import { keyReader, ownKey, type StoreContext } from './body-keys.ts';
import { postPlace } from './inbox.ts';
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
] as const;
const messageBody = z.object({ text: z.string(), markdown: z.string() });

const postRow = z.object({
  post_id: z.number(),
  event_id: z.string(),
  person: z.string(),
  body: z.string(),
  received_at: z.number(),
  state: z.enum(['waiting', 'answered', 'failed']),
});

type Outbox = Pick<Store, 'claimDueMessages' | 'markSent' | 'postponeMessage' | 'listMessages' | 'readConversation'>;

export function outbox(context: StoreContext): Outbox {
  const { connection } = context;

  async function openMessages(rows: readonly unknown[]): Promise<OutboxMessage[]> {
    const keyOf = keyReader(context);
    const messages: OutboxMessage[] = [];
    for (const row of z.array(messageRow).parse(rows)) {
      const key = await keyOf({ channel: row.channel, conversation: row.conversation, person: ownKey });
      if (!key) continue;
      messages.push({
        ...messageBody.parse(JSON.parse(await unseal(key, row.body, messagePlace(row.marker)))),
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
    async claimDueMessages(now, leaseMs, limit) {
      const { rows } = await connection.run(
        compile(sql`UPDATE messages SET lease_until = ${now + leaseMs}, attempts = attempts + 1
              WHERE message_id IN (
                SELECT message_id FROM messages AS first
                WHERE state = 'due' AND lease_until <= ${now}
                  AND NOT EXISTS (
                    SELECT 1 FROM messages AS earlier
                    WHERE earlier.state = 'due' AND earlier.channel = first.channel
                      AND earlier.conversation = first.conversation AND earlier.message_id < first.message_id
                  )
                ORDER BY message_id LIMIT ${limit}
              )
              RETURNING ${sql.join(messageColumns.map((column) => sql.ref(column)))}`),
      );
      return openMessages(rows);
    },

    async markSent(messageId, now) {
      await connection.run(
        compile(
          query
            .updateTable('messages')
            .set({ state: 'sent', sent_at: now })
            .where('message_id', '=', messageId)
            .where('state', '=', 'due'),
        ),
      );
    },

    async postponeMessage(messageId, retryAt) {
      await connection.run(
        compile(
          query
            .updateTable('messages')
            .set(retryAt === null ? { state: 'undeliverable' } : { lease_until: retryAt })
            .where('message_id', '=', messageId)
            .where('state', '=', 'due'),
        ),
      );
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
        const { text } = z.object({ text: z.string() }).parse(JSON.parse(opened));
        entries.push({ kind: 'post', id: row.post_id, at: row.received_at, text, state: row.state });
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
