// Asking owners once what it was: who is due, the open question behind a link, and those who do not want to be asked. Part of
// the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { BayStore } from '../bay-store.ts';
import { openAnswers, wholeAnswers } from './answers.ts';
import { auditName, inAuditedBatch } from './audit.ts';
import { ownKey, readKey, type StoreContext } from './body-keys.ts';
import { compile } from './tables.ts';
import { insertMessage } from './turns.ts';

const candidateRow = z.object({
  answer_id: z.number(),
  post_id: z.number(),
  channel: z.string(),
  conversation: z.string(),
  person: z.string(),
  created_at: z.number(),
});

type Requests = Pick<BayStore, 'listOutcomeCandidates' | 'askOutcome' | 'readOutcomeRequest' | 'closeOutcomeRequest'>;

export function outcomeRequests(context: StoreContext): Requests {
  const { connection } = context;
  return {
    async listOutcomeCandidates(from, to, channels, limit) {
      const { rows } = await connection.run(
        compile(sql`SELECT answers.answer_id, answers.post_id, answers.channel, answers.conversation, posts.person, answers.created_at
          FROM answers JOIN posts ON posts.post_id = answers.post_id
          WHERE answers.created_at >= ${from} AND answers.created_at < ${to}
            AND answers.channel IN (${sql.join([...channels, ''])})
            AND answers.first_probability IS NOT NULL AND answers.first_cause <> 'outside-the-trade'
            AND answers.review_state <> 'withdrawn'
            AND NOT EXISTS (SELECT 1 FROM answers AS later WHERE later.channel = answers.channel
              AND later.conversation = answers.conversation AND later.answer_id > answers.answer_id)
            AND NOT EXISTS (SELECT 1 FROM outcomes WHERE outcomes.channel = answers.channel
              AND outcomes.conversation = answers.conversation)
            AND NOT EXISTS (SELECT 1 FROM outcome_requests AS asked WHERE asked.channel = answers.channel
              AND asked.conversation = answers.conversation)
            AND NOT EXISTS (SELECT 1 FROM outcome_requests AS declined
              WHERE declined.state = 'declined' AND declined.person = posts.person)
          ORDER BY answers.created_at LIMIT ${limit}`),
      );
      return z
        .array(candidateRow)
        .parse(rows)
        .map(({ answer_id: answerId, post_id: postId, created_at: createdAt, ...rest }) => ({
          ...rest,
          answerId,
          postId,
          createdAt,
        }));
    },

    async askOutcome({ answerId, channel, conversation, person }, tokenHash, message, now) {
      const own = await readKey(context, { channel, conversation, person: ownKey });
      if (!own) return false;
      const won = sql`EXISTS (SELECT 1 FROM outcome_requests WHERE token_hash = ${tokenHash})`;
      const [asked] = await connection.batch([
        compile(sql`INSERT INTO outcome_requests (channel, conversation, person, answer_id, token_hash, asked_at, state)
          SELECT ${channel}, ${conversation}, ${person}, ${answerId}, ${tokenHash}, ${now}, 'asked'
          WHERE EXISTS (SELECT 1 FROM answers WHERE answer_id = ${answerId})
          ON CONFLICT DO NOTHING RETURNING answer_id`),
        await insertMessage(own.key, message, now, won),
      ]);
      return asked?.rows.length === 1;
    },

    async readOutcomeRequest(tokenHash) {
      const { rows } = await connection.run(
        compile(
          wholeAnswers.where(
            sql<boolean>`answers.answer_id = (SELECT MAX(later.answer_id) FROM outcome_requests AS asked
              JOIN answers AS later ON later.channel = asked.channel AND later.conversation = asked.conversation
              WHERE asked.token_hash = ${tokenHash} AND asked.state = 'asked')`,
          ),
        ),
      );
      const [answer] = await openAnswers(context, rows);
      return answer ? { answer } : null;
    },

    async closeOutcomeRequest(tokenHash, state, now) {
      const { rows } = await connection.run(
        compile(sql`SELECT channel, conversation FROM outcome_requests WHERE token_hash = ${tokenHash}`),
      );
      const found = z.array(z.object({ channel: z.string(), conversation: z.string() })).parse(rows)[0];
      if (!found) return false;
      const [closed] = await inAuditedBatch(
        context,
        {
          who: '(owner)',
          act: 'outcome',
          about: await auditName(context, 'conversation', found.channel, found.conversation),
          details: { question: state },
        },
        now,
        [
          compile(sql`UPDATE outcome_requests SET state = ${state}
            WHERE token_hash = ${tokenHash} AND state = 'asked' RETURNING answer_id`),
        ],
        sql`EXISTS (SELECT 1 FROM outcome_requests WHERE token_hash = ${tokenHash} AND state = ${state})`,
      );
      return closed?.rows.length === 1;
    },
  };
}
