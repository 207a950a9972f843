// Puts the migration files into a local D1 database, as `wrangler d1 migrations apply` does, for the tests that use one.
import { readMigrations } from '../../src/store/sqlite/migrate.ts';

export async function migrateD1(database: D1Database): Promise<void> {
  for (const { sql } of readMigrations())
    await database.batch(
      sql
        .replaceAll(/^--.*$/gm, '')
        // A trigger's body stands on the line of the trigger.
        .split(/;[ \t]*\n/)
        .filter((statement) => statement.trim() !== '')
        .map((statement) => database.prepare(statement)),
    );
}
