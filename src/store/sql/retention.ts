// What is kept of a person, handed out, and what is over its time, erased. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { BayStore } from '../bay-store.ts';
import type { Store } from '../store.ts';
import { openAnswers, wholeAnswers } from './answers.ts';
import { auditName, inAuditedBatch, removedHashName, removedToName } from './audit.ts';
import type { StoreContext } from './body-keys.ts';
import { personOf } from './posts.ts';
import { compile } from './tables.ts';

const placeRow = z.object({ channel: z.string(), conversation: z.string() });

/** Posts of one person that are handed out at most; far beyond what anybody writes. */
const mostPosts = 5000;
const mostEntries = 500;

type Retention = Pick<BayStore, 'exportPerson' | 'readAuthor' | 'claimHousekeeping' | 'eraseOld'>;

export function retention(
  context: StoreContext,
  store: Pick<Store, 'eraseConversation' | 'readPost' | 'readAttachments' | 'readConversation'>,
): Retention {
  const { connection } = context;

  async function removeOldAudit(before: number, now: number): Promise<number> {
    const { rows } = await connection.run(
      compile(sql`SELECT entry, hash FROM audit WHERE at < ${before}
        AND entry < (SELECT MIN(entry) FROM audit WHERE at >= ${before}) ORDER BY entry DESC LIMIT 1`),
    );
    const last = z.array(z.object({ entry: z.number(), hash: z.string() })).parse(rows)[0];
    if (!last) return 0;
    const [, , removed] = await inAuditedBatch(
      context,
      { who: '(program)', act: 'retention', about: 'audit', details: { removedTo: last.entry, hash: last.hash } },
      now,
      [
        ...[
          [removedToName, String(last.entry)],
          [removedHashName, last.hash],
        ].map(([name, value]) =>
          compile(sql`INSERT INTO settings (name, value) VALUES (${name}, ${value})
            ON CONFLICT (name) DO UPDATE SET value = excluded.value`),
        ),
        compile(sql`DELETE FROM audit WHERE entry <= ${last.entry} RETURNING entry`),
      ],
      sql`TRUE`,
    );
    return removed?.rows.length ?? 0;
  }

  return {
    async exportPerson(channel, author, now, who) {
      const person = await personOf(context, channel, author);
      const { rows } = await connection.run(
        compile(sql`SELECT post_id, conversation FROM posts WHERE channel = ${channel} AND person = ${person}
          ORDER BY post_id LIMIT ${mostPosts}`),
      );
      const own = z.array(z.object({ post_id: z.number(), conversation: z.string() })).parse(rows);
      const posts = [];
      for (const { post_id: postId } of own) {
        const post = await store.readPost(postId);
        if (post)
          posts.push({
            conversation: post.conversation,
            receivedAt: post.receivedAt,
            text: post.text,
            attachments: await store.readAttachments(postId),
          });
      }
      const ids = new Set(own.map(({ post_id: postId }) => postId));
      const answers = [];
      const messages = [];
      for (const conversation of new Set(own.map((post) => post.conversation))) {
        const found = await connection.run(
          compile(
            wholeAnswers
              .where('answers.channel', '=', channel)
              .where('answers.conversation', '=', conversation)
              .orderBy('answers.answer_id'),
          ),
        );
        for (const { postId, createdAt, document } of await openAnswers(context, found.rows))
          if (ids.has(postId)) answers.push({ conversation, createdAt, document });
        for (const entry of await store.readConversation(channel, conversation, mostEntries))
          if (entry.kind !== 'post' && (entry.postId === null || ids.has(entry.postId)))
            messages.push({ conversation, createdAt: entry.at, text: entry.text });
      }
      await inAuditedBatch(
        context,
        {
          who,
          act: 'export',
          about: await auditName(context, 'person', channel, author),
          details: { channel, posts: posts.length },
        },
        now,
        [],
        sql`TRUE`,
      );
      return { channel, author, posts, answers, messages };
    },

    async readAuthor(postId) {
      return (await store.readPost(postId))?.author ?? null;
    },

    async claimHousekeeping(now, everyMs) {
      const { rows } = await connection.run(
        compile(sql`INSERT INTO settings (name, value) VALUES ('housekeeping', ${String(now)})
          ON CONFLICT (name) DO UPDATE SET value = excluded.value
            WHERE CAST(settings.value AS INTEGER) <= ${now - everyMs} OR CAST(settings.value AS INTEGER) > ${now + everyMs}
          RETURNING name`),
      );
      return rows.length === 1;
    },

    async eraseOld({ conversationsBefore, messagesBefore, auditBefore, tombstonesBefore, most, now }) {
      const { rows } = await connection.run(
        compile(sql`SELECT channel, conversation FROM posts GROUP BY channel, conversation
          HAVING MAX(received_at) < ${conversationsBefore} LIMIT ${most}`),
      );
      const old = z.array(placeRow).parse(rows);
      for (const { channel, conversation } of old)
        await store.eraseConversation(channel, conversation, now, '(program)');
      const [lost] = await connection.batch([
        compile(
          sql`DELETE FROM messages WHERE state = 'undeliverable' AND created_at < ${messagesBefore} RETURNING message_id`,
        ),
        compile(sql`DELETE FROM sessions WHERE expires_at <= ${now}`),
        compile(sql`DELETE FROM sign_in_links WHERE expires_at <= ${now}`),
        compile(sql`DELETE FROM tombstones WHERE erased_at < ${tombstonesBefore}`),
      ]);
      const messages = lost?.rows.length ?? 0;
      const audit = await removeOldAudit(auditBefore, now);
      if (old.length + messages > 0)
        await inAuditedBatch(
          context,
          { who: '(program)', act: 'retention', about: 'store', details: { conversations: old.length, messages } },
          now,
          [],
          sql`TRUE`,
        );
      return { conversations: old.length, messages, audit };
    },
  };
}
