// The inbox: posts in, claimed in order, given back or settled. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { Store, StoredPost } from '../store.ts';
import { seal, unseal } from '../vault.ts';
import { insertKey, keyReader, ownKey, readKey, type StoreContext } from './body-keys.ts';
import { compile, query } from './tables.ts';

const postRow = z.object({
  post_id: z.number(),
  channel: z.string(),
  event_id: z.string(),
  conversation: z.string(),
  person: z.string(),
  body: z.string(),
  received_at: z.number(),
  state: z.enum(['waiting', 'answered', 'failed']),
  attempts: z.number(),
});
const postBody = z.object({ author: z.string(), text: z.string(), callerId: z.string().nullable() });

const postColumns = [
  'post_id',
  'channel',
  'event_id',
  'conversation',
  'person',
  'body',
  'received_at',
  'state',
  'attempts',
] as const;

/** Where the words of a post stand, so that a sealed text cannot be moved under another event. */
export const postPlace = (channel: string, conversation: string, eventId: string) =>
  `post ${JSON.stringify([channel, conversation, eventId])}`;

export const eventHash = (context: StoreContext, channel: string, eventId: string) =>
  context.vault.pseudonym('event', channel, eventId);

export const personOf = (context: StoreContext, channel: string, author: string) =>
  context.vault.pseudonym('person', channel, author);

type Inbox = Pick<
  Store,
  'acceptPost' | 'readPost' | 'listPosts' | 'claimWaitingPosts' | 'claimNextPost' | 'releasePost'
>;

export function inbox(context: StoreContext): Inbox {
  const { connection, vault } = context;

  /** Rows -> posts; a post whose key is gone was erased between two statements and is left out. */
  async function openPosts(rows: readonly unknown[]): Promise<StoredPost[]> {
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
        state: row.state,
        attempts: row.attempts,
      });
    }
    return posts.sort((a, b) => a.postId - b.postId);
  }

  /** Leases the first waiting post of each conversation that `which` lets through. */
  async function claim(now: number, leaseMs: number, limit: number, which: ReturnType<typeof sql>) {
    const { rows } = await connection.run(
      compile(sql`UPDATE posts SET lease_until = ${now + leaseMs}, attempts = attempts + 1
            WHERE post_id IN (
              SELECT post_id FROM posts AS first
              WHERE state = 'waiting' AND lease_until <= ${now} AND ${which}
                AND NOT EXISTS (
                  SELECT 1 FROM posts AS earlier
                  WHERE earlier.state = 'waiting' AND earlier.channel = first.channel
                    AND earlier.conversation = first.conversation AND earlier.post_id < first.post_id
                )
              ORDER BY post_id LIMIT ${limit}
            )
            RETURNING ${sql.join(postColumns.map((column) => sql.ref(column)))}`),
    );
    return openPosts(rows);
  }

  return {
    async acceptPost(post, now, leaseMs) {
      const person = await personOf(context, post.channel, post.author);
      const hash = await eventHash(context, post.channel, post.eventId);
      const places = [person, ownKey].map((name) => ({
        channel: post.channel,
        conversation: post.conversation,
        person: name,
      }));
      const body = JSON.stringify({ author: post.author, text: post.text, callerId: post.callerId });
      // A second round is needed only when another copy of the program makes or erases the key between reading and storing.
      for (let round = 0; round < 5; round += 1) {
        const keys = await Promise.all(
          places.map(async (place) => (await readKey(context, place)) ?? (await vault.makeKey())),
        );
        const sealed = await seal(keys[0]!.key, body, postPlace(post.channel, post.conversation, post.eventId));
        const settled = await connection.run(
          compile(
            query
              .selectFrom('tombstones')
              .select(sql<number | null>`NULL`.as('post_id'))
              .where('event_hash', '=', hash)
              .unionAll(
                query
                  .selectFrom('posts')
                  .select('post_id')
                  .where('channel', '=', post.channel)
                  .where('event_id', '=', post.eventId),
              ),
          ),
        );
        const before = z.array(z.object({ post_id: z.number().nullable() })).parse(settled.rows);
        if (before[0]) return { fresh: false, postId: before[0].post_id, claimed: false };
        const results = await connection.batch([
          ...places.map((place, index) => insertKey(place, keys[index]!.sealed)),
          compile(sql`INSERT INTO posts (channel, event_id, conversation, person, body, received_at, lease_until, attempts)
                SELECT ${post.channel}, ${post.eventId}, ${post.conversation}, ${person}, ${sealed}, ${now},
                  CASE WHEN first THEN ${now + leaseMs} ELSE 0 END, first
                FROM (
                  SELECT ${leaseMs} > 0 AND NOT EXISTS (
                    SELECT 1 FROM posts WHERE state = 'waiting' AND channel = ${post.channel}
                      AND conversation = ${post.conversation}
                  ) AS first
                )
                WHERE NOT EXISTS (SELECT 1 FROM tombstones WHERE event_hash = ${hash})
                  AND EXISTS (
                    SELECT 1 FROM body_keys WHERE channel = ${post.channel} AND conversation = ${post.conversation}
                      AND person = ${person} AND sealed = ${keys[0]!.sealed}
                  )
                ON CONFLICT DO NOTHING RETURNING post_id, attempts`),
        ]);
        const inserted = results.at(-1)?.rows[0];
        if (typeof inserted?.post_id === 'number')
          return { fresh: true, postId: inserted.post_id, claimed: inserted.attempts === 1 };
      }
      throw new Error('a post could be neither stored nor found');
    },

    async readPost(postId) {
      const { rows } = await connection.run(
        compile(query.selectFrom('posts').select(postColumns).where('post_id', '=', postId)),
      );
      return (await openPosts(rows))[0] ?? null;
    },

    async listPosts(state, limit) {
      const { rows } = await connection.run(
        compile(
          query.selectFrom('posts').select(postColumns).where('state', '=', state).orderBy('post_id').limit(limit),
        ),
      );
      return openPosts(rows);
    },

    claimWaitingPosts: (now, leaseMs, limit) => claim(now, leaseMs, limit, sql`TRUE`),

    async claimNextPost(channel, conversation, now, leaseMs) {
      const which = sql`channel = ${channel} AND conversation = ${conversation}`;
      return (await claim(now, leaseMs, 1, which))[0] ?? null;
    },

    async releasePost(postId, retryAt) {
      await connection.run(
        compile(
          query
            .updateTable('posts')
            .set({ lease_until: retryAt })
            .where('post_id', '=', postId)
            .where('state', '=', 'waiting'),
        ),
      );
    },
  };
}
