// The audit log against those who can write the database file: every kind of change is found, and two copies of the program
// on one file make one chain.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { BayStore } from '../../src/store/bay-store.ts';
import { openSqlStore } from '../../src/store/sql/sql-store.ts';
import { migrate } from '../../src/store/sqlite/migrate.ts';
import { openSqlite, type SqliteConnection } from '../../src/store/sqlite/sqlite-connection.ts';
import { openVault } from '../../src/store/vault.ts';

let folder: string;
let connection: SqliteConnection;
let store: BayStore;

async function open() {
  const opened = openSqlite(join(folder, 'store.sqlite'));
  await migrate(opened.database, null);
  return { opened, own: await openSqlStore(opened, await openVault(new Uint8Array(32).fill(7))) };
}

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'crosscount-audit-'));
  ({ opened: connection, own: store } = await open());
});
afterEach(async () => {
  await store.close();
  rmSync(folder, { recursive: true, force: true });
});

async function fill(entries: number): Promise<void> {
  for (let at = 1; at <= entries; at += 1)
    await store.recordAct({ who: 'Ana', act: 'export', about: `answer ${at}`, details: { posts: at } }, at);
}

/** As someone would who has the file and takes the triggers away first. */
function tamper(sql: string): void {
  connection.database.exec(`DROP TRIGGER IF EXISTS audit_is_not_changed; DROP TRIGGER IF EXISTS audit_is_kept; ${sql}`);
}

describe('the audit log', () => {
  it.each([
    ["UPDATE audit SET who = 'Bea' WHERE entry = 3", 'entry 3 does not follow'],
    ['UPDATE audit SET at = at + 1 WHERE entry = 1', 'entry 1 does not follow'],
    [`UPDATE audit SET details = '{"posts":9}' WHERE entry = 5`, 'entry 5 does not follow'],
    ["UPDATE audit SET about = 'answer 9' WHERE entry = 2", 'entry 2 does not follow'],
    ['DELETE FROM audit WHERE entry = 3', 'entry 3 is missing'],
    ['DELETE FROM audit WHERE entry = 1', 'entry 1 is missing'],
    [
      'DELETE FROM audit WHERE entry = 2; UPDATE audit SET entry = entry - 1 WHERE entry > 2',
      'entry 2 does not follow',
    ],
    [
      "INSERT INTO audit SELECT 6, 6, 'Ana', 'export', 'answer 6', '{}', hash FROM audit WHERE entry = 5",
      'entry 6 does not',
    ],
    [
      'CREATE TEMP TABLE two AS SELECT * FROM audit WHERE entry IN (2, 3); DELETE FROM audit WHERE entry IN (2, 3); INSERT INTO audit SELECT 5 - entry, at, who, act, about, details, hash FROM two',
      'entry 2 does not follow',
    ],
  ])('shows %s', async (sql, wrong) => {
    await fill(5);
    expect((await store.verifyAudit(null)).wrong).toBeNull();
    tamper(sql);
    expect((await store.verifyAudit(null)).wrong).toContain(wrong);
  });

  it('shows entries cut off at the end to whoever noted the last one down', async () => {
    await fill(5);
    const { last } = await store.verifyAudit(null);
    tamper('DELETE FROM audit WHERE entry > 3');
    expect((await store.verifyAudit(null)).wrong).toBeNull();
    expect((await store.verifyAudit(last)).wrong).toContain('entry 5');
  });

  it('lets no statement change or remove an entry while its triggers stand', async () => {
    await fill(3);
    expect(() => connection.database.exec("UPDATE audit SET who = 'Bea'")).toThrow('append-only');
    expect(() => connection.database.exec('DELETE FROM audit WHERE entry = 1')).toThrow('append-only');
    expect((await store.verifyAudit(null)).entries).toBe(3);
  });

  it('does not verify under another master key', async () => {
    await fill(2);
    const other = openSqlite(join(folder, 'other.sqlite'));
    await migrate(other.database, null);
    const stranger = await openSqlStore(other, await openVault(new Uint8Array(32).fill(8)));
    for (const row of connection.database.prepare('SELECT * FROM audit').raw().all() as unknown[][])
      other.database.prepare('INSERT INTO audit VALUES (?, ?, ?, ?, ?, ?, ?)').run(...row);
    expect((await stranger.verifyAudit(null)).wrong).toContain('entry 1 does not follow');
    await stranger.close();
  });

  it('lets the retention job remove what is over its time, from the beginning, and still holds together', async () => {
    await fill(6);
    const noted = (await store.verifyAudit(null)).last!;
    const limits = { conversationsBefore: 0, messagesBefore: 0, tombstonesBefore: 0, most: 9, now: 50 };
    expect(await store.eraseOld({ ...limits, auditBefore: 4 })).toMatchObject({ audit: 3 });
    expect(await store.verifyAudit(noted)).toMatchObject({ first: 4, entries: 4, wrong: null });
    expect(() => connection.database.exec('DELETE FROM audit WHERE entry = 4')).toThrow('append-only');
    tamper('DELETE FROM audit WHERE entry = 4');
    expect((await store.verifyAudit(null)).wrong).toContain('entry 4 is missing');
  });

  it('is one chain for two copies of the program', async () => {
    const { own: second } = await open();
    await Promise.all(
      Array.from({ length: 30 }, (_, index) =>
        (index % 2 === 0 ? store : second).recordAct(
          { who: 'Ana', act: 'export', about: 'answer 1', details: { index } },
          index,
        ),
      ),
    );
    expect(await second.verifyAudit(null)).toMatchObject({ entries: 30, first: 1, wrong: null });
    await second.close();
  });
});
