// Turns: the case of a conversation, and the one batch that settles a post. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import { conversationCase } from '../../vocabulary/case.ts';
import type { DueMessage, Store } from '../store.ts';
import { seal, unseal } from '../vault.ts';
import { indexAnswer } from './answer-index.ts';
import { inAuditedBatch } from './audit.ts';
import { ownKey, readKey, type StoreContext } from './body-keys.ts';
import type { SqlStatement } from './connection.ts';
import { postPlace } from './posts.ts';
import { compile, query } from './tables.ts';

/** First words of a post that a list shows [UTF-16 units]. */
const excerptLength = 160;

const caseRow = z.object({ version: z.number(), body: z.string() });
const turnRow = z.object({
  channel: z.string(),
  conversation: z.string(),
  version: z.number().nullable(),
  body: z.string().nullable(),
  stale: z.number(),
});
const postRow = z.object({
  channel: z.string(),
  conversation: z.string(),
  event_id: z.string(),
  person: z.string(),
  body: z.string(),
  answered: z.number(),
});
const untriedRow = z.object({ message_id: z.number(), marker: z.string() });

export const casePlace = (channel: string, conversation: string) => `case ${JSON.stringify([channel, conversation])}`;
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
  const body = await sealMessage(key, message, message.marker);
  return compile(sql`INSERT INTO messages (channel, conversation, post_id, kind, body, created_at, marker)
        SELECT ${message.channel}, ${message.conversation}, ${message.postId}, ${message.kind}, ${body}, ${now}, ${message.marker}
        WHERE ${condition}`);
}

const sealMessage = (key: CryptoKey, { text, markdown }: DueMessage, marker: string) =>
  seal(key, JSON.stringify({ text, markdown }), messagePlace(marker));

