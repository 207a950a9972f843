// Statements that keep the index of answers in step with the answers, for the batches that change them: turns.ts and
// revisions.ts call it. Part of the SQL store.
import { sql } from 'kysely';
import type { AnswerDocument } from '../../vocabulary/answer-document.ts';
import { searchTerms } from '../../vocabulary/search-terms.ts';
import type { SqlStatement } from './connection.ts';
import { compile } from './tables.ts';

/** Puts the answer of a post into the index in the batch that `won` belongs to; what it said in an earlier version goes. */
export function indexAnswer(postId: number, document: AnswerDocument, won: ReturnType<typeof sql>): SqlStatement[] {
  const ofPost = sql`(SELECT answer_id FROM answers WHERE post_id = ${postId} AND ${won})`;
  return [
    compile(sql`DELETE FROM answer_search WHERE rowid = ${ofPost}`),
    // A person's changes were about the words of the earlier version.
    compile(sql`DELETE FROM revisions WHERE answer_id = ${ofPost}`),
    compile(sql`INSERT INTO answer_search (rowid, terms)
      SELECT answer_id, ${searchTerms(document).join(' ')} FROM answers WHERE post_id = ${postId} AND ${won}`),
  ];
}

/** Replaces an answer's terms, within the batch that `won` belongs to. */
export function reindexAnswer(answerId: number, terms: readonly string[], won: ReturnType<typeof sql>): SqlStatement[] {
  return [
    compile(sql`DELETE FROM answer_search WHERE rowid = ${answerId} AND ${won}`),
    compile(sql`INSERT INTO answer_search (rowid, terms) SELECT ${answerId}, ${terms.join(' ')} WHERE ${won}`),
  ];
}
