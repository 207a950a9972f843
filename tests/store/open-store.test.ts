// Opening the database of one machine: development key, wrong files, clear sentences.
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { masterKeyOf, openStore } from '../../src/store/sqlite/open-store.ts';
import { restoreStore } from '../../src/store/sqlite/restore-store.ts';

const folder = mkdtempSync(join(tmpdir(), 'crosscount-open-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const key = 'MDEyMzQ1Njc4OWFiY2RlZjAxMjM0NTY3ODlhYmNkZWY=';
const post = { eventId: 'e', channel: 'web', conversation: 'c', author: 'a', text: 'x', callerId: null };

describe('opening the store of one machine', () => {
  it('makes folder, database and a development key that only its owner may read, and finds them again', async () => {
    const file = join(folder, 'deep', 'er', 'a.sqlite');
    const first = await openStore(file, null);
    const { postId } = await first.store.acceptPost(post, 1, 0);
    await first.store.close();
    expect(statSync(`${file}.key`).mode & 0o777).toBe(0o600);
    expect(Buffer.from(readFileSync(`${file}.key`, 'utf8'), 'base64')).toHaveLength(32);
    const second = await openStore(file, null);
    expect((await second.store.readPost(postId!))?.text).toBe('x');
    expect([second.applied, second.developmentKey]).toEqual([[], `${file}.key`]);
    await second.store.close();
  });

  it('makes no key file when a key is given', async () => {
    const file = join(folder, 'b.sqlite');
    const opened = await openStore(file, key);
    await opened.store.close();
    expect([opened.developmentKey, existsSync(`${file}.key`)]).toEqual([null, false]);
  });

  it('says what is wrong when the key of an existing database is not there', async () => {
    const file = join(folder, 'c.sqlite');
    await (await openStore(file, key)).store.close();
    await expect(openStore(file, null)).rejects.toThrow(/^CROSSCOUNT_KEY is not set and .+\.key is missing/);
    expect(existsSync(`${file}.key`)).toBe(false);
  });

  it('says what is wrong when the file is no database, or the key file holds no key', async () => {
    const wrong = join(folder, 'd.sqlite');
    writeFileSync(wrong, 'this is not a database, and it is longer than the header of one would be'.repeat(50));
    await expect(openStore(wrong, key)).rejects.toMatchObject({ name: 'Problem', code: 'unavailable' });
    const fresh = join(folder, 'e.sqlite');
    writeFileSync(`${fresh}.key`, 'short\n');
    await expect(openStore(fresh, null)).rejects.toThrow('holds no key of 32 bytes');
  });
});

describe('restoring a backup', () => {
  const second = { ...post, eventId: 'later' };

  it('puts it in place, keeps what was there, and loses only what came later', async () => {
    const file = join(folder, 'r.sqlite');
    const backup = join(folder, 'r.backup');
    const opened = await openStore(file, null);
    await opened.store.acceptPost(post, 1, 0);
    await opened.connection.database.backup(backup);
    await opened.store.acceptPost(second, 2, 0);
    await opened.store.close();
    const { counts, before } = await restoreStore(file, backup, null);
    expect([counts.waiting, before]).toEqual([1, `${file}.before-restore-1`]);
    const restored = await openStore(file, null);
    expect((await restored.store.listPosts('waiting', 9)).map((one) => one.eventId)).toEqual(['e']);
    expect((await restored.store.acceptPost(second, 3, 0)).fresh).toBe(true);
    await restored.store.close();
    const kept = await openStore(before!, masterKeyOf(file, null));
    expect((await kept.store.counts()).waiting).toBe(2);
    await kept.store.close();
    expect(existsSync(`${file}.restoring`)).toBe(false);
  });

  it('changes nothing while the database is in use, or when the file is no backup or has another key', async () => {
    const file = join(folder, 's.sqlite');
    const backup = join(folder, 's.backup');
    const opened = await openStore(file, key);
    await opened.store.acceptPost(post, 1, 0);
    await opened.connection.database.backup(backup);
    await expect(restoreStore(file, backup, key)).rejects.toThrow('stop the server first');
    expect((await opened.store.counts()).waiting).toBe(1);
    await opened.store.close();
    const otherKey = Buffer.alloc(32, 9).toString('base64');
    await expect(restoreStore(file, backup, otherKey)).rejects.toThrow('another CROSSCOUNT_KEY');
    writeFileSync(join(folder, 'no.backup'), 'words '.repeat(2000));
    await expect(restoreStore(file, join(folder, 'no.backup'), key)).rejects.toMatchObject({ name: 'Problem' });
    await expect(restoreStore(file, join(folder, 'absent'), key)).rejects.toThrow('there is no file');
    const after = await openStore(file, key);
    expect((await after.store.counts()).waiting).toBe(1);
    await after.store.close();
  });
});
