// The database of the Workers runtime. worker.ts opens it on its binding; everything above speaks SqlConnection.
import { Problem } from '../../vocabulary/problems.ts';
import type { SqlConnection, SqlStatement } from '../sql/connection.ts';

/** What D1 says when it is its own fault and the database is sound (its documentation, "Debug D1"). */
const passing =
  /network connection lost|storage caused object to be reset|reset because its code was updated|cannot resolve d1 db|overloaded|timed? ?out|too many requests/i;

/** The same, where another attempt soon afterwards makes sense; an overload only grows by it. */
const soonOver =
  /network connection lost|storage caused object to be reset|reset because its code was updated|cannot resolve d1 db/i;

/** Attempts at one statement or batch, and the longest pause before the second [ms]; each later one may be twice as long. */
const mostAttempts = 3;
const longestPauseMs = 100;

/**
 * Trouble that is soon over is tried again here. That is safe also when the lost attempt took effect: every change of the store is
 * conditional, so its second run changes nothing, and whoever misses its outcome finds the state by reading. (A lease taken in a lost
 * attempt runs out by itself.)
 */
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
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await work();
    } catch (error) {
      if (!(error instanceof Error) || !passing.test(error.message)) throw error;
      if (attempt >= mostAttempts || !soonOver.test(error.message))
        throw new Problem('unavailable', 'the database cannot be used just now', { cause: error });
      await new Promise((resolve) => setTimeout(resolve, Math.random() * longestPauseMs * 2 ** (attempt - 1)));
    }
  }
}
