// Puts a backup in the place of the database, while the server is stopped. admin.ts calls it.
import { copyFileSync, existsSync, renameSync, rmSync } from 'node:fs';
import Database from 'better-sqlite3';
import { Problem } from '../../vocabulary/problems.ts';
import type { StoreCounts } from '../store.ts';
import { masterKeyOf, openStore } from './open-store.ts';

/**
 * Checks the backup, keeps the present database beside it, and puts the backup in its place.
 *
 * @param key as for `openStore`: the key of the backup is the key of the database that it was made from
 * @returns what the backup holds, and where the database from before stands (null when there was none)
 * @throws Problem `invalid` when the backup is no backup or has another key, `unavailable` while the server runs; nothing is
 *   changed then
 */
export async function restoreStore(
  file: string,
  backup: string,
  key: string | null,
): Promise<{ counts: StoreCounts; before: string | null }> {
  if (!existsSync(backup)) throw new Problem('invalid', `there is no file ${backup}`);
  const incoming = `${file}.restoring`;
  rmSync(incoming, { force: true });
  try {
    copyFileSync(backup, incoming);
    const { store } = await openStore(incoming, masterKeyOf(file, key));
    const counts = await store.counts();
    await store.close();
    const before = existsSync(file) ? setAside(file) : null;
    renameSync(incoming, file);
    return { counts, before };
  } finally {
    for (const rest of ['', '-wal', '-shm']) rmSync(`${incoming}${rest}`, { force: true });
  }
}

function setAside(file: string): string {
  const database = new Database(file, { timeout: 500 });
  try {
    // Leaving the write-ahead log is possible only for the one connection that is left, and makes the file whole.
    database.pragma('journal_mode = DELETE');
  } catch (error) {
    throw new Problem('unavailable', 'the database is in use: stop the server first', { cause: error });
  } finally {
    database.close();
  }
  let number = 1;
  while (existsSync(`${file}.before-restore-${number}`)) number += 1;
  renameSync(file, `${file}.before-restore-${number}`);
  return `${file}.before-restore-${number}`;
}
