// Logged answers, the helper's queue and the moderator's word. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import { answerDocument } from '../../vocabulary/answer-document.ts';
import type { AnswerFilter, AnswerSummary, Store, StoredAnswer } from '../store.ts';
import { seal, unseal } from '../vault.ts';
import { inAuditedBatch } from './audit.ts';
import { keyReader, ownKey, readKey, type StoreContext } from './body-keys.ts';
import { postPlace } from './posts.ts';
import { compile, query } from './tables.ts';
import { documentPlace, excerptPlace, insertMessage } from './turns.ts';

const helperState = z.enum(['none', 'wanted', 'taken', 'done']);
const reviewState = z.enum(['unreviewed', 'standing', 'corrected', 'withdrawn']);

const summaryRow = z.object({
  answer_id: z.number(),
  post_id: z.number(),
  channel: z.string(),
  conversation: z.string(),
  created_at: z.number(),
  excerpt: z.string(),
  danger: z.number(),
  surprise: z.number(),
  first_cause: z.string().nullable(),
  first_probability: z.number().nullable(),
  driving: z.string(),
  helper_state: helperState,
  review_state: reviewState,
});
export const summaryColumns = [
  'answer_id',
  'post_id',
  'channel',
  'conversation',
  'created_at',
  'excerpt',
  'danger',
  'surprise',
  'first_cause',
  'first_probability',
  'driving',
  'helper_state',
  'review_state',
] as const;

/** Of the post that an answer belongs to. */
const postColumns = { event_id: z.string(), person: z.string(), body: z.string() };

const answerRow = z.object({
  answer_id: z.number(),
  post_id: z.number(),
  channel: z.string(),
  conversation: z.string(),
  created_at: z.number(),
  document: z.string(),
  helper_state: helperState,
  helper_by: z.string().nullable(),
  review_state: reviewState,
  review_by: z.string().nullable(),
  review_reason: z.string().nullable(),
  review_at: z.number().nullable(),
  review_version: z.number(),
  ...postColumns,
});

export const reasonPlace = (answerId: number) => `reason ${answerId}`;

/** True within a batch whose first statement changed the answer under this token. */
export const changedBy = (answerId: number, token: string) =>
  sql`EXISTS (SELECT 1 FROM answers WHERE answer_id = ${answerId} AND change = ${token})`;

/** What a filter lets through, as a condition on `answers`. */
export function conditionOf(filter: Partial<AnswerFilter>): ReturnType<typeof sql> {
  const { review, helper, communities, look, driving, helperBy, before } = filter;
  const conditions = [
    ...(review ? [sql`answers.review_state = ${review}`] : []),
    ...(helper ? [sql`answers.helper_state = ${helper}`] : []),
    // The plus keeps the index of communities out of it: the order of the list decides which index serves.
    ...(communities ? [sql`+answers.channel IN (${sql.join([...communities, ''])})`] : []),
    ...(look ? [sql`answers.look = 1`] : []),
    ...(driving ? [sql`answers.driving = ${driving}`] : []),
    ...(helperBy && 'is' in helperBy ? [sql`answers.helper_by = ${helperBy.is}`] : []),
    ...(helperBy && 'not' in helperBy ? [sql`answers.helper_by <> ${helperBy.not}`] : []),
    ...(before ? [sql`answers.answer_id < ${before}`] : []),
  ];
  return conditions.length === 0 ? sql`TRUE` : sql.join(conditions, sql` AND `);
}

/** Answers of one conversation that are read at once, at most. */
const conversationLimit = 200;

/** Answers with the post that they belong to. */
export const wholeAnswers = query
  .selectFrom('answers')
  .innerJoin('posts', 'posts.post_id', 'answers.post_id')
  .select([
    'answers.answer_id',
    'answers.post_id',
    'answers.channel',
    'answers.conversation',
    'answers.created_at',
    'answers.document',
    'answers.helper_state',
    'answers.helper_by',
    'answers.review_state',
    'answers.review_by',
    'answers.review_reason',
    'answers.review_at',
    'answers.review_version',
    'posts.event_id',
    'posts.person',
    'posts.body',
  ]);

