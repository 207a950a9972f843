// Turns: the case of a conversation, and the one batch that settles a post. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import { conversationCase } from '../../vocabulary/case.ts';
import type { DueMessage, Store } from '../store.ts';
import { seal, unseal } from '../vault.ts';
import { ownKey, readKey, type StoreContext } from './body-keys.ts';
import type { SqlStatement } from './connection.ts';
import { postPlace } from './inbox.ts';
import { compile, query } from './tables.ts';

/** First words of a post that a list shows [UTF-16 units]. */
const excerptLength = 160;

const caseRow = z.object({ version: z.number(), body: z.string() });
const postRow = z.object({
  channel: z.string(),
  conversation: z.string(),
  event_id: z.string(),
  person: z.string(),
  body: z.string(),
});

const casePlace = (channel: string, conversation: string) => `case ${JSON.stringify([channel, conversation])}`;
export const documentPlace = (postId: number) => `document ${postId}`;
export const excerptPlace = (postId: number) => `excerpt ${postId}`;
export const messagePlace = (marker: string) => `message ${marker}`;

/** Puts a message into the outbox in the same batch as the change that `condition` looks for. */
export async function insertMessage(
  key: CryptoKey,
  message: DueMessage,
  now: number,
  condition: ReturnType<typeof sql>,
): Promise<SqlStatement> {
  const words = JSON.stringify({ text: message.text, markdown: message.markdown });
  const body = await seal(key, words, messagePlace(message.marker));
  return compile(sql`INSERT INTO messages (channel, conversation, post_id, kind, body, created_at, marker)
        SELECT ${message.channel}, ${message.conversation}, ${message.postId}, ${message.kind}, ${body}, ${now}, ${message.marker}
        WHERE ${condition}`);
}

export function turns(context: StoreContext): Pick<Store, 'loadCase' | 'saveTurn'> {
  const { connection } = context;
  return {
    async loadCase(channel, conversation) {
      const { rows } = await connection.run(
        compile(
          query
            .selectFrom('cases')
            .select(['version', 'body'])
            .where('channel', '=', channel)
            .where('conversation', '=', conversation),
        ),
      );
      const row = z.array(caseRow).parse(rows)[0];
      const found = row && (await readKey(context, { channel, conversation, person: ownKey }));
      if (!row || !found) return { state: null, version: 0 };
      const opened = await unseal(found.key, row.body, casePlace(channel, conversation));
      return { state: conversationCase.parse(JSON.parse(opened)), version: row.version };
    },

    async saveTurn(turn) {
      const { rows } = await connection.run(
        compile(
          query
            .selectFrom('posts')
            .select(['channel', 'conversation', 'event_id', 'person', 'body'])
            .where('post_id', '=', turn.postId)
            .where('state', '=', 'waiting'),
        ),
      );
      const post = z.array(postRow).parse(rows)[0];
      if (!post) return null;
      const { channel, conversation } = post;
      const own = await readKey(context, { channel, conversation, person: ownKey });
      const writer = await readKey(context, { channel, conversation, person: post.person });
      if (!own || !writer) return null;

      const opened = await unseal(writer.key, post.body, postPlace(channel, conversation, post.event_id));
      const words = z.object({ text: z.string() }).parse(JSON.parse(opened)).text.slice(0, excerptLength);
      const excerpt = await seal(own.key, words, excerptPlace(turn.postId));
      const document = await seal(own.key, JSON.stringify(turn.document), documentPlace(turn.postId));
      const first = turn.document.causes[0] ?? null;
      const token = crypto.randomUUID();
      const won = sql`EXISTS (SELECT 1 FROM posts WHERE post_id = ${turn.postId} AND turn = ${token})`;

      const statements = [
        // The gate: whoever settles the post first wins, and the rest of the batch follows the winner's token alone.
        compile(sql`UPDATE posts SET state = ${turn.state}, turn = ${token}, lease_until = 0
              WHERE post_id = ${turn.postId} AND state = 'waiting'
                AND ${turn.caseVersion} = COALESCE(
                  (SELECT version FROM cases WHERE channel = ${channel} AND conversation = ${conversation}), 0)
                AND EXISTS (SELECT 1 FROM body_keys WHERE channel = ${channel} AND conversation = ${conversation}
                  AND person = ${ownKey} AND sealed = ${own.sealed})`),
        compile(sql`INSERT INTO answers (post_id, channel, conversation, created_at, document, excerpt, danger, surprise,
                first_cause, first_probability, driving, helper_state)
              SELECT ${turn.postId}, ${channel}, ${conversation}, ${turn.now}, ${document}, ${excerpt}, ${turn.danger},
                CAST(${turn.document.fit.surprise} AS REAL), ${first?.fault ?? null},
                CAST(${first?.probability ?? null} AS REAL), ${turn.document.driving},
                ${turn.helperWanted ? 'wanted' : 'none'}
              WHERE ${won} RETURNING answer_id`),
        await insertMessage(own.key, turn.message, turn.now, won),
      ];
      if (turn.next) {
        const body = await seal(own.key, JSON.stringify(turn.next), casePlace(channel, conversation));
        statements.push(
          compile(sql`INSERT INTO cases (channel, conversation, version, body, updated_at)
                SELECT ${channel}, ${conversation}, ${turn.caseVersion + 1}, ${body}, ${turn.now} WHERE ${won}
                ON CONFLICT (channel, conversation) DO UPDATE SET
                  version = excluded.version, body = excluded.body, updated_at = excluded.updated_at`),
        );
      }
      const results = await connection.batch(statements);
      const answerId = results[1]?.rows[0]?.answer_id;
      return typeof answerId === 'number' ? { answerId } : null;
    },
  };
}
