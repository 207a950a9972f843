// The database of the Workers runtime. worker.ts opens it on its binding; everything above speaks SqlConnection.
import { Problem } from '../../vocabulary/problems.ts';
import type { SqlConnection, SqlStatement } from '../sql/connection.ts';

/** What D1 says when it is its own fault and the database is sound (its documentation, "Debug D1"). */
const passing =
  /network connection lost|storage caused object to be reset|reset because its code was updated|cannot resolve d1 db|overloaded|timed? ?out|too many requests/i;

export function openD1(database: D1Database): SqlConnection {
  const bind = ({ sql, parameters }: SqlStatement) => database.prepare(sql).bind(...parameters);
  return {
    async run(statement) {
      return refusing(async () => ({ rows: (await bind(statement).all<Record<string, unknown>>()).results }));
    },
    async batch(statements) {
      if (statements.length === 0) return [];
      return refusing(async () => {
        const results = await database.batch<Record<string, unknown>>(statements.map(bind));
        return results.map(({ results: rows }) => ({ rows }));
      });
    },
    async scrub() {
      // D1 refuses to clean free pages and keeps its own history for days: there the destroyed key does the erasing.
    },
    async close() {
      // The runtime owns the binding.
    },
  };
}

async function refusing<Result>(work: () => Promise<Result>): Promise<Result> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof Error && passing.test(error.message))
      throw new Problem('unavailable', 'the database cannot be used just now', { cause: error });
    throw error;
  }
}
