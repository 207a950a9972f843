// The store of one machine, ready to use: file, migrations, master key. node.ts and admin.ts open it.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { fromBase64, toBase64 } from '../../vocabulary/base64.ts';
import { Problem } from '../../vocabulary/problems.ts';
import type { BayStore } from '../bay-store.ts';
import { openSqlStore } from '../sql/sql-store.ts';
import { masterKeyBytes, openVault } from '../vault.ts';
import { migrate } from './migrate.ts';
import { openSqlite, type SqliteConnection } from './sqlite-connection.ts';

export interface OpenedStore {
  readonly store: BayStore;
  readonly connection: SqliteConnection;
  /** Names of the migrations applied just now, and where the copy from before them stands. */
  readonly applied: readonly string[];
  readonly copy: string | null;
  /** Where the development key stands; null when a key was given. */
  readonly developmentKey: string | null;
}

/**
 * Opens or creates the database file.
 *
 * @param key 32 bytes in base64; null makes or reads a development key beside the file (`<file>.key`, mode 0600)
 * @throws Problem `invalid` or `unavailable` with one sentence for the person who starts the program
 */
export async function openStore(file: string, key: string | null): Promise<OpenedStore> {
  const developmentKey = key === null ? `${resolve(file)}.key` : null;
  const masterKey = fromBase64(masterKeyOf(file, key));
  const connection = openFile(file);
  try {
    const { applied, copy } = await migrate(connection.database, file);
    return {
      store: await openSqlStore(connection, await openVault(masterKey)),
      connection,
      applied,
      copy,
      developmentKey,
    };
  } catch (error) {
    await connection.close();
    throw error;
  }
}

/** The given key, or the development key beside the file, made when there is no database yet [base64]. */
export function masterKeyOf(file: string, key: string | null): string {
  return key ?? readDevelopmentKey(file, existsSync(file));
}

function openFile(file: string): SqliteConnection {
  try {
    mkdirSync(dirname(resolve(file)), { recursive: true });
    return openSqlite(file);
  } catch (error) {
    throw new Problem(
      'unavailable',
      `the database ${file} cannot be opened: check that it may be read and written and is a database`,
      {
        cause: error,
      },
    );
  }
}

function readDevelopmentKey(file: string, databaseExists: boolean): string {
  const place = `${file}.key`;
  try {
    if (existsSync(place)) return checkKey(readFileSync(place, 'utf8').trim(), place);
    if (databaseExists)
      throw new Problem(
        'invalid',
        `CROSSCOUNT_KEY is not set and ${place} is missing: the database ${file} cannot be read without its key`,
      );
    const made = toBase64(crypto.getRandomValues(new Uint8Array(masterKeyBytes)));
    mkdirSync(dirname(resolve(file)), { recursive: true });
    writeFileSync(place, `${made}\n`, { mode: 0o600, flag: 'wx' });
    return made;
  } catch (error) {
    if (error instanceof Problem) throw error;
    throw new Problem('unavailable', `the development key ${place} cannot be read or written`, { cause: error });
  }
}

function checkKey(key: string, place: string): string {
  if (!/^[A-Za-z0-9+/]{43}=$/.test(key))
    throw new Problem('invalid', `${place} holds no key of ${masterKeyBytes} bytes in base64`);
  return key;
}