export function turns(context: StoreContext): Pick<Store, 'loadCase' | 'loadTurn' | 'saveTurn'> {
  const { connection } = context;

  async function openCase(channel: string, conversation: string, row: { version: number; body: string } | null) {
    const found = row && (await readKey(context, { channel, conversation, person: ownKey }));
    if (!row || !found) return { state: null, version: 0 };
    const opened = await unseal(found.key, row.body, casePlace(channel, conversation));
    return { state: conversationCase.parse(JSON.parse(opened)), version: row.version };
  }

  /** A message about the post that no attempt was made to send; its words can still be changed. */
  const untried = (postId: number) => sql`post_id = ${postId} AND kind IN ('reply', 'correction') AND state = 'due'
    AND attempts = 0`;

  /** The message of a turn; where the reply to an earlier version has not left yet, that one says the new words instead. */
  async function messageOf(
    key: CryptoKey,
    message: DueMessage,
    { postId, now }: { postId: number; now: number },
    answeredBefore: boolean,
    won: ReturnType<typeof sql>,
  ): Promise<SqlStatement[]> {
    if (!answeredBefore) return [await insertMessage(key, message, now, won)];
    const { rows } = await connection.run(
      compile(sql`SELECT message_id, marker FROM messages WHERE ${untried(postId)} ORDER BY message_id LIMIT 1`),
    );
    const waiting = z.array(untriedRow).parse(rows)[0];
    const correction = { ...message, kind: 'correction' as const };
    const insert = await insertMessage(
      key,
      correction,
      now,
      sql`${won} AND NOT EXISTS (SELECT 1 FROM messages WHERE ${untried(postId)})`,
    );
    if (!waiting) return [insert];
    const body = await sealMessage(key, message, waiting.marker);
    return [
      insert,
      compile(sql`UPDATE messages SET body = ${body}
            WHERE message_id = ${waiting.message_id} AND state = 'due' AND attempts = 0 AND ${won}`),
    ];
  }

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
      return openCase(channel, conversation, z.array(caseRow).parse(rows)[0] ?? null);
    },

    async loadTurn(postId) {
      const { rows } = await connection.run(
        compile(sql`SELECT posts.channel, posts.conversation, cases.version, cases.body,
              EXISTS (SELECT 1 FROM answers WHERE answers.post_id = posts.post_id)
              OR EXISTS (
                SELECT 1 FROM posts AS other WHERE other.channel = posts.channel
                  AND other.conversation = posts.conversation AND other.state = 'answered'
                  AND (cases.version IS NULL OR (other.written_at, other.post_id) > (posts.written_at, posts.post_id))
              ) AS stale
            FROM posts LEFT JOIN cases ON cases.channel = posts.channel AND cases.conversation = posts.conversation
            WHERE posts.post_id = ${postId}`),
      );
      const row = z.array(turnRow).parse(rows)[0];
      if (!row) return { state: null, version: 0, stale: false };
      const { version, body } = row;
      const kept = version === null || body === null ? null : { version, body };
      return { ...(await openCase(row.channel, row.conversation, kept)), stale: row.stale === 1 };
    },

    async saveTurn(turn) {
      const { rows } = await connection.run(
        compile(sql`SELECT channel, conversation, event_id, person, body,
              EXISTS (SELECT 1 FROM answers WHERE answers.post_id = posts.post_id) AS answered
            FROM posts WHERE post_id = ${turn.postId} AND state = 'waiting' AND revised_at = ${turn.revisedAt}`),
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
      const helper = turn.repliedBy ?? null;
      const token = crypto.randomUUID();
      const won = sql`EXISTS (SELECT 1 FROM posts WHERE post_id = ${turn.postId} AND turn = ${token})`;

      const statements = [
        // The gate: whoever settles the post first wins, and the rest of the batch follows the winner's token alone.
        compile(sql`UPDATE posts SET state = ${turn.state}, turn = ${token}, lease_until = 0
              WHERE post_id = ${turn.postId} AND state = 'waiting' AND revised_at = ${turn.revisedAt}
                AND ${turn.caseVersion} = COALESCE(
                  (SELECT version FROM cases WHERE channel = ${channel} AND conversation = ${conversation}), 0)
                AND EXISTS (SELECT 1 FROM body_keys WHERE channel = ${channel} AND conversation = ${conversation}
                  AND person = ${ownKey} AND sealed = ${own.sealed})`),
        // A moderator's word was about the earlier version, so it does not carry over.
        compile(sql`INSERT INTO answers (post_id, channel, conversation, created_at, document, excerpt, danger, surprise,
                first_cause, first_probability, driving, helper_state, helper_by, helper_at)
              SELECT ${turn.postId}, ${channel}, ${conversation}, ${turn.now}, ${document}, ${excerpt}, ${turn.danger},
                CAST(${turn.document.fit.surprise} AS REAL), ${first?.fault ?? null},
                CAST(${first?.probability ?? null} AS REAL), ${turn.document.driving},
                ${helper ? 'done' : turn.helperWanted ? 'wanted' : 'none'}, ${helper}, ${helper ? turn.now : null}
              WHERE ${won}
              ON CONFLICT (post_id) DO UPDATE SET document = excluded.document, excerpt = excluded.excerpt,
                danger = excluded.danger, surprise = excluded.surprise, first_cause = excluded.first_cause,
                first_probability = excluded.first_probability, driving = excluded.driving,
                helper_state = CASE WHEN helper_state = 'taken' THEN helper_state ELSE excluded.helper_state END,
                review_state = 'unreviewed', review_by = NULL, review_reason = NULL, review_at = NULL,
                review_version = review_version + 1
              RETURNING answer_id`),
        ...(turn.message ? await messageOf(own.key, turn.message, turn, post.answered === 1, won) : []),
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
      statements.push(...indexAnswer(turn.postId, turn.document, won));
      const results = await (helper === null
        ? connection.batch(statements)
        : inAuditedBatch(
            context,
            {
              who: helper,
              act: 'reply',
              about: `post ${turn.postId}`,
              details: { message: turn.message?.marker ?? null, characters: turn.message?.text.length ?? 0 },
            },
            turn.now,
            statements,
            won,
          ));
      const answerId = results[1]?.rows[0]?.answer_id;
      return typeof answerId === 'number' ? { answerId } : null;
    },
  };
}
