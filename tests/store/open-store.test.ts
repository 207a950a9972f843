// Opening the database of one machine: development key, wrong files, clear sentences.
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openStore } from '../../src/store/sqlite/open-store.ts';

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
