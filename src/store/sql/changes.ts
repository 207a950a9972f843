// What becomes of a post after it was stored: its writer revises it, or withdraws it. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { Store } from '../store.ts';
import { seal, unseal } from '../vault.ts';
import { ownKey, readKey, type StoreContext } from './body-keys.ts';
import { eventHash, postBody, postPlace } from './posts.ts';
import { compile, query } from './tables.ts';
import { messagePlace } from './turns.ts';

const postRow = z.object({
  post_id: z.number(),
  conversation: z.string(),
  person: z.string(),
  body: z.string(),
  revised_at: z.number(),
});
const triedRow = z.object({ marker: z.string(), platform_id: z.string().nullable() });

export function changes(context: StoreContext): Pick<Store, 'revisePost' | 'withdrawPost'> {
  const { connection } = context;

  async function findPost(channel: string, eventId: string) {
    const { rows } = await connection.run(
      compile(
        query
          .selectFrom('posts')
          .select(['post_id', 'conversation', 'person', 'body', 'revised_at'])
          .where('channel', '=', channel)
          .where('event_id', '=', eventId),
      ),
    );
    const row = z.array(postRow).parse(rows)[0];
    const key = row && (await readKey(context, { channel, conversation: row.conversation, person: row.person }));
    if (!row || !key) return null;
    const opened = await unseal(key.key, row.body, postPlace(channel, row.conversation, eventId));
    return { row, key: key.key, body: postBody.parse(JSON.parse(opened)) };
  }

  return {
    async revisePost({ channel, eventId, text, revisedAt }, now) {
      const found = await findPost(channel, eventId);
      if (!found) return { outcome: 'unknown', conversation: null };
      const { row, key, body } = found;
      const unchanged = { outcome: 'unchanged', conversation: null } as const;
      if (text === body.text || revisedAt <= row.revised_at) return unchanged;
      const sealed = await seal(key, JSON.stringify({ ...body, text }), postPlace(channel, row.conversation, eventId));
      const { rows } = await connection.run(
        compile(sql`UPDATE posts SET body = ${sealed}, revised_at = ${revisedAt}, state = 'waiting', attempts = 0,
              lease_until = 0, lease_from = ${now}
            WHERE post_id = ${row.post_id} AND revised_at < ${revisedAt} RETURNING post_id`),
      );
      return rows.length === 1 ? { outcome: 'revised', conversation: row.conversation } : unchanged;
    },

    async withdrawPost(channel, eventId, marker, now) {
      const tombstone = compile(
        query
          .insertInto('tombstones')
          .values({ event_hash: await eventHash(context, channel, eventId), erased_at: now })
          .onConflict((conflict) => conflict.doNothing()),
      );
      const found = await findPost(channel, eventId);
      if (!found) {
        await connection.run(tombstone);
        return { outcome: 'unknown', conversation: null };
      }
      const { row, body } = found;
      const { conversation } = row;
      const own = await readKey(context, { channel, conversation, person: ownKey });
      const { rows } = await connection.run(
        compile(
          query
            .selectFrom('messages')
            .select(['marker', 'platform_id'])
            .where('post_id', '=', row.post_id)
            .where('kind', 'in', ['reply', 'correction'])
            .where('attempts', '>', 0)
            .where('state', '!=', 'undeliverable')
            .orderBy('message_id', 'desc'),
        ),
      );
      const tried = z.array(triedRow).parse(rows);
      const told = tried.find((message) => message.platform_id !== null) ?? tried[0];
      const withdrawal =
        own && told
          ? [
              compile(sql`INSERT INTO messages (channel, conversation, kind, body, created_at, marker) VALUES (
                    ${channel}, ${conversation}, 'withdrawal', ${await seal(
                      own.key,
                      JSON.stringify({
                        text: withdrawnWords,
                        markdown: withdrawnWords,
                        place: body.place ?? null,
                        replaces: { platformId: told.platform_id, marker: told.marker },
                      }),
                      messagePlace(marker),
                    )}, ${now}, ${marker})`),
            ]
          : [];
      await connection.batch([
        tombstone,
        compile(query.deleteFrom('attachments').where('post_id', '=', row.post_id)),
        compile(query.deleteFrom('answers').where('post_id', '=', row.post_id)),
        compile(query.deleteFrom('messages').where('post_id', '=', row.post_id)),
        compile(query.deleteFrom('cases').where('channel', '=', channel).where('conversation', '=', conversation)),
        compile(query.deleteFrom('posts').where('post_id', '=', row.post_id)),
        ...withdrawal,
      ]);
      await connection.scrub();
      return { outcome: 'withdrawn', conversation };
    },
  };
}

const withdrawnWords = 'The post that this answered was deleted by its writer, so the answer is withdrawn.';
