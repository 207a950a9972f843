// Stored cases worked again under other knowledge: how far a run has come, what it found. A run goes on where it stopped, also
// after a restart. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { BayStore, Rerun, RerunResult } from '../bay-store.ts';
import { openAnswers, wholeAnswers } from './answers.ts';
import { inAuditedBatch } from './audit.ts';
import type { StoreContext } from './body-keys.ts';
import { inCommunities } from './search.ts';
import { compile } from './tables.ts';

const rerunRow = z.object({
  rerun_id: z.number(),
  started_at: z.number(),
  who: z.string(),
  communities: z.string(),
  knowledge: z.string(),
  state: z.enum(['running', 'done', 'stopped']),
  last_answer: z.number(),
  done_to: z.number(),
  done: z.number(),
  total: z.number(),
  finished_at: z.number().nullable(),
});
const resultRow = z.object({
  answer_id: z.number(),
  was_cause: z.string().nullable(),
  was_probability: z.number().nullable(),
  now_cause: z.string().nullable(),
  now_probability: z.number().nullable(),
  fault: z.string().nullable(),
  was_place: z.number().nullable(),
  now_place: z.number().nullable(),
  was_driving: z.string(),
  now_driving: z.string(),
});
const sumRow = z.object({
  results: z.number(),
  moved: z.number(),
  driving: z.number(),
  settled: z.number(),
  wasFirst: z.number(),
  nowFirst: z.number(),
  wasThree: z.number(),
  nowThree: z.number(),
});

const reviewed = sql`(answers.review_state <> 'unreviewed'
  OR EXISTS (SELECT 1 FROM outcomes WHERE outcomes.answer_id = answers.answer_id))`;

type Reruns = Pick<
  BayStore,
  | 'startRerun'
  | 'listReruns'
  | 'readRerun'
  | 'nextOfRerun'
  | 'saveRerunPiece'
  | 'stopRerun'
  | 'listRerunResults'
  | 'sumRerun'
>;

