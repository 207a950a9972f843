// Brings a database file up to date at start: every migration not yet recorded, in order of its number, each in one
// transaction with its record. When there is data already, a copy of the file is made first. node.ts and admin.ts call it.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type Database from 'better-sqlite3';

export interface Migration {
  /** `0001_first.sql`; the number decides the order. */
  readonly name: string;
  readonly sql: string;
}

const migrationsFolder = fileURLToPath(new URL('../migrations', import.meta.url));

export function readMigrations(folder = migrationsFolder): Migration[] {
  return readdirSync(folder)
    .filter((name) => /^\d{4}_[a-z0-9_-]+\.sql$/.test(name))
    .sort()
    .map((name) => ({ name, sql: readFileSync(`${folder}/${name}`, 'utf8') }));
}

/**
 * Applies what is missing.
 *
 * @param file where the database lives; the copy stands beside it as `<file>.before-<migration>`; null makes no copy
 * @returns names of the migrations applied, and where the copy is (null when there was nothing to copy)
 * @throws when the file was written by a newer program, or a migration fails; the failed one leaves no trace
 */
export async function migrate(
  database: Database.Database,
  file: string | null,
  migrations: readonly Migration[] = readMigrations(),
): Promise<{ applied: string[]; copy: string | null }> {
  database.exec('CREATE TABLE IF NOT EXISTS migrations (name TEXT PRIMARY KEY) STRICT');
  const done = new Set(database.prepare('SELECT name FROM migrations').pluck().all() as string[]);
  const unknown = [...done].filter((name) => !migrations.some((migration) => migration.name === name));
  if (unknown.length > 0)
    throw new Error(`the database was written by a newer program (it has ${unknown.join(', ')}): start that one`);
  const missing = migrations.filter((migration) => !done.has(migration.name));
  let copy: string | null = null;
  if (file !== null && done.size > 0 && missing[0] !== undefined) {
    copy = `${file}.before-${missing[0].name.replace(/\.sql$/, '')}`;
    // A copy from an earlier, interrupted start is of the same state: the migration that it precedes has not run.
    if (!existsSync(copy)) database.prepare('VACUUM INTO ?').run(copy);
  }
  for (const migration of missing)
    database
      .transaction(() => {
        database.exec(migration.sql);
        database.prepare('INSERT INTO migrations (name) VALUES (?)').run(migration.name);
      })
      .immediate();
  return { applied: missing.map((migration) => migration.name), copy };
}
