// Delivery: every due message reaches its channel, in order, with pauses that a platform can live with.
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Channel, fetchedChannel, type SendOutcome } from '../src/channels/channel.ts';
import { failuresUntilDown, givenUpAfterMs, longestRetryAfterMs, makeCourier, retryDelayMs } from '../src/delivery.ts';
import { makeLog } from '../src/serving/log.ts';
import type { OutboxMessage, Store } from '../src/store/store.ts';
import { submitPost } from '../src/turn.ts';
import { aStore } from './a-store.ts';
import { anAnswer, smallKnowledge } from './an-answer.ts';

let store: Store;
let remove: () => Promise<void>;
let now: number;
let sent: OutboxMessage[];

beforeEach(async () => {
  ({ store, remove } = await aStore());
  now = 1_000_000;
  sent = [];
});
afterEach(() => remove());

async function dueMessage(conversation: string, eventId: string): Promise<void> {
  await submitPost(
    {
      store,
      knowledge: smallKnowledge,
      answer: anAnswer,
      clock: () => now,
      newId: () => `marker-${conversation}-${eventId}`,
      sleep: async () => undefined,
      log: makeLog('silent'),
    },
    {
      eventId: `${conversation}-${eventId}`,
      channel: 'forum',
      conversation,
      author: 'a',
      text: eventId,
      callerId: null,
    },
  );
}

const forum = (answerWith: (message: OutboxMessage) => SendOutcome): Channel => ({
  name: 'forum',
  offBecause: null,
  async send(message) {
    const outcome = answerWith(message);
    if (outcome.kind === 'sent') sent.push(message);
    return outcome;
  },
});

const deliver = (channels: Channel[], random = 0.5) =>
  makeCourier({ store, channels, clock: () => now, random: () => random, log: makeLog('silent') }).deliver(100);

