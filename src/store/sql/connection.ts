// The little that the statements need of a database: run one, or several as one all-or-nothing batch. sqlite/ and d1/ each
// implement it; sql-store.ts calls it.
export type SqlValue = string | number | null;

export interface SqlStatement {
  readonly sql: string;
  readonly parameters: readonly SqlValue[];
}

export interface SqlResult {
  readonly rows: ReadonlyArray<Readonly<Record<string, unknown>>>;
}

export interface SqlConnection {
  /** Runs one statement. @throws Problem `unavailable` when the database is locked, full or out of reach */
  run(statement: SqlStatement): Promise<SqlResult>;
  /**
   * Runs all statements in order as one transaction: all of them take effect, durably, or none does.
   *
   * @returns one result for each statement
   * @throws Problem `unavailable` as `run` does; nothing has changed then, or on a lost connection the outcome is unknown
   */
  batch(statements: readonly SqlStatement[]): Promise<SqlResult[]>;
  /** Overwrites what deleted rows leave behind in the database's files, where the database lets us. */
  scrub(): Promise<void>;
  close(): Promise<void>;
}
