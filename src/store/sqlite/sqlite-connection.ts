// The embedded database of one machine. node.ts and admin.ts open it; everything above speaks SqlConnection.
import Database from 'better-sqlite3';
import { Problem } from '../../vocabulary/problems.ts';
import type { SqlConnection, SqlResult, SqlStatement } from '../sql/connection.ts';

/** How long a statement waits for another process [ms]. The wait blocks everything, so it stays below a platform's 3 s. */
const busyTimeoutMs = 1500;

export interface SqliteConnection extends SqlConnection {
  /** The driver itself, for migrations and backups. */
  readonly database: Database.Database;
}

/** Opens or creates the file. @throws when it cannot be opened or is not a database */
export function openSqlite(file: string): SqliteConnection {
  const database = new Database(file, { timeout: busyTimeoutMs });
  database.pragma('journal_mode = WAL');
  // The driver's own default in WAL mode is NORMAL, which loses acknowledged posts when the power fails.
  database.pragma('synchronous = FULL');
  database.pragma('foreign_keys = ON');
  database.pragma('trusted_schema = OFF');
  database.pragma('secure_delete = ON');
  database.pragma('journal_size_limit = 16777216');
  const prepared = new Map<string, Database.Statement>();
  const prepare = (sql: string): Database.Statement => {
    const known = prepared.get(sql);
    if (known) return known;
    const statement = database.prepare(sql);
    // List lengths make different texts; the bound keeps the cache from growing with them.
    if (prepared.size < 200) prepared.set(sql, statement);
    return statement;
  };
  const runOne = ({ sql, parameters }: SqlStatement): SqlResult => {
    const statement = prepare(sql);
    if (statement.reader) return { rows: statement.all(...parameters) as Array<Record<string, unknown>> };
    statement.run(...parameters);
    return { rows: [] };
  };
  // IMMEDIATE: a transaction that reads first and then writes would fail at once when another process wrote meanwhile.
  // Inside the shared one below it becomes a savepoint, so that a batch that fails takes back its own changes alone.
  const runAll = database.transaction((statements: readonly SqlStatement[]) => statements.map(runOne));
  const inOneCommit = database.transaction((jobs: readonly Job[]): Outcome[] =>
    jobs.map(({ statements }) => {
      try {
        return { results: runAll(statements) };
      } catch (error) {
        // The whole transaction is gone then (disk full, input or output error), not this batch alone.
        if (!database.inTransaction) throw error;
        return { error };
      }
    }),
  ).immediate;

  // Everything that wants to write while a commit waits for the disk goes into the next one together: one sync for all. Each
  // caller still hears nothing before its own changes are durable.
  let waiting: Job[] = [];
  const commitWaiting = () => {
    const jobs = waiting;
    waiting = [];
    try {
      const outcomes = refusing(() => inOneCommit(jobs));
      for (const [index, outcome] of outcomes.entries()) {
        if ('results' in outcome) jobs[index]!.resolve(outcome.results);
        else jobs[index]!.reject(translate(outcome.error));
      }
    } catch (error) {
      for (const job of jobs) job.reject(error);
    }
  };
  const write = (statements: readonly SqlStatement[]) =>
    new Promise<SqlResult[]>((resolve, reject) => {
      waiting.push({ statements, resolve, reject });
      if (waiting.length === 1) setImmediate(commitWaiting);
    });

  return {
    database,
    async run(statement) {
      if (refusing(() => prepare(statement.sql).readonly)) return refusing(() => runOne(statement));
      return (await write([statement]))[0]!;
    },
    batch: write,
    async scrub() {
      // Deleted rows are overwritten (secure_delete), but their last copy may still stand in the write-ahead log.
      refusing(() => database.pragma('wal_checkpoint(TRUNCATE)'));
    },
    async close() {
      database.close();
    },
  };
}

interface Job {
  readonly statements: readonly SqlStatement[];
  readonly resolve: (results: SqlResult[]) => void;
  readonly reject: (error: unknown) => void;
}
type Outcome = { readonly results: SqlResult[] } | { readonly error: unknown };

function refusing<Result>(work: () => Result): Result {
  try {
    return work();
  } catch (error) {
    throw translate(error);
  }
}

/** What the outside may do to a database turns into a Problem; anything else is our own mistake and stays as it is. */
function translate(error: unknown): unknown {
  const code = error instanceof Database.SqliteError ? error.code : '';
  if (/^SQLITE_(BUSY|LOCKED|FULL|IOERR|READONLY|CANTOPEN|CORRUPT|NOTADB)/.test(code))
    return new Problem('unavailable', 'the database cannot be used just now', { cause: error });
  return error;
}