export function reruns(context: StoreContext): Reruns {
  const { connection } = context;
  return {
    async startRerun({ who, communities, knowledge, now }) {
      const [started] = await inAuditedBatch(
        context,
        { who, act: 'rerun', about: `knowledge ${knowledge}`, details: { state: 'started' } },
        now,
        [
          compile(sql`INSERT INTO reruns (started_at, who, communities, knowledge, state, last_answer, total)
            SELECT ${now}, ${who}, ${communities?.join(' ') ?? '*'}, ${knowledge},
              CASE WHEN COUNT(*) = 0 THEN 'done' ELSE 'running' END, COALESCE(MAX(answers.answer_id), 0), COUNT(*)
            FROM answers WHERE ${reviewed} AND ${inCommunities(communities, 'answers.channel')} RETURNING *`),
        ],
        sql`TRUE`,
      );
      return toRerun(rerunRow.parse(started?.rows[0]));
    },

    async listReruns(limit) {
      const { rows } = await connection.run(compile(sql`SELECT * FROM reruns ORDER BY rerun_id DESC LIMIT ${limit}`));
      return z.array(rerunRow).parse(rows).map(toRerun);
    },

    async readRerun(rerunId) {
      const { rows } = await connection.run(compile(sql`SELECT * FROM reruns WHERE rerun_id = ${rerunId}`));
      return z.array(rerunRow).parse(rows).map(toRerun)[0] ?? null;
    },

    async nextOfRerun({ communities, doneTo, lastAnswer }, limit) {
      const { rows } = await connection.run(
        compile(
          wholeAnswers
            .where(sql<boolean>`answers.answer_id > ${doneTo} AND answers.answer_id <= ${lastAnswer}`)
            .where(sql<boolean>`${reviewed} AND ${inCommunities(communities, 'answers.channel')}`)
            .orderBy('answers.answer_id')
            .limit(limit),
        ),
      );
      return openAnswers(context, rows);
    },

    async saveRerunPiece(rerun, results, doneTo, done, now) {
      const { rerunId } = rerun;
      const isDone = doneTo >= rerun.lastAnswer;
      const won = sql`EXISTS (SELECT 1 FROM reruns WHERE rerun_id = ${rerunId} AND done_to = ${doneTo} AND done = ${done})`;
      const statements = [
        compile(sql`UPDATE reruns SET done_to = ${doneTo}, done = ${done},
            state = ${isDone ? 'done' : 'running'}, finished_at = ${isDone ? now : null}
          WHERE rerun_id = ${rerunId} AND state = 'running' AND done_to = ${rerun.doneTo} AND done = ${rerun.done}
          RETURNING rerun_id`),
      ];
      for (const result of results)
        statements.push(
          compile(sql`INSERT OR IGNORE INTO rerun_results SELECT ${rerunId}, ${result.answerId}, ${result.wasCause},
              CAST(${result.wasProbability} AS REAL), ${result.nowCause}, CAST(${result.nowProbability} AS REAL),
              ${result.fault}, ${result.wasPlace}, ${result.nowPlace}, ${result.wasDriving}, ${result.nowDriving}
            WHERE ${won} AND EXISTS (SELECT 1 FROM answers WHERE answer_id = ${result.answerId})`),
        );
      const [saved] = await connection.batch(statements);
      return saved?.rows.length === 1;
    },

    async stopRerun(rerunId, who, now) {
      const [stopped] = await inAuditedBatch(
        context,
        { who, act: 'rerun', about: `rerun ${rerunId}`, details: { state: 'stopped' } },
        now,
        [
          compile(sql`UPDATE reruns SET state = 'stopped', finished_at = ${now}
            WHERE rerun_id = ${rerunId} AND state = 'running' RETURNING rerun_id`),
        ],
        sql`EXISTS (SELECT 1 FROM reruns WHERE rerun_id = ${rerunId} AND state = 'stopped' AND finished_at = ${now})`,
      );
      return stopped?.rows.length === 1;
    },

    async listRerunResults(rerunId, limit, offset) {
      const { rows } = await connection.run(
        compile(sql`SELECT * FROM rerun_results WHERE rerun_id = ${rerunId}
          ORDER BY was_driving <> now_driving DESC, was_cause IS NOT now_cause DESC,
            ABS(COALESCE(was_probability, 0) - COALESCE(now_probability, 0)) DESC, answer_id
          LIMIT ${limit} OFFSET ${offset}`),
      );
      return z.array(resultRow).parse(rows).map(toResult);
    },

    async sumRerun(rerunId) {
      const { rows } = await connection.run(
        compile(sql`SELECT COUNT(*) AS results, COALESCE(SUM(was_cause IS NOT now_cause), 0) AS moved,
            COALESCE(SUM(was_driving <> now_driving), 0) AS driving, COALESCE(SUM(fault IS NOT NULL), 0) AS settled,
            COALESCE(SUM(fault IS NOT NULL AND was_place IS 1), 0) AS wasFirst,
            COALESCE(SUM(fault IS NOT NULL AND now_place IS 1), 0) AS nowFirst,
            COALESCE(SUM(fault IS NOT NULL AND was_place <= 3), 0) AS wasThree,
            COALESCE(SUM(fault IS NOT NULL AND now_place <= 3), 0) AS nowThree
          FROM rerun_results WHERE rerun_id = ${rerunId}`),
      );
      return sumRow.parse(rows[0]);
    },
  };
}

function toRerun(row: z.infer<typeof rerunRow>): Rerun {
  return {
    rerunId: row.rerun_id,
    startedAt: row.started_at,
    who: row.who,
    communities: row.communities === '*' ? null : row.communities.split(' '),
    knowledge: row.knowledge,
    state: row.state,
    lastAnswer: row.last_answer,
    doneTo: row.done_to,
    done: row.done,
    total: row.total,
    finishedAt: row.finished_at,
  };
}

function toResult(row: z.infer<typeof resultRow>): RerunResult {
  return {
    answerId: row.answer_id,
    wasCause: row.was_cause,
    wasProbability: row.was_probability,
    nowCause: row.now_cause,
    nowProbability: row.now_probability,
    fault: row.fault,
    wasPlace: row.was_place,
    nowPlace: row.now_place,
    wasDriving: row.was_driving,
    nowDriving: row.now_driving,
  };
}
