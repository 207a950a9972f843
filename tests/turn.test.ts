// Turns: one stored answer a post, in order, whatever fails on the way.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { makeLog } from '../src/serving/log.ts';
import type { BayStore } from '../src/store/bay-store.ts';
import { mostAttempts, postLeaseMs, submitPost, type TurnDeps, workPost, workWaiting } from '../src/turn.ts';
import { answerDocument } from '../src/vocabulary/answer-document.ts';
import type { Post } from '../src/vocabulary/post.ts';
import { aStore } from './a-store.ts';
import { anAnswer, exampleDocument, smallKnowledge } from './an-answer.ts';

let store: BayStore;
let remove: () => Promise<void>;
let now: number;
let ids: number;

beforeEach(async () => {
  ({ store, remove } = await aStore());
  now = 1_000_000;
  ids = 0;
});
afterEach(() => remove());

const deps = (parts: Partial<TurnDeps> = {}): TurnDeps => ({
  store,
  knowledge: smallKnowledge,
  answer: anAnswer,
  clock: () => now,
  newId: () => {
    ids += 1;
    return `id-${ids}`;
  },
  sleep: async (ms) => {
    now += ms;
  },
  log: makeLog('silent'),
  ...parts,
});

const post = (eventId: string, parts: Partial<Post> = {}): Post => ({
  eventId,
  channel: 'web',
  conversation: 'c',
  author: 'a',
  text: 'lumpy idle',
  callerId: null,
  ...parts,
});

const broken = () => {
  throw new TypeError('a mistake of ours');
};

describe('submitting a post', () => {
  it('stores the answer and one reply, with the caller id echoed', async () => {
    const postId = await submitPost(deps(), post('e1', { callerId: 'q7' }));
    const answer = await store.readAnswerOfPost(postId);
    expect(answer?.document.id).toBe('q7');
    expect(answer?.document.reply.text).toBe('post 1 has 10 characters');
    expect(await store.listMessages('due', 9)).toMatchObject([{ kind: 'reply', text: 'post 1 has 10 characters' }]);
  });

  it('names the answer itself when the caller gave no id', async () => {
    const postId = await submitPost(deps(), post('e1'));
    expect((await store.readAnswerOfPost(postId))?.document.id).toBe(`web-${postId}`);
  });

  it('answers a second copy with the first one and works nothing twice', async () => {
    let worked = 0;
    const counting = deps({
      answer: (given, previous) => {
        worked += 1;
        return anAnswer(given, previous);
      },
    });
    const first = await submitPost(counting, post('e1'));
    expect(await submitPost(counting, post('e1'))).toBe(first);
    expect(worked).toBe(1);
  });

  it('builds on the case of its conversation and on no other', async () => {
    await submitPost(deps(), post('e1'));
    const second = await submitPost(deps(), post('e2'));
    const other = await submitPost(deps(), post('e3', { conversation: 'd' }));
    expect((await store.readAnswerOfPost(second))?.document.reply.text).toMatch(/^post 2 /);
    expect((await store.readAnswerOfPost(other))?.document.reply.text).toMatch(/^post 1 /);
  });

  it('first works what the same conversation still has waiting', async () => {
    await store.acceptPost(post('left over'), now, 0);
    const postId = await submitPost(deps(), post('e2'));
    expect((await store.readAnswerOfPost(postId))?.document.reply.text).toMatch(/^post 2 /);
    expect((await store.counts()).waiting).toBe(0);
  });

  it('keeps the order of ten posts sent at the same moment, one answer each', async () => {
    const real = deps({ clock: Date.now, sleep: (ms) => new Promise((resolve) => setTimeout(resolve, ms)) });
    const postIds = await Promise.all(Array.from({ length: 10 }, (_, index) => submitPost(real, post(`e${index}`))));
    const answers = await Promise.all(postIds.map((postId) => store.readAnswerOfPost(postId)));
    const inOrder = [...answers].sort((a, b) => a!.postId - b!.postId);
    expect(inOrder.map((answer) => answer!.document.reply.text.split(' ')[1])).toEqual(
      Array.from({ length: 10 }, (_, index) => String(index + 1)),
    );
  });

  it('waits for a post that someone else has, and takes it over when the lease runs out', async () => {
    await store.acceptPost(post('e1'), now, 0);
    await store.claimNextPost('web', 'c', now, postLeaseMs);
    const before = now;
    const postId = await submitPost(deps(), post('e1'));
    expect(now - before).toBeGreaterThanOrEqual(postLeaseMs);
    expect((await store.readPost(postId))?.state).toBe('answered');
  });

  it('says so when the answer does not come, keeps the post, and answers it later', async () => {
    await expect(submitPost(deps({ answer: broken }), post('e1'))).rejects.toMatchObject({ code: 'unavailable' });
    expect((await store.counts()).waiting).toBe(1);
    now += 60_000;
    const postId = await submitPost(deps(), post('e1'));
    expect((await store.readPost(postId))?.state).toBe('answered');
  });

  it("sends a helper's own words in place of the reply, once, and says so in queue and audit log", async () => {
    const helperReply = { by: 'Mara (Slack U7)', text: 'Look at the hose behind the throttle first.' };
    const postId = await submitPost(deps(), post('e1', { helperReply }));
    const answer = await store.readAnswerOfPost(postId);
    expect(answer?.document.reply.text).toBe('post 1 has 10 characters');
    expect(answer?.helper).toEqual({ state: 'done', by: 'Mara (Slack U7)' });
    expect(await store.listMessages('due', 9)).toMatchObject([
      { kind: 'helper-reply', text: helperReply.text, postId },
    ]);
    expect(await store.listAudit({ before: null, about: null }, 9)).toMatchObject([
      { who: 'Mara (Slack U7)', act: 'reply', about: `post ${postId}` },
    ]);
    await store.revisePost({ channel: 'web', eventId: 'e1', text: 'lumpy idle, cold', revisedAt: 5 }, now);
    await workWaiting(deps(), 5);
    expect(await store.listMessages('due', 9)).toHaveLength(1);
  });

  it('refuses a post that was erased', async () => {
    await submitPost(deps(), post('e1'));
    await store.eraseConversation('web', 'c', now);
    await expect(submitPost(deps(), post('e1'))).rejects.toMatchObject({ code: 'conflict' });
  });
});

