// What every store must do, as one set of tests. sqlite-store.test.ts and d1-store.test.ts run it on their own database.
import { describe, expect, it } from 'vitest';
import { hashToken } from '../../src/pages/tokens.ts';
import type { BayStore } from '../../src/store/bay-store.ts';
import type { DueMessage, Store } from '../../src/store/store.ts';
import { type AnswerDocument, answerDocument } from '../../src/vocabulary/answer-document.ts';
import { type Case, emptyCase } from '../../src/vocabulary/case.ts';
import type { Post } from '../../src/vocabulary/post.ts';
import example from '../vocabulary/full-answer.json' with { type: 'json' };

export interface StoreUnderTest {
  readonly store: BayStore;
  /** All text that stands in the database, for looking whether something is left in the clear. */
  readonly allText: () => Promise<string>;
  readonly close: () => Promise<void>;
}

const document: AnswerDocument = answerDocument.parse(example);
const lease = 60_000;

let number = 0;
/** A post that no other test uses. */
export function newPost(parts: Partial<Post> = {}): Post {
  number += 1;
  return {
    eventId: `event-${number}`,
    channel: 'web',
    conversation: `conversation-${number}`,
    author: `author-${number}`,
    text: `Idle is rough, number ${number}`,
    callerId: null,
    ...parts,
  };
}

export function messageFor(post: Post, postId: number, parts: Partial<DueMessage> = {}): DueMessage {
  number += 1;
  return {
    channel: post.channel,
    conversation: post.conversation,
    postId,
    kind: 'reply',
    text: 'Check the hoses first.',
    markdown: 'Check the **hoses** first.',
    marker: `marker-${number}`,
    ...parts,
  };
}

const later = { now: 100, unsure: false, asked: false, because: 'test' };

const caseAfter = (posts: number): Case => ({ ...emptyCase, posts });

/** Takes a post in, claims it and settles it. */
export async function answered(
  store: Store,
  post: Post,
  now: number,
  parts: { danger?: number; helperWanted?: boolean } = {},
) {
  const { postId } = await store.acceptPost(post, now, 0);
  const claimed = await store.claimNextPost(post.channel, post.conversation, now, lease);
  if (postId === null || claimed?.postId !== postId) throw new Error('the post could not be claimed');
  const { state, version } = await store.loadCase(post.channel, post.conversation);
  const saved = await store.saveTurn({
    postId,
    state: 'answered',
    revisedAt: 0,
    caseVersion: version,
    next: caseAfter((state?.posts ?? 0) + 1),
    document,
    danger: parts.danger ?? 10,
    helperWanted: parts.helperWanted ?? false,
    message: messageFor(post, postId),
    now,
  });
  if (!saved) throw new Error('the turn could not be saved');
  return { postId, answerId: saved.answerId };
}

