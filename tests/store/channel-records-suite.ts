// What every store must do with channel records. sqlite-store.test.ts and d1-store.test.ts run it on their own database.
import { describe, expect, it } from 'vitest';
import type { ChannelRecord } from '../../src/store/channel-record.ts';
import type { StoreUnderTest } from './store-suite.ts';

const record = (parts: Partial<ChannelRecord> = {}): ChannelRecord => ({
  channel: 'slack',
  kind: 'workspace',
  key: 'T1',
  workspace: 'T1',
  conversation: null,
  body: 'SECRETTOKEN one',
  expiresAt: null,
  ...parts,
});

export function channelRecordsSuite(name: string, open: () => Promise<StoreUnderTest>): void {
  const withStore = (work: (tested: StoreUnderTest) => Promise<void>) => async () => {
    const tested = await open();
    try {
      await work(tested);
    } finally {
      await tested.close();
    }
  };

  describe(`${name}: channel records`, () => {
    it(
      'keeps a record sealed and hands it back with its version',
      withStore(async ({ store, allText }) => {
        expect(await store.readRecord('slack', 'workspace', 'T1', 1)).toBeNull();
        expect(await store.writeRecord(record(), null, 1)).toBe(true);
        expect(await store.readRecord('slack', 'workspace', 'T1', 1)).toEqual({ body: 'SECRETTOKEN one', version: 1 });
        expect(await allText()).not.toContain('SECRETTOKEN');
        expect(await store.readRecord('discord', 'workspace', 'T1', 1)).toBeNull();
        expect(await store.readRecord('slack', 'target', 'T1', 1)).toBeNull();
      }),
    );

    it(
      'lets exactly one of many writers win a version',
      withStore(async ({ store }) => {
        const first = await Promise.all(
          Array.from({ length: 10 }, (_, index) => store.writeRecord(record({ body: `first ${index}` }), 0, 1)),
        );
        expect(first.filter(Boolean)).toHaveLength(1);
        const second = await Promise.all(
          Array.from({ length: 10 }, (_, index) => store.writeRecord(record({ body: `second ${index}` }), 1, 1)),
        );
        expect(second.filter(Boolean)).toHaveLength(1);
        const kept = await store.readRecord('slack', 'workspace', 'T1', 1);
        expect(kept).toEqual({ body: `second ${second.indexOf(true)}`, version: 2 });
        expect(await store.writeRecord(record(), 1, 1)).toBe(false);
        expect(await store.writeRecord(record({ body: 'whatever' }), null, 1)).toBe(true);
        expect((await store.readRecord('slack', 'workspace', 'T1', 1))?.version).toBe(3);
      }),
    );

    it(
      'counts a record as absent from the moment that its time is over',
      withStore(async ({ store }) => {
        await store.writeRecord(record({ kind: 'target', expiresAt: 100 }), 0, 1);
        expect(await store.readRecord('slack', 'target', 'T1', 99)).not.toBeNull();
        expect(await store.readRecord('slack', 'target', 'T1', 100)).toBeNull();
        expect(await store.writeRecord(record({ kind: 'target', body: 'new', expiresAt: 200 }), 0, 100)).toBe(true);
        await store.writeRecord(record({ kind: 'target', key: 'T2' }), 0, 1);
        expect(await store.deleteExpiredRecords(199)).toBe(0);
        expect(await store.deleteExpiredRecords(200)).toBe(1);
        expect(await store.readRecord('slack', 'target', 'T2', 200)).not.toBeNull();
      }),
    );

    it(
      'deletes one record, or all of a workspace and of no other',
      withStore(async ({ store }) => {
        for (const [key, workspace] of [
          ['a', 'T1'],
          ['b', 'T1'],
          ['c', 'T2'],
        ] as const)
          await store.writeRecord(record({ kind: 'sent', key, workspace }), 0, 1);
        await store.writeRecord(record({ channel: 'discord', kind: 'sent', key: 'd' }), 0, 1);
        await store.deleteRecord('slack', 'sent', 'a');
        expect(await store.readRecord('slack', 'sent', 'a', 1)).toBeNull();
        expect(await store.deleteRecordsOf('slack', 'T1')).toBe(1);
        expect(await store.readRecord('slack', 'sent', 'b', 1)).toBeNull();
        expect(await store.readRecord('slack', 'sent', 'c', 1)).not.toBeNull();
        expect(await store.readRecord('discord', 'sent', 'd', 1)).not.toBeNull();
        expect(await store.deleteRecordsOf('slack', 'T1')).toBe(0);
      }),
    );

    it(
      'erases the records of a conversation with it',
      withStore(async ({ store }) => {
        const post = { eventId: 'r', channel: 'slack', conversation: 'c1', author: 'a', text: 'x', callerId: null };
        await store.acceptPost(post, 1, 0);
        await store.writeRecord(record({ kind: 'sent', key: 'in', conversation: 'c1' }), 0, 1);
        await store.writeRecord(record({ kind: 'sent', key: 'out', conversation: 'c2' }), 0, 1);
        await store.eraseConversation('slack', 'c1', 2);
        expect(await store.readRecord('slack', 'sent', 'in', 3)).toBeNull();
        expect(await store.readRecord('slack', 'sent', 'out', 3)).not.toBeNull();
      }),
    );
  });
}