describe('a post that cannot be answered', () => {
  it(`is tried ${mostAttempts} times with growing pauses, then goes to a helper and its owner is told`, async () => {
    await store.acceptPost(post('e1', { callerId: 'q1' }), now, 0);
    const waits: number[] = [];
    for (let attempt = 1; attempt <= mostAttempts; attempt += 1) {
      const before = now;
      while ((await workWaiting(deps({ answer: broken }), 10)) === 0) now += 500;
      waits.push(now - before);
    }
    expect(waits).toEqual([0, 1000, 2000, 4000, 8000]);
    const [failed] = await store.listPosts('failed', 5);
    const answer = await store.readAnswerOfPost(failed!.postId);
    expect(answer?.helper.state).toBe('wanted');
    expect(answerDocument.parse(answer?.document)).toMatchObject({ id: 'q1', causes: [], fit: { surprise: 1 } });
    expect(await store.listMessages('due', 5)).toMatchObject([{ kind: 'reply' }]);
    expect(await store.loadCase('web', 'c')).toEqual({ state: null, version: 0 });
    expect(await workWaiting(deps(), 10)).toBe(0);
  });

  it('does not hold up the conversation for ever', async () => {
    await store.acceptPost(post('bad', { text: 'bad' }), now, 0);
    await store.acceptPost(post('good'), now, 0);
    const some = deps({
      answer: (given, previous) => (given.text === 'bad' ? broken() : anAnswer(given, previous)),
    });
    for (let step = 0; step < 60; step += 1) {
      await workWaiting(some, 10);
      now += 500;
    }
    expect(await store.counts()).toMatchObject({ waiting: 0, failed: 1, answers: 2 });
  });

  it('is not answered with a document that breaks the contract', async () => {
    const { postId } = await store.acceptPost(post('e1'), now, 0);
    const claimed = await store.claimNextPost('web', 'c', now, postLeaseMs);
    const wrong = deps({
      answer: (given, previous) => {
        const { answer, next } = anAnswer(given, previous);
        return { answer: { ...answer, reply: { text: 'x'.repeat(1801), markdown: '' } }, next };
      },
    });
    expect(await workPost(wrong, claimed!)).toBe('retry');
    expect((await store.readPost(postId!))?.state).toBe('waiting');
  });

  it('is given to a helper unseen when it took the program down each time', async () => {
    await store.acceptPost(post('e1'), now, 0);
    for (let crash = 0; crash < mostAttempts; crash += 1) {
      await store.claimNextPost('web', 'c', now, postLeaseMs);
      now += postLeaseMs;
    }
    let tried = 0;
    const counting = deps({
      answer: (given, previous) => {
        tried += 1;
        return anAnswer(given, previous);
      },
    });
    await workWaiting(counting, 10);
    expect(tried).toBe(0);
    expect(await store.counts()).toMatchObject({ failed: 1, helperWanted: 1 });
  });
});