describe('delivery', () => {
  it('sends what is due once, in the order of each conversation', async () => {
    for (const event of ['1', '2', '3']) for (const conversation of ['x', 'y']) await dueMessage(conversation, event);
    expect(await deliver([forum(() => ({ kind: 'sent' }))])).toBe(6);
    for (const conversation of ['x', 'y'])
      expect(sent.filter((message) => message.conversation === conversation).map((message) => message.text[5])).toEqual(
        ['1', '2', '3'],
      );
    expect(await deliver([forum(() => ({ kind: 'sent' }))])).toBe(0);
    expect(await store.counts()).toMatchObject({ due: 0, undeliverable: 0 });
  });

  it('does not let a platform that fails for one conversation delay another, nor overtake', async () => {
    await dueMessage('x', '1');
    await dueMessage('x', '2');
    await dueMessage('y', '1');
    const channel = forum((message) =>
      message.conversation === 'x' ? { kind: 'retry', afterMs: null, because: '500' } : { kind: 'sent' },
    );
    await deliver([channel]);
    expect(sent.map((message) => message.conversation)).toEqual(['y']);
    now += 3_600_000;
    await deliver([forum(() => ({ kind: 'sent' }))]);
    expect(sent.map((message) => message.text[5])).toEqual(['1', '1', '2']);
  });

  it('waits as long as the platform asked', async () => {
    await dueMessage('x', '1');
    await deliver([forum(() => ({ kind: 'retry', afterMs: 30_000, because: '429' }))]);
    now += 29_999;
    expect(await deliver([forum(() => ({ kind: 'sent' }))])).toBe(0);
    now += 1;
    expect(await deliver([forum(() => ({ kind: 'sent' }))])).toBe(1);
  });

  it('puts a refused message on the undeliverable list at once and goes on with the next', async () => {
    await dueMessage('x', '1');
    await dueMessage('x', '2');
    let calls = 0;
    const channel = forum(() => {
      calls += 1;
      return calls === 1 ? { kind: 'refused', because: 'channel gone' } : { kind: 'sent' };
    });
    await deliver([channel]);
    expect([calls, sent.length]).toEqual([2, 1]);
    expect((await store.counts()).undeliverable).toBe(1);
  });

  it('gives up a message after a day, and not before', async () => {
    await dueMessage('x', '1');
    const failing = forum(() => ({ kind: 'unknown', because: 'reset' }));
    let attempts = 0;
    for (const from = now; now < from + givenUpAfterMs; now += 3_600_000) attempts += await deliver([failing]);
    expect(attempts).toBe(24);
    expect((await store.counts()).undeliverable).toBe(0);
    expect(await deliver([failing])).toBe(1);
    expect(await store.counts()).toMatchObject({ undeliverable: 1, due: 0 });
    expect(await store.listMessages('undeliverable', 1)).toMatchObject([{ because: 'reset' }]);
  });

  it('looks for a message whose outcome is unknown before it sends it again', async () => {
    await dueMessage('x', '1');
    let calls = 0;
    const arrived: Channel = {
      ...forum(() => {
        calls += 1;
        return { kind: 'unknown', because: 'the connection broke' };
      }),
      find: async () => ({ kind: 'found', platformId: 'theirs' }),
    };
    await deliver([arrived]);
    now += 3_600_000;
    await deliver([arrived]);
    expect([calls, (await store.counts()).due]).toEqual([1, 0]);
  });

  it('sends it again when the platform does not have it, and waits when the platform cannot say', async () => {
    await dueMessage('x', '1');
    let found: 'unsure' | 'absent' = 'unsure';
    let calls = 0;
    const lost: Channel = {
      ...forum(() => {
        calls += 1;
        return calls === 1 ? { kind: 'unknown', because: 'the connection broke' } : { kind: 'sent' };
      }),
      find: async () => (found === 'absent' ? { kind: 'absent' } : { kind: 'unsure', because: '500' }),
    };
    for (const [after, state] of [
      [1, 'unsure'],
      [1, 'absent'],
      [2, 'absent'],
    ] as const) {
      await deliver([lost]);
      expect(calls).toBe(after);
      now += 3_600_000;
      found = state;
    }
    expect((await store.counts()).due).toBe(0);
  });

  it('does not hold up other conversations while one sending hangs', async () => {
    await dueMessage('slow', '1');
    let release = () => {};
    const hanging = new Promise<void>((resolve) => {
      release = resolve;
    });
    const channel: Channel = {
      ...forum(() => ({ kind: 'sent' })),
      send: async (message) => {
        if (message.conversation === 'slow') await hanging;
        sent.push(message);
        return { kind: 'sent' };
      },
    };
    const courier = makeCourier({
      store,
      channels: [channel],
      clock: () => now,
      random: () => 0.5,
      log: makeLog('silent'),
    });
    const first = courier.deliver(100);
    await new Promise((resolve) => setTimeout(resolve, 20));
    await dueMessage('quick', '1');
    const second = courier.deliver(100);
    for (let wait = 0; sent.length === 0 && wait < 100; wait += 1)
      await new Promise((resolve) => setTimeout(resolve, 10));
    expect(sent.map((message) => message.conversation)).toEqual(['quick']);
    release();
    await Promise.all([first, second]);
    expect(sent.map((message) => message.conversation)).toEqual(['quick', 'slow']);
  });

  it('asks a channel that is down now and then only, and sends the rest once it is back', async () => {
    for (let number = 0; number < 50; number += 1) await dueMessage(`c${number}`, '1');
    let calls = 0;
    let down = true;
    const channel = forum(() => {
      calls += 1;
      return down ? { kind: 'retry', afterMs: null, because: '503' } : { kind: 'sent' };
    });
    const courier = makeCourier({
      store,
      channels: [channel],
      clock: () => now,
      random: () => 0.5,
      log: makeLog('silent'),
    });
    // Ten minutes of outage, swept every second.
    for (let second = 0; second < 600; second += 1) {
      await courier.deliver(100);
      now += 1000;
    }
    // The ten at once that found out, then one every 22 s or so.
    expect(calls).toBeLessThanOrEqual(10 + failuresUntilDown + 600 / 20);
    down = false;
    let seconds = 0;
    for (; (await store.counts()).due > 0 && seconds < 120; seconds += 1) {
      await courier.deliver(100);
      now += 1000;
    }
    expect(sent).toHaveLength(50);
    expect(seconds).toBeLessThan(40);
  });

  it('takes a channel that throws for an unknown outcome and tries again', async () => {
    await dueMessage('x', '1');
    const throwing: Channel = {
      name: 'forum',
      offBecause: null,
      send: async () => {
        throw new TypeError('ours');
      },
    };
    await deliver([throwing]);
    expect(await store.counts()).toMatchObject({ due: 1, undeliverable: 0 });
  });

  it('keeps messages for a channel that is off and refuses those for one that does not exist', async () => {
    await dueMessage('x', '1');
    await deliver([{ ...fetchedChannel('forum'), offBecause: 'FORUM_SECRET is not set' }]);
    expect(await store.counts()).toMatchObject({ due: 1, undeliverable: 0 });
    now += 3_600_000;
    await deliver([fetchedChannel('web')]);
    expect(await store.counts()).toMatchObject({ due: 0, undeliverable: 1 });
  });
});

describe('the pause before the next attempt', () => {
  it('lies between nothing and min(5 min, 1 s * 2^attempts), and never below what the platform asked', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1000 }),
        fc.option(fc.double(), { nil: null }),
        fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true }),
        (attempts, asked, chance) => {
          const delay = retryDelayMs(attempts, asked, () => chance);
          expect(delay).toBeGreaterThanOrEqual(0);
          const usable =
            asked !== null && Number.isFinite(asked) && asked > 0 ? Math.min(asked, longestRetryAfterMs) : 0;
          expect(delay).toBeGreaterThanOrEqual(Math.round(usable));
          expect(delay).toBeLessThanOrEqual(Math.round(Math.max(usable, Math.min(300_000, 1000 * 2 ** attempts))));
        },
      ),
    );
  });

  it.each([
    // attempts, asked, chance, delay; from: full jitter by definition, delay = chance * min(cap, base * 2^attempts)
    [1, null, 0.5, 1000],
    [3, null, 0.25, 2000],
    [20, null, 0.5, 150_000],
    [1, 30_000, 0.9, 30_000],
    [1, -1, 0.5, 1000],
    [1, Number.NaN, 0.5, 1000],
    [1, 1e12, 0.5, longestRetryAfterMs],
  ])('after %d attempts, asked for %s, chance %d: %d ms', (attempts, asked, chance, delay) => {
    expect(retryDelayMs(attempts, asked, () => chance)).toBe(delay);
  });
});