/** Rows of `wholeAnswers` -> answers; one whose key is gone was erased between two statements and is left out. */
export async function openAnswers(context: StoreContext, rows: readonly unknown[]): Promise<StoredAnswer[]> {
  const keyOf = keyReader(context);
  const list: StoredAnswer[] = [];
  for (const row of z.array(answerRow).parse(rows)) {
    const { channel, conversation } = row;
    const own = await keyOf({ channel, conversation, person: ownKey });
    const writer = await keyOf({ channel, conversation, person: row.person });
    if (!own || !writer) continue;
    const post = await unseal(writer, row.body, postPlace(channel, conversation, row.event_id));
    const document = await unseal(own, row.document, documentPlace(row.post_id));
    list.push({
      answerId: row.answer_id,
      postId: row.post_id,
      channel,
      conversation,
      createdAt: row.created_at,
      postText: z.object({ text: z.string() }).parse(JSON.parse(post)).text,
      document: answerDocument.parse(JSON.parse(document)),
      helper: { state: row.helper_state, by: row.helper_by },
      review: {
        state: row.review_state,
        by: row.review_by,
        reason: row.review_reason === null ? null : await unseal(own, row.review_reason, reasonPlace(row.answer_id)),
        at: row.review_at,
        version: row.review_version,
      },
    });
  }
  return list;
}

/** Rows of `summaryColumns` -> lines of a list. */
export async function openSummaries(context: StoreContext, rows: readonly unknown[]): Promise<AnswerSummary[]> {
  const keyOf = keyReader(context);
  const summaries: AnswerSummary[] = [];
  for (const row of z.array(summaryRow).parse(rows)) {
    const key = await keyOf({ channel: row.channel, conversation: row.conversation, person: ownKey });
    if (key) summaries.push(toSummary(row, await unseal(key, row.excerpt, excerptPlace(row.post_id))));
  }
  return summaries;
}

/** The same with the post's event, writer and body: the whole post stands in place of its first words. */
export async function openWholePosts(context: StoreContext, rows: readonly unknown[]): Promise<AnswerSummary[]> {
  const keyOf = keyReader(context);
  const summaries: AnswerSummary[] = [];
  for (const row of z.array(summaryRow.extend(postColumns)).parse(rows)) {
    const { channel, conversation, person } = row;
    const key = await keyOf({ channel, conversation, person });
    if (!key) continue;
    const opened = await unseal(key, row.body, postPlace(channel, conversation, row.event_id));
    summaries.push(toSummary(row, z.object({ text: z.string() }).parse(JSON.parse(opened)).text));
  }
  return summaries;
}

function toSummary(row: z.infer<typeof summaryRow>, excerpt: string): AnswerSummary {
  return {
    answerId: row.answer_id,
    channel: row.channel,
    createdAt: row.created_at,
    excerpt,
    danger: row.danger,
    surprise: row.surprise,
    firstCause: row.first_cause,
    firstProbability: row.first_probability,
    driving: row.driving,
    helper: row.helper_state,
    review: row.review_state,
  };
}

type Answers = Pick<
  Store,
  | 'readAnswerOfPost'
  | 'listAnswers'
  | 'readAnswer'
  | 'listConversationAnswers'
  | 'moveHelperState'
  | 'sendHelperReply'
  | 'reviewAnswer'
>;

