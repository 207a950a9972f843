// The inbox: posts in, claimed in order, given back or settled. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import { Problem } from '../../vocabulary/problems.ts';
import type { Store } from '../store.ts';
import { seal } from '../vault.ts';
import { insertAttachments } from './attachments.ts';
import { insertKey, ownKey, readKey, type StoreContext } from './body-keys.ts';
import { deliveries } from './deliveries.ts';
import { isFree } from './leases.ts';
import { eventHash, openPosts, personOf, postColumns, postPlace } from './posts.ts';
import { compile, query } from './tables.ts';

type Inbox = Pick<
  Store,
  | 'acceptPost'
  | 'readPost'
  | 'findPost'
  | 'conversationToken'
  | 'listPosts'
  | 'listAnsweredPosts'
  | 'claimWaitingPosts'
  | 'claimNextPost'
  | 'releasePost'
  | 'releaseLeases'
>;

/** Posts of a conversation that are read again at once, at most. */
const historyLimit = 500;

export function inbox(context: StoreContext): Inbox {
  const { connection, vault } = context;
  const webhooks = deliveries(context);

  /** Leases the first waiting post of each conversation that `which` lets through. */
  async function claim(now: number, leaseMs: number, limit: number, which: ReturnType<typeof sql>) {
    const { rows } = await connection.run(
      compile(sql`UPDATE posts SET lease_until = ${now + leaseMs}, lease_from = ${now}, attempts = attempts + 1
            WHERE post_id IN (
              SELECT post_id FROM posts AS first
              WHERE state = 'waiting' AND ${isFree(now)} AND ${which}
                AND NOT EXISTS (
                  SELECT 1 FROM posts AS earlier
                  WHERE earlier.state = 'waiting' AND earlier.channel = first.channel
                    AND earlier.conversation = first.conversation
                    AND (earlier.written_at, earlier.post_id) < (first.written_at, first.post_id)
                )
              ORDER BY post_id LIMIT ${limit}
            )
            RETURNING ${sql.join(postColumns.map((column) => sql.ref(column)))}`),
    );
    const posts = await openPosts(context, rows);
    return posts.sort((a, b) => a.postId - b.postId);
  }

  return {
    async acceptPost(post, now, leaseMs) {
      const person = await personOf(context, post.channel, post.author);
      const hash = await eventHash(context, post.channel, post.eventId);
      const delivery = post.delivery && (await webhooks.remember(post.channel, post.delivery, now));
      const places = [person, ownKey].map((name) => ({
        channel: post.channel,
        conversation: post.conversation,
        person: name,
      }));
      const body = JSON.stringify({
        author: post.author,
        text: post.text,
        callerId: post.callerId,
        ...(post.place === undefined ? {} : { place: post.place }),
        ...(post.helperReply === undefined ? {} : { helperReply: post.helperReply }),
        ...(post.attachments?.length ? { attached: post.attachments.length } : {}),
      });
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
        if (before[0]) {
          if (delivery) await connection.batch([delivery.statement]);
          return { fresh: false, postId: before[0].post_id, claimed: false };
        }
        const attached = await insertAttachments(keys[0]!.key, post, sealed);
        const results = await connection.batch([
          ...places.map((place, index) => insertKey(place, keys[index]!.sealed)),
          ...(delivery ? [delivery.statement] : []),
          compile(sql`INSERT INTO posts
                  (channel, event_id, conversation, person, body, received_at, written_at, lease_from, lease_until, attempts)
                SELECT ${post.channel}, ${post.eventId}, ${post.conversation}, ${person}, ${sealed}, ${now},
                  ${
                    post.writtenAt ??
                    // By our own clock a later arrival stands later, also when the clock was set back.
                    sql`MAX(${now}, COALESCE((SELECT MAX(written_at) FROM posts WHERE channel = ${post.channel}
                      AND conversation = ${post.conversation}), 0))`
                  },
                  ${now}, CASE WHEN first THEN ${now + leaseMs} ELSE 0 END, first
                FROM (
                  SELECT ${leaseMs} > 0 AND NOT EXISTS (
                    SELECT 1 FROM posts WHERE state = 'waiting' AND channel = ${post.channel}
                      AND conversation = ${post.conversation}
                  ) AS first
                )
                WHERE NOT EXISTS (SELECT 1 FROM tombstones WHERE event_hash = ${hash})
                  AND ${delivery ? delivery.isOurs : sql`TRUE`}
                  AND EXISTS (
                    SELECT 1 FROM body_keys WHERE channel = ${post.channel} AND conversation = ${post.conversation}
                      AND person = ${person} AND sealed = ${keys[0]!.sealed}
                  )
                ON CONFLICT DO NOTHING RETURNING post_id, attempts`),
          ...attached,
        ]);
        const inserted = results[places.length + (delivery ? 1 : 0)]?.rows[0];
        if (typeof inserted?.post_id === 'number')
          return { fresh: true, postId: inserted.post_id, claimed: inserted.attempts === 1 };
        if (post.delivery) {
          const known = await webhooks.findDelivery(post.channel, post.delivery.id, post.delivery.bodyHash);
          if (known === 'other-body')
            throw new Problem(
              'conflict',
              'This webhook-id came with another body before: send new events under new ids.',
            );
        }
      }
      throw new Error('a post could be neither stored nor found');
    },

    async readPost(postId) {
      const { rows } = await connection.run(
        compile(query.selectFrom('posts').select(postColumns).where('post_id', '=', postId)),
      );
      return (await openPosts(context, rows))[0] ?? null;
    },

    async findPost(channel, eventId) {
      const { rows } = await connection.run(
        compile(
          query.selectFrom('posts').select(postColumns).where('channel', '=', channel).where('event_id', '=', eventId),
        ),
      );
      return (await openPosts(context, rows))[0] ?? null;
    },

    conversationToken: (channel, conversation) => vault.pseudonym('conversation token', channel, conversation),

    async listPosts(state, limit) {
      const { rows } = await connection.run(
        compile(
          query.selectFrom('posts').select(postColumns).where('state', '=', state).orderBy('post_id').limit(limit),
        ),
      );
      return openPosts(context, rows);
    },

    async listAnsweredPosts(channel, conversation) {
      const { rows } = await connection.run(
        compile(
          query
            .selectFrom('posts')
            .select(postColumns)
            .where('channel', '=', channel)
            .where('conversation', '=', conversation)
            .where('state', '=', 'answered')
            .orderBy('written_at')
            .orderBy('post_id')
            .limit(historyLimit),
        ),
      );
      return openPosts(context, rows);
    },

    claimWaitingPosts: (now, leaseMs, limit) => claim(now, leaseMs, limit, sql`TRUE`),

    async claimNextPost(channel, conversation, now, leaseMs) {
      const which = sql`channel = ${channel} AND conversation = ${conversation}`;
      return (await claim(now, leaseMs, 1, which))[0] ?? null;
    },

    async releaseLeases() {
      await connection.batch([
        compile(sql`UPDATE posts SET lease_until = 0 WHERE state = 'waiting'`),
        compile(sql`UPDATE messages SET lease_until = 0 WHERE state = 'due' AND in_flight = 1`),
      ]);
    },

    async releasePost(postId, retryAt, now) {
      await connection.run(
        compile(
          query
            .updateTable('posts')
            .set({ lease_until: retryAt, lease_from: now })
            .where('post_id', '=', postId)
            .where('state', '=', 'waiting'),
        ),
      );
    },
  };
}
