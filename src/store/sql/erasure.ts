// Erasing: the keys go first, so that the words are lost wherever a copy still lies; the rows go with them, and keyed hashes of
// the event ids stay, so that a late second copy brings nothing back. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { Store } from '../store.ts';
import { auditName, inAuditedBatch } from './audit.ts';
import { ownKey, type StoreContext } from './body-keys.ts';
import type { SqlStatement } from './connection.ts';
import { eventHash, personOf } from './posts.ts';
import { compile, query } from './tables.ts';

const eventRow = z.object({ channel: z.string(), event_id: z.string() });

/** Tombstones in one statement; with two values each this stays below D1's 100 bound values. */
const tombstonesPerStatement = 40;

export function erasure(context: StoreContext): Pick<Store, 'eraseConversation' | 'erasePerson'> {
  const { connection } = context;

  async function tombstones(rows: readonly unknown[], now: number): Promise<SqlStatement[]> {
    const events = z.array(eventRow).parse(rows);
    const hashes = await Promise.all(events.map((event) => eventHash(context, event.channel, event.event_id)));
    const statements: SqlStatement[] = [];
    for (let at = 0; at < hashes.length; at += tombstonesPerStatement)
      statements.push(
        compile(
          query
            .insertInto('tombstones')
            .values(hashes.slice(at, at + tombstonesPerStatement).map((hash) => ({ event_hash: hash, erased_at: now })))
            .onConflict((conflict) => conflict.doNothing()),
        ),
      );
    return statements;
  }

  /** What quotes everybody: the case, the answers, the messages and the channel's records of a conversation. */
  const sharedRows = (channel: string, conversation: string): SqlStatement[] =>
    (['answers', 'messages', 'cases', 'channel_records'] as const).map((table) =>
      compile(query.deleteFrom(table).where('channel', '=', channel).where('conversation', '=', conversation)),
    );

  return {
    async eraseConversation(channel, conversation, now, who = '(owner)') {
      const about = await auditName(context, 'conversation', channel, conversation);
      let removed = 0;
      // A post that arrives between reading and deleting is caught by the next round.
      for (let round = 0; round < 5; round += 1) {
        const { rows } = await connection.run(
          compile(
            query
              .selectFrom('posts')
              .select(['post_id', 'channel', 'event_id'])
              .where('channel', '=', channel)
              .where('conversation', '=', conversation),
          ),
        );
        if (rows.length === 0 && round > 0) break;
        const statements = [
          compile(
            query.deleteFrom('body_keys').where('channel', '=', channel).where('conversation', '=', conversation),
          ),
          ...(await tombstones(rows, now)),
          ...sharedRows(channel, conversation),
          compile(sql`DELETE FROM attachments WHERE post_id IN
                (SELECT post_id FROM posts WHERE channel = ${channel} AND conversation = ${conversation})`),
          compile(
            query
              .deleteFrom('posts')
              .where('channel', '=', channel)
              .where('conversation', '=', conversation)
              .where(
                'post_id',
                '<=',
                rows.reduce((last, row) => Math.max(last, Number(row.post_id)), 0),
              ),
          ),
        ];
        await inAuditedBatch(
          context,
          { who, act: 'erase', about, details: { channel, posts: rows.length } },
          now,
          statements,
          sql`TRUE`,
        );
        removed += rows.length;
      }
      await connection.scrub();
      return removed;
    },

    async erasePerson(channel, author, now, who = '(owner)') {
      const person = await personOf(context, channel, author);
      const { rows } = await connection.run(
        compile(
          query
            .selectFrom('posts')
            .select(['post_id', 'channel', 'conversation', 'event_id'])
            .where('channel', '=', channel)
            .where('person', '=', person),
        ),
      );
      const conversations = new Set(
        z
          .array(z.object({ conversation: z.string() }))
          .parse(rows)
          .map((row) => row.conversation),
      );
      const statements = await tombstones(rows, now);
      statements.push(compile(query.deleteFrom('body_keys').where('person', '=', person)));
      statements.push(
        compile(sql`DELETE FROM attachments WHERE post_id IN
              (SELECT post_id FROM posts WHERE channel = ${channel} AND person = ${person})`),
        compile(query.deleteFrom('posts').where('channel', '=', channel).where('person', '=', person)),
      );
      for (const conversation of conversations) {
        statements.push(...sharedRows(channel, conversation));
        // Where others wrote too, the conversation goes on, under a new key.
        const { sealed } = await context.vault.makeKey();
        statements.push(
          compile(
            sql`DELETE FROM body_keys WHERE channel = ${channel} AND conversation = ${conversation} AND person = ${ownKey}`,
          ),
          compile(
            sql`INSERT INTO body_keys (channel, conversation, person, sealed)
              SELECT ${channel}, ${conversation}, ${ownKey}, ${sealed}
              WHERE EXISTS (SELECT 1 FROM posts WHERE channel = ${channel} AND conversation = ${conversation})`,
          ),
        );
      }
      await inAuditedBatch(
        context,
        {
          who,
          act: 'erase',
          about: await auditName(context, 'person', channel, author),
          details: { channel, posts: rows.length, conversations: conversations.size },
        },
        now,
        statements,
        sql`TRUE`,
      );
      await connection.scrub();
      return rows.length;
    },
  };
}