describe('working a post', () => {
  it('answers again from the newer case when the case moved meanwhile', async () => {
    await submitPost(deps(), post('e1'));
    await store.acceptPost(post('e2'), now, 0);
    const claimed = await store.claimNextPost('web', 'c', now, postLeaseMs);
    let moved = false;
    const racing: BayStore = {
      ...store,
      loadCase: async (channel, conversation) => {
        const loaded = await store.loadCase(channel, conversation);
        if (moved) return loaded;
        moved = true;
        return { ...loaded, version: loaded.version - 1 };
      },
    };
    expect(await workPost(deps({ store: racing }), claimed!)).toBe('answered');
    expect((await store.loadCase('web', 'c')).state?.posts).toBe(2);
  });

  it('notices when the conversation was erased while it worked', async () => {
    await store.acceptPost(post('e1'), now, 0);
    const claimed = await store.claimNextPost('web', 'c', now, postLeaseMs);
    await store.eraseConversation('web', 'c', now);
    expect(await workPost(deps(), claimed!)).toBe('gone');
    expect(await store.counts()).toMatchObject({ answers: 0, due: 0 });
  });

  it.each([
    ['a stop', { driving: 'stop' as const, cautions: [] }, 100, 'wanted'],
    ['nothing dangerous', { driving: 'ok' as const, cautions: [] }, 0, 'none'],
    [
      'a clash that a person should see',
      {
        driving: 'ok' as const,
        cautions: [],
        fit: { surprise: 1, clash: [], handOver: { wanted: true, because: 'x' } },
      },
      0,
      'wanted',
    ],
  ])('ranks and queues %s', async (_, parts, danger, helper) => {
    const base = { ...exampleDocument, fit: { surprise: 0, clash: [], handOver: { wanted: false, because: null } } };
    const some = deps({
      answer: (given, previous) => ({ ...anAnswer(given, previous), answer: { ...base, ...parts, id: given.id } }),
    });
    await submitPost(some, post('e1'));
    expect(await store.listAnswers({ order: 'danger', limit: 1, offset: 0 })).toMatchObject([{ danger, helper }]);
  });

  it.each([
    [true, 'takes the danger of the worst caution shown from the knowledge base'],
    [false, 'counts no danger of cautions that the owner was not shown'],
  ])('shown %s: %s', async (shown) => {
    const worst = [...smallKnowledge.cautions].sort((a, b) => b.danger - a.danger)[0]!;
    const cautions = smallKnowledge.cautions.map(({ id }) => ({ id, text: 't', because: 'b', shown }));
    const some = deps({
      answer: (given, previous) => ({
        ...anAnswer(given, previous),
        answer: { ...exampleDocument, id: given.id, driving: 'ok', cautions },
      }),
    });
    await submitPost(some, post('e1'));
    expect((await store.listAnswers({ order: 'danger', limit: 1, offset: 0 }))[0]!.danger).toBe(
      shown ? worst.danger : 0,
    );
  });
});
