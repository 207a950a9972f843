// The index of answers by terms, and looking through whole posts of one community. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import { searchTerms } from '../../vocabulary/search-terms.ts';
import type { BayStore, Communities } from '../bay-store.ts';
import { conditionOf, openAnswers, openSummaries, openWholePosts, summaryColumns, wholeAnswers } from './answers.ts';
import type { StoreContext } from './body-keys.ts';
import { compile } from './tables.ts';

/** Terms of one search at most, so that a pasted page is no heavier than a line. */
const mostSoughtTerms = 12;

/** All the terms, each from its beginning; quoted, so that no sign of the query language means anything. */
export function matchAll(terms: readonly string[]): string {
  return quoted(terms)
    .map((term) => `${term}*`)
    .join(' AND ');
}

/** Any of the terms, whole. */
export function matchAny(terms: readonly string[]): string {
  return quoted(terms, 60).join(' OR ');
}

function quoted(terms: readonly string[], most = mostSoughtTerms): string[] {
  return terms
    .map((term) => term.toLowerCase().replaceAll(/[^\p{L}\p{N}.-]/gu, ''))
    .filter((term) => /[\p{L}\p{N}]/u.test(term))
    .slice(0, most)
    .map((term) => `"${term}"`);
}

/** A condition on a table's `channel`. */
export function inCommunities(communities: Communities, column = 'channel'): ReturnType<typeof sql> {
  return communities === null ? sql`TRUE` : sql`${sql.ref(column)} IN (${sql.join([...communities, ''])})`;
}

type Search = Pick<BayStore, 'searchAnswers' | 'listWholePosts' | 'listCommunities' | 'indexAnswers'>;

export function search(context: StoreContext): Search {
  const { connection } = context;
  return {
    async searchAnswers({ terms, filter, limit }) {
      const match = matchAll(terms);
      if (match === '') return [];
      const columns = sql.join(summaryColumns.map((column) => sql.ref(`answers.${column}`)));
      const { rows } = await connection.run(
        compile(sql`SELECT ${columns} FROM answer_search JOIN answers ON answers.answer_id = answer_search.rowid
          WHERE answer_search MATCH ${match} AND answer_search.rowid < ${filter.before ?? Number.MAX_SAFE_INTEGER}
            AND ${conditionOf({ ...filter, before: null })}
          ORDER BY answer_search.rowid DESC LIMIT ${limit}`),
      );
      return openSummaries(context, rows);
    },

    async listWholePosts(community, before, limit) {
      const columns = sql.join(summaryColumns.map((column) => sql.ref(`answers.${column}`)));
      const { rows } = await connection.run(
        compile(sql`SELECT ${columns}, posts.event_id, posts.person, posts.body
          FROM answers JOIN posts ON posts.post_id = answers.post_id
          WHERE answers.channel = ${community} AND answers.answer_id < ${before ?? Number.MAX_SAFE_INTEGER}
          ORDER BY answers.answer_id DESC LIMIT ${limit}`),
      );
      return openWholePosts(context, rows);
    },

    async listCommunities() {
      // From name to name by the index: a plain DISTINCT would read every row.
      const { rows } = await connection.run(
        compile(sql`WITH RECURSIVE names (channel) AS (
            SELECT MIN(channel) FROM answers
            UNION ALL SELECT (SELECT MIN(channel) FROM answers WHERE channel > names.channel) FROM names
              WHERE names.channel IS NOT NULL
          ) SELECT channel FROM names WHERE channel IS NOT NULL LIMIT 100`),
      );
      return z
        .array(z.object({ channel: z.string() }))
        .parse(rows)
        .map(({ channel }) => channel);
    },

    async indexAnswers(limit) {
      const { rows } = await connection.run(
        compile(
          wholeAnswers
            .where(sql<boolean>`NOT EXISTS (SELECT 1 FROM answer_search WHERE rowid = answers.answer_id)`)
            .orderBy('answers.answer_id')
            .limit(limit),
        ),
      );
      for (const answer of await openAnswers(context, rows)) {
        const terms = searchTerms(answer.document).join(' ');
        await connection.run(
          compile(sql`INSERT INTO answer_search (rowid, terms) SELECT ${answer.answerId}, ${terms}
            WHERE EXISTS (SELECT 1 FROM answers WHERE answer_id = ${answer.answerId})
              AND NOT EXISTS (SELECT 1 FROM answer_search WHERE rowid = ${answer.answerId})`),
        );
      }
      return z.array(z.unknown()).parse(rows).length;
    },
  };
}
