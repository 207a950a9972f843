// The store suite on a SQLite file, and what only the file can show: syncing, locks, migrations, the wrong key.
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, describe, expect, it } from 'vitest';
import { openSqlStore } from '../../src/store/sql/sql-store.ts';
import { migrate, readMigrations } from '../../src/store/sqlite/migrate.ts';
import { openSqlite } from '../../src/store/sqlite/sqlite-connection.ts';
import { openVault } from '../../src/store/vault.ts';
import { baySuite } from './bay-suite.ts';
import { changesSuite } from './changes-suite.ts';
import { channelRecordsSuite } from './channel-records-suite.ts';
import { storeSuite } from './store-suite.ts';

const folder = mkdtempSync(join(tmpdir(), 'crosscount-store-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
let files = 0;
const newFile = () => {
  files += 1;
  return join(folder, `store-${files}.sqlite`);
};
const masterKey = (byte: number) => new Uint8Array(32).fill(byte);

async function openStore(file: string, key = masterKey(7)) {
  const connection = openSqlite(file);
  await migrate(connection.database, file);
  return { connection, store: await openSqlStore(connection, await openVault(key)) };
}

const openForSuite = async () => {
  const file = newFile();
  const { store } = await openStore(file);
  return {
    store,
    // The raw bytes of database and write-ahead log, free pages included.
    allText: async () =>
      [file, `${file}-wal`]
        .filter((name) => existsSync(name))
        .map((name) => readFileSync(name, 'latin1'))
        .join('\n'),
    close: () => store.close(),
  };
};

storeSuite('SQLite', openForSuite);
baySuite('SQLite', openForSuite);
changesSuite('SQLite', openForSuite);
channelRecordsSuite('SQLite', openForSuite);

const post = { eventId: 'e', channel: 'web', conversation: 'c', author: 'a', text: 'rough idle', callerId: null };

describe('the SQLite file', () => {
  it('syncs every commit, keeps a write-ahead log and overwrites what is deleted', async () => {
    const { connection, store } = await openStore(newFile());
    const pragma = (name: string) => connection.database.pragma(name, { simple: true });
    expect([pragma('journal_mode'), pragma('synchronous'), pragma('secure_delete')]).toEqual(['wal', 2, 1]);
    await store.close();
  });

  it('keeps everything over a restart', async () => {
    const file = newFile();
    const first = await openStore(file);
    const { postId } = await first.store.acceptPost(post, 5, 0);
    await first.store.close();
    const second = await openStore(file);
    expect(await second.store.readPost(postId!)).toMatchObject({ text: 'rough idle', receivedAt: 5 });
    await second.store.close();
  });

  it('refuses another master key with one clear sentence', async () => {
    const file = newFile();
    await (await openStore(file)).store.close();
    await expect(openStore(file, masterKey(8))).rejects.toThrow(
      'the database was written with another CROSSCOUNT_KEY: set the one it was made with',
    );
  });

  it('answers `unavailable` when another process holds the file, soon enough for a platform that waits 3 s', async () => {
    const file = newFile();
    const { store } = await openStore(file);
    const other = new Database(file);
    other.exec('BEGIN IMMEDIATE');
    const started = performance.now();
    await expect(store.acceptPost(post, 1, 0)).rejects.toMatchObject({ name: 'Problem', code: 'unavailable' });
    expect(performance.now() - started).toBeLessThan(2500);
    other.exec('ROLLBACK');
    other.close();
    expect((await store.acceptPost(post, 2, 0)).fresh).toBe(true);
    await store.close();
  });

  it('commits what comes together in one go, and takes back only the batch that fails', async () => {
    const { connection, store } = await openStore(newFile());
    const statement = (sql: string) => ({ sql, parameters: [] });
    const add = (name: string) => statement(`INSERT INTO settings (name, value) VALUES ('${name}', '')`);
    const results = await Promise.allSettled([
      connection.batch([add('one')]),
      connection.batch([add('two'), add('one')]),
      connection.batch([add('three')]),
    ]);
    expect(results.map((result) => result.status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
    const { rows } = await connection.run(statement("SELECT name FROM settings WHERE value = '' ORDER BY name"));
    expect(rows.map((row) => row.name)).toEqual(['one', 'three']);
    await store.close();
  });

  it('answers `unavailable` when it may not write', async () => {
    const { connection, store } = await openStore(newFile());
    connection.database.pragma('query_only = ON');
    await expect(store.ping(1)).rejects.toMatchObject({ code: 'unavailable' });
    await store.close();
  });

  it('leaves neither sealed words nor keys of an erased conversation in its files', async () => {
    const file = newFile();
    const { connection, store } = await openStore(file);
    await store.acceptPost({ ...post, eventId: 'other', conversation: 'other' }, 1, 0);
    await store.acceptPost(post, 1, 0);
    const secrets = connection.database
      .prepare(
        "SELECT body FROM posts WHERE conversation = 'c' UNION SELECT sealed FROM body_keys WHERE conversation = 'c'",
      )
      .pluck()
      .all() as string[];
    expect(secrets).toHaveLength(3);
    const raw = () => [file, `${file}-wal`].map((name) => readFileSync(name, 'latin1')).join('\n');
    expect(secrets.every((secret) => raw().includes(secret))).toBe(true);
    await store.eraseConversation('web', 'c', 2);
    expect(secrets.filter((secret) => raw().includes(secret))).toEqual([]);
    await store.close();
  });
});

describe('migrations', () => {
  const extra = { name: '9999_more.sql', sql: 'CREATE TABLE more (id INTEGER) STRICT' };

  it('run once, in order, and are recorded', async () => {
    const file = newFile();
    const { database } = openSqlite(file);
    const all = readMigrations();
    expect((await migrate(database, file)).applied).toEqual(all.map((migration) => migration.name));
    expect(await migrate(database, file)).toEqual({ applied: [], copy: null });
    database.close();
  });

  it('copy a database that holds data before they change it', async () => {
    const file = newFile();
    const { connection, store } = await openStore(file);
    const { postId } = await store.acceptPost(post, 1, 0);
    const { applied, copy } = await migrate(connection.database, file, [...readMigrations(), extra]);
    expect(applied).toEqual(['9999_more.sql']);
    expect(copy).toBe(`${file}.before-9999_more`);
    await store.close();
    const before = await openStore(copy!);
    expect((await before.store.readPost(postId!))?.text).toBe('rough idle');
    expect(() => before.connection.database.prepare('SELECT * FROM more')).toThrow('no such table');
    await before.store.close();
  });

  it('leave no trace when one fails half way', async () => {
    const file = newFile();
    const { database } = openSqlite(file);
    const broken = {
      name: '9999_broken.sql',
      sql: 'CREATE TABLE half (id INTEGER) STRICT; CREATE TABLE half (id INTEGER)',
    };
    await expect(migrate(database, file, [...readMigrations(), broken])).rejects.toThrow('already exists');
    expect(() => database.prepare('SELECT * FROM half')).toThrow('no such table');
    expect((await migrate(database, file, [...readMigrations(), extra])).applied).toEqual(['9999_more.sql']);
    database.close();
  });

  it('refuse a database of a newer program', async () => {
    const file = newFile();
    const { database } = openSqlite(file);
    await migrate(database, file, [...readMigrations(), extra]);
    await expect(migrate(database, file)).rejects.toThrow('written by a newer program (it has 9999_more.sql)');
    database.close();
  });
});