export function answers(context: StoreContext): Answers {
  const { connection } = context;

  /** The conversation's own key, by one of its answers. */
  async function keyOfAnswer(answerId: number): Promise<CryptoKey | null> {
    const { rows } = await connection.run(
      compile(query.selectFrom('answers').select(['channel', 'conversation']).where('answer_id', '=', answerId)),
    );
    const place = z.array(z.object({ channel: z.string(), conversation: z.string() })).parse(rows)[0];
    return place ? ((await readKey(context, { ...place, person: ownKey }))?.key ?? null) : null;
  }

  return {
    async readAnswerOfPost(postId) {
      const { rows } = await connection.run(compile(wholeAnswers.where('answers.post_id', '=', postId)));
      return (await openAnswers(context, rows))[0] ?? null;
    },

    async readAnswer(answerId) {
      const { rows } = await connection.run(compile(wholeAnswers.where('answers.answer_id', '=', answerId)));
      return (await openAnswers(context, rows))[0] ?? null;
    },

    async listConversationAnswers(channel, conversation) {
      const { rows } = await connection.run(
        compile(
          wholeAnswers
            .where('answers.channel', '=', channel)
            .where('answers.conversation', '=', conversation)
            .orderBy('answers.answer_id')
            .limit(conversationLimit),
        ),
      );
      return openAnswers(context, rows);
    },

    async listAnswers(filter) {
      let list = query
        .selectFrom('answers')
        .select(summaryColumns)
        .where(sql<boolean>`${conditionOf(filter)}`);
      list =
        filter.order === 'newest'
          ? list.orderBy('answer_id', 'desc')
          : list.orderBy('danger', 'desc').orderBy('created_at').orderBy('first_probability').orderBy('answer_id');
      const { rows } = await connection.run(compile(list.limit(filter.limit).offset(filter.offset)));
      return openSummaries(context, rows);
    },

    async moveHelperState(answerId, from, to, by, now) {
      const token = crypto.randomUUID();
      const [moved] = await inAuditedBatch(
        context,
        { who: by, act: to === 'taken' ? 'take' : 'hand-back', about: `answer ${answerId}`, details: { from, to } },
        now,
        [
          compile(
            query
              .updateTable('answers')
              .set({
                helper_state: to,
                helper_by: to === 'wanted' || to === 'none' ? null : by,
                helper_at: now,
                change: token,
              })
              .where('answer_id', '=', answerId)
              .where('helper_state', '=', from)
              .where((where) => where.or([where('helper_state', '!=', 'taken'), where('helper_by', '=', by)]))
              .returning('answer_id'),
          ),
        ],
        changedBy(answerId, token),
      );
      return moved?.rows.length === 1;
    },

    async sendHelperReply(answerId, by, message, now) {
      const key = await keyOfAnswer(answerId);
      if (!key) return false;
      const token = crypto.randomUUID();
      const won = changedBy(answerId, token);
      const results = await inAuditedBatch(
        context,
        {
          who: by,
          act: 'reply',
          about: `answer ${answerId}`,
          details: { message: message.marker, characters: message.text.length },
        },
        now,
        [
          compile(
            query
              .updateTable('answers')
              .set({ helper_state: 'done', helper_at: now, change: token })
              .where('answer_id', '=', answerId)
              .where('helper_state', '=', 'taken')
              .where('helper_by', '=', by)
              .returning('answer_id'),
          ),
          await insertMessage(key, message, now, won),
        ],
        won,
      );
      return results[0]?.rows.length === 1;
    },

    async reviewAnswer(review) {
      const key = await keyOfAnswer(review.answerId);
      if (!key) return false;
      const token = crypto.randomUUID();
      const won = changedBy(review.answerId, token);
      const results = await inAuditedBatch(
        context,
        {
          who: review.by,
          act: 'review',
          about: `answer ${review.answerId}`,
          details: { state: review.state, version: review.version + 1, told: review.message?.marker ?? null },
        },
        review.now,
        [
          compile(
            query
              .updateTable('answers')
              .set({
                review_state: review.state,
                review_by: review.by,
                review_reason: await seal(key, review.reason, reasonPlace(review.answerId)),
                review_at: review.now,
                review_version: review.version + 1,
                change: token,
              })
              .where('answer_id', '=', review.answerId)
              .where('review_version', '=', review.version)
              .returning('answer_id'),
          ),
          ...(review.message ? [await insertMessage(key, review.message, review.now, won)] : []),
        ],
        won,
      );
      return results[0]?.rows.length === 1;
    },
  };
}
