// What a store must do with posts that come with logs, late, twice under one delivery, revised or withdrawn, and with messages whose
// outcome is not known; run on both databases.
import { describe, expect, it } from 'vitest';
import type { Post } from '../../src/vocabulary/post.ts';
import { exampleDocument } from '../an-answer.ts';
import { answered, newPost, type StoreUnderTest } from './store-suite.ts';

const lease = 1000;

export function changesSuite(name: string, open: () => Promise<StoreUnderTest>): void {
  const withStore = (work: (tested: StoreUnderTest) => Promise<void>) => async () => {
    const tested = await open();
    try {
      await work(tested);
    } finally {
      await tested.close();
    }
  };

  describe(`changes of posts and messages on ${name}`, () => {
    it(
      'gives attached logs back as they came, however long, and shows none of them in the database',
      withStore(async ({ store, allText }) => {
        const long = Array.from({ length: 60_000 }, (_, row) => `${row},ZEBRA,${(row * 7919) % 1013}\n`).join('');
        const attachments = [
          { name: 'log.csv', type: 'text/csv', text: `${'x'.repeat(399_999)}🚗${long}` },
          { name: 'ZEBRANAME.txt', type: 'text/plain', text: '' },
        ];
        const { postId } = await store.acceptPost(newPost({ attachments }), 1, 0);
        expect(await store.readAttachments(postId!)).toEqual(attachments);
        expect((await store.readPost(postId!))?.attached).toBe(2);
        expect(await allText()).not.toContain('ZEBRA');
        await store.acceptPost(newPost({ eventId: 'none' }), 1, 0);
      }),
    );

    it(
      'erases attached logs with their post',
      withStore(async ({ store }) => {
        const attachments = [{ name: 'a', type: '', text: 'words' }];
        const one = await store.acceptPost(newPost({ attachments, conversation: 'c' }), 1, 0);
        const two = await store.acceptPost(newPost({ attachments, conversation: 'd', author: 'gone' }), 1, 0);
        await store.eraseConversation('web', 'c', 2);
        await store.erasePerson('web', 'gone', 2);
        expect(await store.readAttachments(one.postId!)).toEqual([]);
        expect(await store.readAttachments(two.postId!)).toEqual([]);
      }),
    );

    it(
      'knows a repeated delivery and refuses its id for another body',
      withStore(async ({ store }) => {
        const delivery = { id: 'msg_1', bodyHash: 'hash one' };
        expect(await store.findDelivery('web', 'msg_1', 'hash one')).toBe('new');
        await store.acceptPost(newPost({ delivery }), 1, 0);
        expect(await store.findDelivery('web', 'msg_1', 'hash one')).toBe('same');
        expect(await store.findDelivery('web', 'msg_1', 'hash two')).toBe('other-body');
        expect(await store.findDelivery('other', 'msg_1', 'hash one')).toBe('new');
        const other = newPost({ delivery: { id: 'msg_1', bodyHash: 'hash two' } });
        await expect(store.acceptPost(other, 2, 0)).rejects.toMatchObject({ code: 'conflict' });
        expect(await store.listPosts('waiting', 10)).toHaveLength(1);
        await store.forgetDeliveries(2);
        expect(await store.findDelivery('web', 'msg_1', 'hash one')).toBe('new');
      }),
    );

    it(
      'works the posts of a conversation in the order of their writing',
      withStore(async ({ store }) => {
        const sent: Post[] = [300, 100, 200].map((writtenAt) => newPost({ conversation: 'c', writtenAt }));
        for (const post of sent) await store.acceptPost(post, 1000, 0);
        const order: number[] = [];
        for (let taken = 0; taken < 3; taken += 1) {
          const post = await store.claimNextPost('web', 'c', 1000, lease);
          order.push(post!.writtenAt);
          const { version } = await store.loadTurn(post!.postId);
          await store.saveTurn({
            postId: post!.postId,
            revisedAt: 0,
            state: 'answered',
            caseVersion: version,
            next: null,
            document: exampleDocument,
            danger: 0,
            helperWanted: false,
            message: null,
            now: 1000,
          });
        }
        expect(order).toEqual([100, 200, 300]);
      }),
    );

    it(
      'keeps the order of arrival for posts without a time of their own when the clock is set back',
      withStore(async ({ store }) => {
        const first = await store.acceptPost(newPost({ conversation: 'c' }), 5000, 0);
        const second = await store.acceptPost(newPost({ conversation: 'c' }), 1000, 0);
        const claimed = await store.claimNextPost('web', 'c', 5000, lease);
        expect(claimed?.postId).toBe(first.postId);
        expect((await store.readPost(second.postId!))?.writtenAt).toBe(5000);
      }),
    );

    it(
      'takes a lease for void when the clock went back behind it, for posts and for messages',
      withStore(async ({ store }) => {
        const hour = 3_600_000;
        await answered(store, newPost({ conversation: 'sent' }), 2 * hour);
        await store.acceptPost(newPost({ conversation: 'c' }), 2 * hour, 0);
        expect(await store.claimWaitingPosts(2 * hour, lease, 5)).toHaveLength(1);
        expect(await store.claimDueMessages(2 * hour, lease, 5)).toHaveLength(1);
        expect(await store.claimWaitingPosts(2 * hour - 30_000, lease, 5)).toEqual([]);
        expect(await store.claimDueMessages(2 * hour - 30_000, lease, 5)).toEqual([]);
        expect(await store.claimWaitingPosts(hour, lease, 5)).toHaveLength(1);
        expect(await store.claimDueMessages(hour, lease, 5)).toHaveLength(1);
      }),
    );

    it(
      'revises a post once for each newer version of its words, and says that the case is stale then',
      withStore(async ({ store, allText }) => {
        const post = newPost({ eventId: 'e', conversation: 'c', place: 'thread 7' });
        const { postId } = await answered(store, post, 1);
        expect((await store.loadTurn(postId)).stale).toBe(true);
        const revise = async (text: string, revisedAt: number) =>
          (await store.revisePost({ channel: 'web', eventId: 'e', text, revisedAt }, 9)).outcome;
        expect(await revise(post.text, 5)).toBe('unchanged');
        expect(await revise('ZEBRA idles', 5)).toBe('revised');
        expect(await revise('older words', 4)).toBe('unchanged');
        expect(await store.revisePost({ channel: 'web', eventId: 'no', text: 'x', revisedAt: 5 }, 9)).toEqual({
          outcome: 'unknown',
          conversation: null,
        });
        expect(await store.claimNextPost('web', 'c', 9, lease)).toMatchObject({
          text: 'ZEBRA idles',
          revisedAt: 5,
          place: 'thread 7',
        });
        expect(await allText()).not.toContain('ZEBRA');
      }),
    );

    it(
      'says the new words in the reply that has not left, and in a correction after one that has',
      withStore(async ({ store }) => {
        const settle = async (text: string, revisedAt: number) => {
          await store.revisePost({ channel: 'web', eventId: 'e', text: `${text}!`, revisedAt }, 9);
          const post = await store.claimNextPost('web', 'c', 9, lease);
          const { version } = await store.loadTurn(post!.postId);
          expect(
            await store.saveTurn({
              postId: post!.postId,
              revisedAt: post!.revisedAt,
              state: 'answered',
              caseVersion: version,
              next: null,
              document: exampleDocument,
              danger: 0,
              helperWanted: false,
              message: {
                channel: 'web',
                conversation: 'c',
                postId: post!.postId,
                kind: 'reply',
                text,
                markdown: text,
                marker: `marker ${text}`,
              },
              now: 9,
            }),
          ).not.toBeNull();
        };
        await answered(store, newPost({ eventId: 'e', conversation: 'c', place: 'thread 7' }), 1);
        await settle('two', 2);
        const [reply, ...none] = await store.claimDueMessages(10, lease, 5);
        expect(none).toEqual([]);
        expect(reply).toMatchObject({ kind: 'reply', text: 'two', place: 'thread 7', unsure: false, replaces: null });
        await store.markSent(reply!.messageId, 11, 'platform 1');
        await settle('three', 3);
        await settle('four', 4);
        const [correction, ...more] = await store.claimDueMessages(12, lease, 5);
        expect(more).toEqual([]);
        expect(correction).toMatchObject({
          kind: 'correction',
          text: 'four',
          replaces: { platformId: 'platform 1', marker: reply!.marker },
        });
        expect(await store.counts()).toMatchObject({ answers: 1 });
      }),
    );

    it(
      'does not save a turn that read an earlier version of the post',
      withStore(async ({ store }) => {
        const { postId } = await store.acceptPost(newPost({ eventId: 'e', conversation: 'c' }), 1, 0);
        await store.revisePost({ channel: 'web', eventId: 'e', text: 'new words', revisedAt: 2 }, 2);
        const turn = {
          postId: postId!,
          state: 'answered' as const,
          caseVersion: 0,
          next: null,
          document: exampleDocument,
          danger: 0,
          helperWanted: false,
          message: null,
          now: 3,
        };
        expect(await store.saveTurn({ ...turn, revisedAt: 0 })).toBeNull();
        expect(await store.saveTurn({ ...turn, revisedAt: 2 })).not.toBeNull();
      }),
    );

    it(
      'withdraws a post before its answer without a trace but the tombstone',
      withStore(async ({ store }) => {
        const post = newPost({ eventId: 'e', conversation: 'c' });
        await store.acceptPost(post, 1, 0);
        expect(await store.withdrawPost('web', 'e', 'm', 2)).toEqual({ outcome: 'withdrawn', conversation: 'c' });
        expect(await store.withdrawPost('web', 'e', 'm', 2)).toEqual({ outcome: 'unknown', conversation: null });
        expect(await store.counts()).toMatchObject({ waiting: 0, due: 0, answers: 0 });
        expect(await store.acceptPost(post, 3, 0)).toEqual({ fresh: false, postId: null, claimed: false });
      }),
    );

    it(
      'withdraws an answer that went out, takes back one that did not, and leaves the case to be made anew',
      withStore(async ({ store }) => {
        await answered(store, newPost({ eventId: 'kept', conversation: 'c' }), 1);
        await answered(store, newPost({ eventId: 'told', conversation: 'c', place: 'thread 7' }), 2);
        await answered(store, newPost({ eventId: 'untold', conversation: 'c' }), 3);
        for (const platformId of ['first', 'second']) {
          const [due] = await store.claimDueMessages(10, lease, 5);
          await store.markSent(due!.messageId, 11, platformId);
        }
        await store.withdrawPost('web', 'untold', 'm1', 12);
        expect(await store.claimDueMessages(20, lease, 5)).toEqual([]);
        await store.withdrawPost('web', 'told', 'm2', 12);
        expect(await store.claimDueMessages(20, lease, 5)).toMatchObject([
          { kind: 'withdrawal', marker: 'm2', place: 'thread 7', replaces: { platformId: 'second' } },
        ]);
        expect(await store.loadCase('web', 'c')).toEqual({ state: null, version: 0 });
        const { postId } = await store.acceptPost(newPost({ conversation: 'c' }), 30, 0);
        expect((await store.loadTurn(postId!)).stale).toBe(true);
        expect((await store.listAnsweredPosts('web', 'c')).map((post) => post.eventId)).toEqual(['kept']);
      }),
    );

    it(
      'says that a message may have arrived after an unknown outcome or a crash, and not after a refusal to take it',
      withStore(async ({ store }) => {
        await answered(store, newPost(), 1);
        const claim = async (now: number) => (await store.claimDueMessages(now, lease, 1))[0]!;
        const about = { asked: false, because: 'test' };
        const first = await claim(10);
        expect(first.unsure).toBe(false);
        await store.postponeMessage(first.messageId, { ...about, retryAt: 20, now: 10, unsure: false });
        expect(await claim(20)).toMatchObject({ unsure: false, because: 'test' });
        await store.postponeMessage(first.messageId, { ...about, retryAt: 30, now: 20, unsure: true });
        expect((await claim(30)).unsure).toBe(true);
        await store.postponeMessage(first.messageId, { ...about, retryAt: 40, now: 30, unsure: false });
        expect((await claim(40)).unsure).toBe(false);
        // Nothing recorded: the program went down.
        expect((await claim(40 + lease)).unsure).toBe(true);
      }),
    );

    it(
      'hastens what was postponed, but not what the platform named a time for or what is on its way',
      withStore(async ({ store }) => {
        for (let number = 0; number < 3; number += 1) await answered(store, newPost(), 1);
        const [own, asked, flying] = await store.claimDueMessages(10, 100_000, 3);
        const about = { now: 10, unsure: false, because: 'test', retryAt: 50_000 };
        await store.postponeMessage(own!.messageId, { ...about, asked: false });
        await store.postponeMessage(asked!.messageId, { ...about, asked: true });
        expect(await store.hastenMessages('web', 20)).toBe(1);
        expect((await store.claimDueMessages(20, lease, 5)).map((due) => due.messageId)).toEqual([own!.messageId]);
        expect(flying).toBeDefined();
      }),
    );

    it(
      'claims the messages of one channel, or of all but some',
      withStore(async ({ store }) => {
        await answered(store, newPost({ channel: 'web' }), 1);
        await answered(store, newPost({ channel: 'forum' }), 1);
        expect(await store.claimDueMessages(10, lease, 5, { except: ['web', 'forum'] })).toEqual([]);
        expect(await store.claimDueMessages(10, lease, 5, { only: 'forum' })).toMatchObject([{ channel: 'forum' }]);
        expect(await store.claimDueMessages(10, lease, 5, { except: ['forum'] })).toMatchObject([{ channel: 'web' }]);
      }),
    );

    it(
      'takes a message back from the undeliverable list',
      withStore(async ({ store }) => {
        await answered(store, newPost(), 1);
        const [due] = await store.claimDueMessages(10, lease, 1);
        await store.postponeMessage(due!.messageId, {
          retryAt: null,
          now: 10,
          unsure: false,
          asked: false,
          because: 'channel gone',
        });
        expect(await store.listMessages('undeliverable', 5)).toMatchObject([{ because: 'channel gone' }]);
        expect(await store.redeliverMessage(due!.messageId, 20)).toBe(true);
        expect(await store.redeliverMessage(due!.messageId, 20)).toBe(false);
        expect(await store.claimDueMessages(20, lease, 1)).toMatchObject([{ messageId: due!.messageId, attempts: 1 }]);
      }),
    );
  });
}
