// Changed findings: the answer worked out anew, the case that the next post builds on, the moderator's word and the message to
// the owner, in one batch. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import { answerDocument } from '../../vocabulary/answer-document.ts';
import { findingChange } from '../../vocabulary/finding-change.ts';
import type { BayStore, Revision } from '../bay-store.ts';
import { seal, unseal } from '../vault.ts';
import { reindexAnswer } from './answer-index.ts';
import { changedBy, reasonPlace } from './answers.ts';
import { inAuditedBatch } from './audit.ts';
import { ownKey, readKey, type StoreContext } from './body-keys.ts';
import { compile, query } from './tables.ts';
import { casePlace, insertMessage } from './turns.ts';

const place = z.object({ channel: z.string(), conversation: z.string() });
const row = z.object({ answer_id: z.number(), who: z.string(), at: z.number(), body: z.string() });
const body = z.object({ changes: z.array(findingChange), document: answerDocument });

const revisionPlace = (answerId: number, who: string, at: number) => `revision ${answerId} ${at} ${who}`;

type Revisions = Pick<BayStore, 'reviseAnswer' | 'listRevisions' | 'listFindingChanges'>;

export function revisions(context: StoreContext): Revisions {
  const { connection } = context;

  async function listRevisions(channel: string, conversation: string): Promise<Revision[]> {
    const own = await readKey(context, { channel, conversation, person: ownKey });
    if (!own) return [];
    const { rows } = await connection.run(
      compile(sql`SELECT answer_id, who, at, body FROM revisions
          WHERE channel = ${channel} AND conversation = ${conversation} ORDER BY revision_id LIMIT 200`),
    );
    const list: Revision[] = [];
    for (const { answer_id: answerId, who, at, body: sealed } of z.array(row).parse(rows)) {
      const opened = await unseal(own.key, sealed, revisionPlace(answerId, who, at));
      list.push({ answerId, who, at, ...body.parse(JSON.parse(opened)) });
    }
    return list;
  }

  return {
    listRevisions,

    async listFindingChanges(channel, conversation) {
      return (await listRevisions(channel, conversation)).flatMap(({ changes }) => changes);
    },

    async reviseAnswer(revision) {
      const { answerId, by, now, caseVersion } = revision;
      const { rows } = await connection.run(
        compile(query.selectFrom('answers').select(['channel', 'conversation']).where('answer_id', '=', answerId)),
      );
      const where = z.array(place).parse(rows)[0];
      const own = where && (await readKey(context, { ...where, person: ownKey }));
      if (!where || !own) return false;
      const { channel, conversation } = where;
      const token = crypto.randomUUID();
      const won = changedBy(answerId, token);
      const words = JSON.stringify({ changes: revision.changes, document: revision.document });
      const sealed = await seal(own.key, words, revisionPlace(answerId, by, now));
      const next = await seal(own.key, JSON.stringify(revision.next), casePlace(channel, conversation));
      const [changed] = await inAuditedBatch(
        context,
        {
          who: by,
          act: 'change-findings',
          about: `answer ${answerId}`,
          details: { changes: revision.changes.length, version: revision.version + 1, told: revision.message.marker },
        },
        now,
        [
          compile(sql`UPDATE answers SET review_state = 'corrected', review_by = ${by}, review_at = ${now},
              review_reason = ${await seal(own.key, revision.reason, reasonPlace(answerId))},
              review_version = ${revision.version + 1}, change = ${token}
            WHERE answer_id = ${answerId} AND review_version = ${revision.version}
              AND EXISTS (SELECT 1 FROM cases WHERE channel = ${channel} AND conversation = ${conversation}
                AND version = ${caseVersion})
            RETURNING answer_id`),
          compile(sql`INSERT INTO revisions (answer_id, channel, conversation, who, at, body)
            SELECT ${answerId}, ${channel}, ${conversation}, ${by}, ${now}, ${sealed} WHERE ${won}`),
          compile(sql`UPDATE cases SET body = ${next}, version = ${caseVersion + 1}, updated_at = ${now}
            WHERE channel = ${channel} AND conversation = ${conversation} AND ${won}`),
          ...reindexAnswer(answerId, revision.terms, won),
          await insertMessage(own.key, revision.message, now, won),
        ],
        won,
      );
      return changed?.rows.length === 1;
    },
  };
}
