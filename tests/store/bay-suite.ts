// What every store must do for the service bay, as one set of tests: sqlite-store.test.ts and d1-store.test.ts run it beside
// store-suite.ts, each on its own database.
import { describe, expect, it } from 'vitest';
import type { AuditRecord, BayStore } from '../../src/store/bay-store.ts';
import { answered, messageFor, newPost, type StoreUnderTest } from './store-suite.ts';

/** Entries that these tests made: on D1 the log, which cannot be emptied, goes on from test to test. */
async function entriesSince(store: BayStore, before: number) {
  const entries = await store.listAudit({ before: null, about: null }, 500);
  return entries.filter(({ entry }) => entry > before).reverse();
}
const lastEntry = async (store: BayStore) => (await store.verifyAudit(null)).last?.entry ?? 0;

export function baySuite(name: string, open: () => Promise<StoreUnderTest>): void {
  const withStore = (work: (tested: StoreUnderTest) => Promise<void>) => async () => {
    const tested = await open();
    try {
      await work(tested);
    } finally {
      await tested.close();
    }
  };
  const record = (parts: Partial<AuditRecord> = {}): AuditRecord => ({
    who: 'Ana',
    act: 'export',
    about: 'answer 1',
    details: { posts: 2 },
    ...parts,
  });

  describe(`${name}: audit log`, () => {
    it(
      'keeps every act with who, when and on what, in one chain',
      withStore(async ({ store }) => {
        const before = await lastEntry(store);
        const post = newPost();
        const { answerId, postId } = await answered(store, post, 1, { helperWanted: true });
        const session = { name: 'Ana', role: 'helper', communities: null, tokenHash: `h${before}` } as const;
        await store.addSession({ ...session, expiresAt: 900 }, 2, 'link');
        await store.moveHelperState(answerId, 'wanted', 'taken', 'Ana', 3);
        await store.moveHelperState(answerId, 'taken', 'wanted', 'Ana', 4);
        await store.moveHelperState(answerId, 'wanted', 'taken', 'Ana', 5);
        await store.sendHelperReply(answerId, 'Ana', messageFor(post, postId, { kind: 'helper-reply' }), 6);
        const review = { answerId, version: 0, state: 'standing', by: 'Bea', reason: '', message: null } as const;
        await store.reviewAnswer({ ...review, now: 7 });
        await store.eraseConversation(post.channel, post.conversation, 8, 'Bea');
        await store.endSession(session.tokenHash, 9);
        const entries = await entriesSince(store, before);
        expect(entries.map(({ at, who, act }) => [at, who, act])).toEqual([
          [2, 'Ana', 'sign-in'],
          [3, 'Ana', 'take'],
          [4, 'Ana', 'hand-back'],
          [5, 'Ana', 'take'],
          [6, 'Ana', 'reply'],
          [7, 'Bea', 'review'],
          [8, 'Bea', 'erase'],
          [9, 'Ana', 'sign-out'],
        ]);
        expect(entries[1]).toMatchObject({ about: `answer ${answerId}`, details: { from: 'wanted', to: 'taken' } });
        expect(JSON.stringify(entries)).not.toContain(post.conversation);
        expect((await store.verifyAudit(null)).wrong).toBeNull();
        expect(await store.listAudit({ before: null, about: `answer ${answerId}` }, 2)).toHaveLength(2);
      }),
    );

    it(
      'has no entry for what did not happen',
      withStore(async ({ store }) => {
        const { answerId } = await answered(store, newPost(), 1, { helperWanted: true });
        await store.moveHelperState(answerId, 'wanted', 'taken', 'Ana', 3);
        const before = await lastEntry(store);
        expect(await store.moveHelperState(answerId, 'wanted', 'taken', 'Ben', 4)).toBe(false);
        expect(await store.moveHelperState(answerId, 'taken', 'wanted', 'Ben', 4)).toBe(false);
        const late = { answerId, version: 7, state: 'standing', by: 'Ben', reason: '', message: null } as const;
        expect(await store.reviewAnswer({ ...late, now: 5 })).toBe(false);
        expect(await entriesSince(store, before)).toEqual([]);
      }),
    );

    it(
      'gives acts of the same moment their places one after another',
      withStore(async ({ store }) => {
        const before = await lastEntry(store);
        const acts = Array.from({ length: 24 }, (_, index) => store.recordAct(record({ details: { index } }), index));
        await Promise.all(acts);
        const entries = await entriesSince(store, before);
        expect(entries.map(({ entry }) => entry - before)).toEqual(Array.from({ length: 24 }, (_, index) => index + 1));
        expect(new Set(entries.map(({ details }) => details.index)).size).toBe(24);
        expect((await store.verifyAudit(null)).wrong).toBeNull();
      }),
    );

    it(
      'knows an entry that was noted down, and misses one that never was',
      withStore(async ({ store }) => {
        await store.recordAct(record(), 1);
        const noted = (await store.verifyAudit(null)).last!;
        await store.recordAct(record(), 2);
        expect((await store.verifyAudit(noted)).wrong).toBeNull();
        expect((await store.verifyAudit({ ...noted, hash: 'x'.repeat(43) })).wrong).toContain('cut off');
        expect((await store.verifyAudit({ entry: noted.entry + 9, hash: noted.hash })).wrong).toContain('cut off');
      }),
    );
  });
}
