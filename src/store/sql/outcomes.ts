// What it was in the end: recorded by owner, helper or moderator, held against what the last answer before had said, and looked
// up for cases that are like a new one. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { BayStore } from '../bay-store.ts';
import { outcomeSources } from '../outcome-types.ts';
import { seal, unseal } from '../vault.ts';
import { openAnswers, wholeAnswers } from './answers.ts';
import { inAuditedBatch } from './audit.ts';
import { ownKey, readKey, type StoreContext } from './body-keys.ts';
import { matchAny } from './search.ts';
import { compile } from './tables.ts';

const outcomeRow = z.object({
  answer_id: z.number(),
  source: z.enum(outcomeSources),
  who: z.string(),
  at: z.number(),
  result: z.enum(['fixed', 'not-fixed', 'unknown']),
  fault: z.string().nullable(),
  fault_place: z.number().nullable(),
  fault_probability: z.number().nullable(),
  note: z.string().nullable(),
  version: z.number(),
});
const settledRow = z.object({
  answer_id: z.number(),
  at: z.number(),
  fault: z.string(),
  first_cause: z.string().nullable(),
  first_probability: z.number().nullable(),
  terms: z.string(),
});

const notePlace = (channel: string, conversation: string) => `outcome ${JSON.stringify([channel, conversation])}`;

type Outcomes = Pick<BayStore, 'recordOutcome' | 'readOutcome' | 'listSettled'>;

export function outcomes(context: StoreContext): Outcomes {
  const { connection } = context;
  return {
    async recordOutcome(outcome) {
      const { answerId, source, who, result, now } = outcome;
      const fault = result === 'fixed' ? outcome.fault : null;
      const { rows } = await connection.run(compile(wholeAnswers.where('answers.answer_id', '=', answerId)));
      const [answer] = await openAnswers(context, rows);
      const own = answer && (await readKey(context, { ...answer, person: ownKey }));
      if (!answer || !own) return false;
      const { channel, conversation, document } = answer;
      const index = document.causes.findIndex((cause) => cause.fault === fault);
      const first = document.causes[0];
      const note = outcome.note === '' ? null : await seal(own.key, outcome.note, notePlace(channel, conversation));
      const mine = sql`channel = ${channel} AND conversation = ${conversation} AND version = ${outcome.version + 1}
        AND who = ${who} AND at = ${now} AND source = ${source}`;
      const won = sql`EXISTS (SELECT 1 FROM outcomes WHERE ${mine})`;
      const weight = sql`CASE outcomes.source WHEN 'owner' THEN 0 WHEN 'helper' THEN 1 ELSE 2 END`;
      // The words of the index say what it was, so that a search finds it: "outcome-vacuum-leak".
      const said = fault === null ? [] : [`outcome-${fault}`];
      const settled = fault !== null && fault !== 'outside-the-trade';
      const results = await inAuditedBatch(
        context,
        { who, act: 'outcome', about: `answer ${answerId}`, details: { source, result, fault } },
        now,
        [
          // An answer that no longer is the one held against the outcome leaves the index of settled cases.
          compile(sql`DELETE FROM settled_search WHERE rowid =
            (SELECT answer_id FROM outcomes WHERE channel = ${channel} AND conversation = ${conversation}
              AND version = ${outcome.version} AND ${weight} <= ${outcomeSources.indexOf(source)})`),
          compile(sql`INSERT INTO outcomes (channel, conversation, answer_id, source, who, at, result, fault, fault_place,
                fault_probability, first_cause, first_probability, knowledge, note)
              SELECT ${channel}, ${conversation}, ${answerId}, ${source}, ${who}, ${now}, ${result}, ${fault},
                ${index < 0 ? null : index + 1}, CAST(${document.causes[index]?.probability ?? null} AS REAL),
                ${first?.fault ?? null}, CAST(${first?.probability ?? null} AS REAL), ${document.model.knowledge}, ${note}
              WHERE ${outcome.version} = COALESCE(
                (SELECT version FROM outcomes WHERE channel = ${channel} AND conversation = ${conversation}), 0)
              ON CONFLICT (channel, conversation) DO UPDATE SET answer_id = excluded.answer_id, source = excluded.source,
                who = excluded.who, at = excluded.at, result = excluded.result, fault = excluded.fault,
                fault_place = excluded.fault_place, fault_probability = excluded.fault_probability,
                first_cause = excluded.first_cause, first_probability = excluded.first_probability,
                knowledge = excluded.knowledge, note = excluded.note, version = outcomes.version + 1
              WHERE ${weight} <= ${outcomeSources.indexOf(source)}
              RETURNING outcome_id`),
          compile(sql`DELETE FROM answer_search WHERE rowid = ${answerId} AND ${won}`),
          compile(sql`INSERT INTO answer_search (rowid, terms)
              SELECT ${answerId}, ${[...outcome.terms, ...said].join(' ')} WHERE ${won}`),
          compile(sql`INSERT INTO settled_search (rowid, terms)
              SELECT ${answerId}, ${outcome.likeness.join(' ')} WHERE ${settled ? 1 : 0} = 1 AND ${won}`),
          compile(sql`UPDATE outcome_requests SET state = 'answered'
              WHERE channel = ${channel} AND conversation = ${conversation} AND state = 'asked' AND ${won}`),
        ],
        won,
      );
      return results[1]?.rows.length === 1;
    },

    async readOutcome(channel, conversation) {
      const { rows } = await connection.run(
        compile(sql`SELECT answer_id, source, who, at, result, fault, fault_place, fault_probability, note, version
          FROM outcomes WHERE channel = ${channel} AND conversation = ${conversation}`),
      );
      const row = z.array(outcomeRow).parse(rows)[0];
      if (!row) return null;
      const own = row.note === null ? null : await readKey(context, { channel, conversation, person: ownKey });
      const note = own && row.note !== null ? await unseal(own.key, row.note, notePlace(channel, conversation)) : '';
      const { answer_id: answerId, fault_place: place, fault_probability: probability, ...rest } = row;
      return { ...rest, answerId, place, probability, note };
    },

    async listSettled({ channel, conversation, terms, limit }) {
      const match = matchAny(terms);
      if (match === '') return [];
      const { rows } = await connection.run(
        compile(sql`SELECT outcomes.answer_id, outcomes.at, outcomes.fault, outcomes.first_cause, outcomes.first_probability,
            settled_search.terms
          FROM settled_search JOIN outcomes ON outcomes.answer_id = settled_search.rowid
          WHERE settled_search MATCH ${match} AND outcomes.channel = ${channel}
            AND outcomes.conversation <> ${conversation} AND outcomes.fault IS NOT NULL
          ORDER BY bm25(settled_search), outcomes.answer_id DESC LIMIT ${limit}`),
      );
      const sought = new Set(terms);
      return z
        .array(settledRow)
        .parse(rows)
        .map((row) => ({
          answerId: row.answer_id,
          at: row.at,
          fault: row.fault,
          firstCause: row.first_cause,
          firstProbability: row.first_probability,
          shared: row.terms.split(' ').filter((term) => sought.has(term)),
        }));
    },
  };
}