export function storeSuite(name: string, open: () => Promise<StoreUnderTest>): void {
  const withStore = (work: (tested: StoreUnderTest) => Promise<void>) => async () => {
    const tested = await open();
    try {
      await work(tested);
    } finally {
      await tested.close();
    }
  };

  describe(`${name}: inbox`, () => {
    it(
      'gives back what it was given, word for word',
      withStore(async ({ store }) => {
        const texts = [
          'plain',
          '',
          'NUL \u0000 inside',
          'λ = 0,98 😀 \u202e right to left',
          'half a pair \ud800',
          `x${'9'.repeat(120_000)}`,
        ];
        for (const text of texts) {
          const post = newPost({ text, callerId: 'q-1' });
          const { fresh, postId } = await store.acceptPost(post, 1000, 0);
          expect(fresh).toBe(true);
          expect(await store.readPost(postId!)).toEqual({
            ...post,
            postId,
            writtenAt: 1000,
            revisedAt: 0,
            attached: 0,
            receivedAt: 1000,
            state: 'waiting',
            attempts: 0,
          });
        }
      }),
    );

    it(
      'changes nothing for a second copy of an event, also when copies arrive together',
      withStore(async ({ store }) => {
        const post = newPost();
        const all = await Promise.all([1, 2, 3, 4].map((now) => store.acceptPost(post, now, 0)));
        expect(all.filter((one) => one.fresh)).toHaveLength(1);
        expect(new Set(all.map((one) => one.postId)).size).toBe(1);
        const later = await store.acceptPost({ ...post, text: 'changed' }, 9, 0);
        expect(later).toEqual({ fresh: false, postId: all[0]!.postId, claimed: false });
        expect((await store.readPost(later.postId!))?.text).toBe(post.text);
      }),
    );

    it(
      'keeps the same event id of two channels apart',
      withStore(async ({ store }) => {
        const first = await store.acceptPost(newPost({ eventId: 'same', channel: 'web' }), 1, 0);
        const second = await store.acceptPost(newPost({ eventId: 'same', channel: 'api' }), 1, 0);
        expect([first.fresh, second.fresh]).toEqual([true, true]);
        expect(first.postId).not.toBe(second.postId);
      }),
    );

    it(
      'takes posts of many writers of one new conversation at the same moment and can open each',
      withStore(async ({ store }) => {
        const posts = Array.from({ length: 12 }, (_, index) =>
          newPost({ conversation: 'busy', author: `writer ${index % 3}` }),
        );
        const stored = await Promise.all(posts.map((post) => store.acceptPost(post, 1, 0)));
        for (const [index, { postId }] of stored.entries())
          expect((await store.readPost(postId!))?.text).toBe(posts[index]!.text);
      }),
    );

    it(
      'claims the first waiting post of each conversation, oldest first, and leases it',
      withStore(async ({ store }) => {
        const a1 = newPost({ conversation: 'a' });
        const a2 = newPost({ conversation: 'a' });
        const b1 = newPost({ conversation: 'b' });
        for (const post of [a1, a2, b1]) await store.acceptPost(post, 1, 0);
        const first = await store.claimWaitingPosts(100, lease, 10);
        expect(first.map((post) => post.text)).toEqual([a1.text, b1.text]);
        expect(first.map((post) => post.attempts)).toEqual([1, 1]);
        expect(await store.claimWaitingPosts(100 + lease - 1, lease, 10)).toEqual([]);
        expect(await store.claimNextPost('web', 'a', 100 + lease - 1, lease)).toBeNull();
        const again = await store.claimWaitingPosts(100 + lease, lease, 1);
        expect(again.map((post) => [post.text, post.attempts])).toEqual([[a1.text, 2]]);
      }),
    );

    it(
      'claims a post for its submitter in the same step, unless the conversation has an earlier one waiting',
      withStore(async ({ store }) => {
        const first = newPost({ conversation: 'direct' });
        const second = newPost({ conversation: 'direct' });
        const stored = await store.acceptPost(first, 100, lease);
        expect([stored.claimed, (await store.readPost(stored.postId!))?.attempts]).toEqual([true, 1]);
        const later = await store.acceptPost(second, 100, lease);
        expect([later.claimed, (await store.readPost(later.postId!))?.attempts]).toEqual([false, 0]);
        expect(await store.claimNextPost('web', 'direct', 100 + lease - 1, lease)).toBeNull();
        expect((await store.claimNextPost('web', 'direct', 100 + lease, lease))?.postId).toBe(stored.postId);
        expect((await store.acceptPost(first, 300, lease)).claimed).toBe(false);
        expect((await store.acceptPost(newPost(), 300, 0)).claimed).toBe(false);
      }),
    );

    it(
      'gives a post to one of many that ask at the same moment',
      withStore(async ({ store }) => {
        const post = newPost();
        await store.acceptPost(post, 1, 0);
        const claims = await Promise.all(
          Array.from({ length: 6 }, () => store.claimNextPost(post.channel, post.conversation, 5, lease)),
        );
        expect(claims.filter((claim) => claim !== null)).toHaveLength(1);
      }),
    );

    it(
      'does not take a released post before its time, nor a later post of its conversation',
      withStore(async ({ store }) => {
        const first = newPost({ conversation: 'slow' });
        await store.acceptPost(first, 1, 0);
        await store.acceptPost(newPost({ conversation: 'slow' }), 1, 0);
        const claimed = await store.claimNextPost('web', 'slow', 10, lease);
        await store.releasePost(claimed!.postId, 500, 100);
        expect(await store.claimNextPost('web', 'slow', 499, lease)).toBeNull();
        expect((await store.claimNextPost('web', 'slow', 500, lease))?.text).toBe(first.text);
      }),
    );
  });

  describe(`${name}: turns`, () => {
    it(
      'stores case, answer and reply together and settles the post',
      withStore(async ({ store }) => {
        const post = newPost();
        const { postId, answerId } = await answered(store, post, 2000);
        expect((await store.readPost(postId))?.state).toBe('answered');
        expect(await store.loadCase(post.channel, post.conversation)).toEqual({ state: caseAfter(1), version: 1 });
        const answer = await store.readAnswerOfPost(postId);
        expect(answer).toEqual({
          answerId,
          postId,
          channel: post.channel,
          conversation: post.conversation,
          createdAt: 2000,
          postText: post.text,
          document,
          helper: { state: 'none', by: null },
          review: { state: 'unreviewed', by: null, reason: null, at: null, version: 0 },
        });
        expect(await store.readAnswer(answerId)).toEqual(answer);
        expect(await store.listMessages('due', 10)).toMatchObject([
          {
            kind: 'reply',
            text: 'Check the hoses first.',
            markdown: 'Check the **hoses** first.',
            attempts: 0,
            postId,
          },
        ]);
      }),
    );

    it(
      'changes nothing when the case has moved meanwhile',
      withStore(async ({ store }) => {
        const post = newPost({ conversation: 'moved' });
        await answered(store, newPost({ conversation: 'moved' }), 1);
        const { postId } = await store.acceptPost(post, 2, 0);
        const turn = {
          postId: postId!,
          state: 'answered' as const,
          revisedAt: 0,
          next: caseAfter(9),
          document,
          danger: 1,
          helperWanted: false,
          now: 3,
        };
        for (const caseVersion of [0, 2])
          expect(await store.saveTurn({ ...turn, caseVersion, message: messageFor(post, postId!) })).toBeNull();
        expect((await store.readPost(postId!))?.state).toBe('waiting');
        expect((await store.loadCase('web', 'moved')).state?.posts).toBe(1);
        expect(await store.readAnswerOfPost(postId!)).toBeNull();
        expect(await store.listMessages('due', 10)).toHaveLength(1);
      }),
    );

    it(
      'settles a post once, whoever tries and however often',
      withStore(async ({ store }) => {
        const post = newPost();
        const { postId } = await store.acceptPost(post, 1, 0);
        const results = await Promise.all(
          [1, 2, 3].map((posts) =>
            store.saveTurn({
              postId: postId!,
              state: 'answered',
              revisedAt: 0,
              caseVersion: 0,
              next: caseAfter(posts),
              document,
              danger: 1,
              helperWanted: false,
              message: messageFor(post, postId!),
              now: 2,
            }),
          ),
        );
        expect(results.filter((result) => result !== null)).toHaveLength(1);
        expect(await store.listMessages('due', 10)).toHaveLength(1);
        expect((await store.loadCase(post.channel, post.conversation)).version).toBe(1);
      }),
    );

    it(
      'leaves the case alone when a failed post is settled',
      withStore(async ({ store }) => {
        const post = newPost({ conversation: 'failing' });
        await answered(store, newPost({ conversation: 'failing' }), 1);
        const { postId } = await store.acceptPost(post, 2, 0);
        await store.saveTurn({
          postId: postId!,
          state: 'failed',
          revisedAt: 0,
          caseVersion: 1,
          next: null,
          document,
          danger: 60,
          helperWanted: true,
          message: messageFor(post, postId!),
          now: 3,
        });
        expect((await store.loadCase('web', 'failing')).version).toBe(1);
        expect((await store.listPosts('failed', 5)).map((failed) => failed.postId)).toEqual([postId]);
        expect(await store.counts()).toMatchObject({ failed: 1, helperWanted: 1, waiting: 0, answers: 2, due: 2 });
      }),
    );

    it(
      'refuses a document that no row can hold and leaves the post waiting',
      withStore(async ({ store }) => {
        const post = newPost();
        const { postId } = await store.acceptPost(post, 1, 0);
        // Noise does not deflate.
        const noise = Array.from(
          { length: 130_000 },
          (_, index) => `${(index * 2_654_435_761) % 4_294_967_296}:${index ** 3 % 99_991}:${Math.sin(index)}`,
        );
        const huge = { ...document, notes: noise.map((says) => ({ kind: 'truncated' as const, says })) };
        await expect(
          store.saveTurn({
            postId: postId!,
            state: 'answered',
            revisedAt: 0,
            caseVersion: 0,
            next: caseAfter(1),
            document: huge,
            danger: 1,
            helperWanted: false,
            message: messageFor(post, postId!),
            now: 2,
          }),
        ).rejects.toMatchObject({ name: 'Problem', code: 'too-large' });
        expect((await store.readPost(postId!))?.state).toBe('waiting');
      }),
    );
  });

  describe(`${name}: outbox`, () => {
    it(
      'hands out the first due message of each conversation and the next one when that is sent',
      withStore(async ({ store }) => {
        const first = newPost({ conversation: 'x' });
        await answered(store, first, 1);
        await answered(store, newPost({ conversation: 'x' }), 2);
        await answered(store, newPost({ conversation: 'y' }), 3);
        const due = await store.claimDueMessages(10, lease, 10);
        expect(due.map((message) => [message.conversation, message.attempts])).toEqual([
          ['x', 1],
          ['y', 1],
        ]);
        expect(await store.claimDueMessages(10, lease, 10)).toEqual([]);
        await store.markSent(due[0]!.messageId, 11);
        const next = await store.claimDueMessages(11, lease, 10);
        expect(next.map((message) => message.conversation)).toEqual(['x']);
        expect(next[0]!.messageId).toBeGreaterThan(due[0]!.messageId);
      }),
    );

    it(
      'holds a postponed message back until its time, and its conversation with it',
      withStore(async ({ store }) => {
        await answered(store, newPost({ conversation: 'z' }), 1);
        await answered(store, newPost({ conversation: 'z' }), 2);
        const [message] = await store.claimDueMessages(10, lease, 10);
        await store.postponeMessage(message!.messageId, { ...later, retryAt: 400 });
        expect(await store.claimDueMessages(399, lease, 10)).toEqual([]);
        expect((await store.claimDueMessages(400, lease, 10)).map((due) => due.messageId)).toEqual([
          message!.messageId,
        ]);
        await store.postponeMessage(message!.messageId, { ...later, retryAt: null });
        expect((await store.listMessages('undeliverable', 5)).map((lost) => lost.messageId)).toEqual([
          message!.messageId,
        ]);
        const after = await store.claimDueMessages(401, lease, 10);
        expect(after).toHaveLength(1);
        expect(after[0]!.messageId).not.toBe(message!.messageId);
      }),
    );

    it(
      'shows a conversation in order, the last entries when there are more than asked for',
      withStore(async ({ store }) => {
        for (const at of [10, 20, 30]) await answered(store, newPost({ conversation: 'shown', text: `at ${at}` }), at);
        const all = await store.readConversation('web', 'shown', 50);
        expect(all.map((entry) => [entry.kind, entry.at])).toEqual([
          ['post', 10],
          ['reply', 10],
          ['post', 20],
          ['reply', 20],
          ['post', 30],
          ['reply', 30],
        ]);
        expect(all[0]).toMatchObject({ text: 'at 10', state: 'answered' });
        expect(await store.readConversation('web', 'shown', 3)).toEqual(all.slice(-3));
        expect(await store.readConversation('web', 'unknown', 3)).toEqual([]);
      }),
    );
  });

  describe(`${name}: helpers and moderators`, () => {
    it(
      'lists the most dangerous first, then the longest waiting, and filters and pages',
      withStore(async ({ store }) => {
        const made = [];
        for (const [now, danger, helperWanted] of [
          [1, 20, true],
          [2, 90, true],
          [3, 90, true],
          [4, 99, false],
        ] as const)
          made.push((await answered(store, newPost(), now, { danger, helperWanted })).answerId);
        const [low, early, late, other] = made;
        const ids = async (filter: Partial<Parameters<Store['listAnswers']>[0]>) =>
          (await store.listAnswers({ order: 'danger', limit: 10, offset: 0, ...filter })).map((row) => row.answerId);
        expect(await ids({})).toEqual([other, early, late, low]);
        expect(await ids({ helper: 'wanted' })).toEqual([early, late, low]);
        expect(await ids({ order: 'newest' })).toEqual([other, late, early, low]);
        expect(await ids({ limit: 2, offset: 1 })).toEqual([early, late]);
        expect(await ids({ review: 'standing' })).toEqual([]);
        const [row] = await store.listAnswers({ order: 'newest', limit: 1, offset: 0 });
        expect(row).toMatchObject({
          danger: 99,
          helper: 'none',
          review: 'unreviewed',
          firstCause: document.causes[0]!.fault,
          firstProbability: document.causes[0]!.probability,
          driving: document.driving,
          surprise: document.fit.surprise,
        });
        expect(row!.excerpt).toContain('Idle is rough');
      }),
    );

    it(
      'lets one helper take a post and send one reply',
      withStore(async ({ store }) => {
        const post = newPost();
        const { answerId, postId } = await answered(store, post, 1, { helperWanted: true });
        const taken = await Promise.all(
          ['Ana', 'Ben'].map((by) => store.moveHelperState(answerId, 'wanted', 'taken', by, 5)),
        );
        expect(taken.filter(Boolean)).toHaveLength(1);
        const [holder, other] = taken[0] ? (['Ana', 'Ben'] as const) : (['Ben', 'Ana'] as const);
        expect((await store.readAnswer(answerId))?.helper).toEqual({ state: 'taken', by: holder });
        const message = () => messageFor(post, postId, { kind: 'helper-reply', text: 'From a person.' });
        expect(await store.sendHelperReply(answerId, other, message(), 6)).toBe(false);
        expect(await store.moveHelperState(answerId, 'taken', 'wanted', other, 6)).toBe(false);
        expect(await store.sendHelperReply(answerId, holder, message(), 7)).toBe(true);
        expect(await store.sendHelperReply(answerId, holder, message(), 8)).toBe(false);
        expect((await store.readAnswer(answerId))?.helper.state).toBe('done');
        const entries = await store.readConversation(post.channel, post.conversation, 10);
        expect(entries.filter((entry) => entry.kind === 'helper-reply')).toHaveLength(1);
      }),
    );

    it(
      'gives a taken post back to the queue',
      withStore(async ({ store }) => {
        const { answerId } = await answered(store, newPost(), 1, { helperWanted: true });
        await store.moveHelperState(answerId, 'wanted', 'taken', 'Ana', 2);
        expect(await store.moveHelperState(answerId, 'taken', 'wanted', 'Ana', 3)).toBe(true);
        expect((await store.readAnswer(answerId))?.helper).toEqual({ state: 'wanted', by: null });
      }),
    );

    it(
      'takes the word of the first of two moderators who looked at the same version',
      withStore(async ({ store }) => {
        const post = newPost();
        const { answerId, postId } = await answered(store, post, 1);
        const review = (by: string, reason: string) =>
          store.reviewAnswer({
            answerId,
            version: 0,
            state: 'corrected',
            by,
            reason,
            message: messageFor(post, postId, { kind: 'correction' }),
            now: 9,
          });
        const results = await Promise.all([review('Cai', 'the trims say lean'), review('Dee', 'wrong bank')]);
        expect(results.filter(Boolean)).toHaveLength(1);
        const by = results[0] ? 'Cai' : 'Dee';
        expect((await store.readAnswer(answerId))?.review).toEqual({
          state: 'corrected',
          by,
          reason: results[0] ? 'the trims say lean' : 'wrong bank',
          at: 9,
          version: 1,
        });
        const entries = await store.readConversation(post.channel, post.conversation, 10);
        expect(entries.filter((entry) => entry.kind === 'correction')).toHaveLength(1);
        expect(
          await store.reviewAnswer({ answerId, version: 1, state: 'standing', by, reason: '', message: null, now: 10 }),
        ).toBe(true);
        expect(await store.counts()).toMatchObject({ due: 2 });
      }),
    );

    it(
      'answers false for an answer that does not exist',
      withStore(async ({ store }) => {
        const post = newPost();
        expect(await store.moveHelperState(99_999, 'wanted', 'taken', 'Ana', 1)).toBe(false);
        expect(await store.sendHelperReply(99_999, 'Ana', messageFor(post, 1), 1)).toBe(false);
        expect(await store.readAnswer(99_999)).toBeNull();
      }),
    );
  });

  describe(`${name}: sign-in`, () => {
    it(
      'lets a link be spent once and not after its time',
      withStore(async ({ store }) => {
        const [good, stale] = [await hashToken('good'), await hashToken('stale')];
        await store.addSignInLink({
          tokenHash: good,
          name: 'Ana',
          role: 'moderator',
          communities: ['web', 'forum'],
          expiresAt: 100,
        });
        await store.addSignInLink({
          tokenHash: stale,
          name: 'Ben',
          role: 'helper',
          communities: null,
          expiresAt: 100,
        });
        const spent = await Promise.all([1, 2, 3].map(() => store.spendSignInLink(good, 99)));
        expect(spent.filter((session) => session !== null)).toEqual([
          { name: 'Ana', role: 'moderator', communities: ['web', 'forum'] },
        ]);
        expect(await store.spendSignInLink(stale, 100)).toBeNull();
        expect(await store.spendSignInLink(await hashToken('unknown'), 1)).toBeNull();
      }),
    );

    it(
      'knows a session until it ends or its time is over',
      withStore(async ({ store }) => {
        const session = { name: 'Ana', role: 'helper', communities: null } as const;
        await store.addSession({ ...session, tokenHash: 'h1', expiresAt: 50 }, 1, 'link');
        expect(await store.readSession('h1', 49, 1000)).toEqual(session);
        expect(await store.readSession('h1', 50, 1000)).toBeNull();
        await store.endSession('h1', 2);
        expect(await store.readSession('h1', 1, 1000)).toBeNull();
      }),
    );

    it(
      'lets a session go that nobody used for a while, and counts a use to the minute',
      withStore(async ({ store }) => {
        const minute = 60_000;
        const session = { name: 'Ana', role: 'helper', communities: ['web'], tokenHash: 'h2' } as const;
        await store.addSession({ ...session, expiresAt: 1000 * minute }, 1, 'link');
        expect(await store.readSession('h2', 9 * minute, 10 * minute)).toMatchObject({ communities: ['web'] });
        expect(await store.readSession('h2', 19 * minute - 1, 10 * minute)).not.toBeNull();
        expect(await store.readSession('h2', 29 * minute, 10 * minute)).toBeNull();
      }),
    );
  });

  describe(`${name}: privacy`, () => {
    it(
      'holds no word of a post, an answer or a reason in the clear, nor the name of a writer',
      withStore(async ({ store, allText }) => {
        const post = newPost({ text: 'my Fiesta ZEBRAWORD stalls', author: 'ZEBRAUTHOR', callerId: 'ZEBRACALLER' });
        const { answerId, postId } = await answered(store, post, 1);
        await store.reviewAnswer({
          answerId,
          version: 0,
          state: 'withdrawn',
          by: 'Ana',
          reason: 'ZEBRAREASON',
          message: messageFor(post, postId, { kind: 'withdrawal', text: 'ZEBRATEXT', markdown: 'ZEBRAMARK' }),
          now: 2,
        });
        const text = await allText();
        expect(text).toContain(post.eventId);
        expect(text).not.toMatch(/ZEBRA/);
        expect(text).not.toContain(document.reply.text.slice(0, 30));
      }),
    );

    it(
      'erases one conversation, leaves the others, and does not let a late copy bring it back',
      withStore(async ({ store, allText }) => {
        const gone = newPost();
        const kept = newPost({ author: gone.author });
        const first = await answered(store, gone, 1);
        const second = await answered(store, kept, 1);
        const waiting = newPost({ conversation: gone.conversation, author: 'another' });
        await store.acceptPost(waiting, 2, 0);
        expect(await store.eraseConversation(gone.channel, gone.conversation, 3)).toBe(2);
        expect(await store.readPost(first.postId)).toBeNull();
        expect(await store.readAnswer(first.answerId)).toBeNull();
        expect(await store.readConversation(gone.channel, gone.conversation, 10)).toEqual([]);
        expect(await store.loadCase(gone.channel, gone.conversation)).toEqual({ state: null, version: 0 });
        expect((await store.readAnswer(second.answerId))?.postText).toBe(kept.text);
        for (const post of [gone, waiting])
          expect(await store.acceptPost(post, 4, 0)).toEqual({ fresh: false, postId: null, claimed: false });
        expect(await allText()).not.toContain(`"${gone.conversation}"`);
        const later = await answered(store, newPost({ conversation: gone.conversation }), 5);
        expect((await store.readPost(later.postId))?.state).toBe('answered');
      }),
    );

    it(
      'does not settle a post that was erased while it was worked',
      withStore(async ({ store }) => {
        const post = newPost();
        const { postId } = await store.acceptPost(post, 1, 0);
        await store.claimNextPost(post.channel, post.conversation, 1, lease);
        await store.eraseConversation(post.channel, post.conversation, 2);
        const saved = await store.saveTurn({
          postId: postId!,
          state: 'answered',
          revisedAt: 0,
          caseVersion: 0,
          next: caseAfter(1),
          document,
          danger: 1,
          helperWanted: false,
          message: messageFor(post, postId!),
          now: 3,
        });
        expect(saved).toBeNull();
        expect(await store.counts()).toMatchObject({ waiting: 0, answers: 0, due: 0 });
      }),
    );

    it(
      'erases one writer everywhere and lets the conversations of others go on',
      withStore(async ({ store }) => {
        const mine = newPost({ conversation: 'alone', author: 'leaver' });
        const shared = newPost({ conversation: 'shared thread', author: 'leaver' });
        const others = newPost({ conversation: 'shared thread', author: 'stayer' });
        await answered(store, mine, 1);
        await answered(store, shared, 2);
        const { postId } = await store.acceptPost(others, 3, 0);
        expect(await store.erasePerson('web', 'leaver', 4)).toBe(2);
        expect(await store.readConversation('web', 'alone', 10)).toEqual([]);
        const left = await store.readConversation('web', 'shared thread', 10);
        expect(left.map((entry) => entry.text)).toEqual([others.text]);
        const claimed = await store.claimNextPost('web', 'shared thread', 5, lease);
        expect(claimed?.postId).toBe(postId);
        const saved = await store.saveTurn({
          postId: postId!,
          state: 'answered',
          revisedAt: 0,
          caseVersion: (await store.loadCase('web', 'shared thread')).version,
          next: caseAfter(1),
          document,
          danger: 1,
          helperWanted: false,
          message: messageFor(others, postId!),
          now: 6,
        });
        expect(saved).not.toBeNull();
        expect(await store.acceptPost(shared, 7, 0)).toEqual({ fresh: false, postId: null, claimed: false });
        expect(await store.erasePerson('web', 'nobody', 8)).toBe(0);
      }),
    );
  });

  describe(`${name}: in general`, () => {
    it(
      'can be pinged and counts nothing when it is empty',
      withStore(async ({ store }) => {
        await store.ping(1);
        await store.ping(2);
        expect(await store.counts()).toEqual({
          waiting: 0,
          failed: 0,
          due: 0,
          undeliverable: 0,
          answers: 0,
          helperWanted: 0,
        });
      }),
    );
  });
}
