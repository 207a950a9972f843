// Sending to Slack when Slack is unwell: every way in which a call can end, and what the outbox makes of it.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Trouble } from '../../fake-platform/platform-server.ts';
import { aFullAnswer, aSlack, direct, mention, type SlackUnderTest } from './a-slack.ts';

let tested: SlackUnderTest;
beforeEach(async () => {
  tested = await aSlack();
});
afterEach(() => tested.stop());

const post = 'chat.postMessage';
const posted = () => tested.platform.calls.filter((call) => call.path.endsWith(post)).length;
const refusal = (error: string): Trouble => ({ status: 200, body: { ok: false, error } });

describe('a reply to Slack', () => {
  it('carries the token of its workspace, no links, no mentions, and a marker', async () => {
    await tested.event(mention('P0171'));
    await tested.settle();
    const call = tested.platform.calls.find((one) => one.path.endsWith(post))!;
    expect(call.headers.authorization).toBe('Bearer xoxb-one');
    expect(JSON.parse(call.body.toString())).toMatchObject({
      parse: 'none',
      link_names: false,
      unfurl_links: false,
      unfurl_media: false,
      metadata: { event_type: 'slack_reply', event_payload: { reply_id: expect.any(String), part: 0, of: 1 } },
    });
  });

  it.each<[string, Trouble, number]>([
    ['the connection breaks after Slack took it', { kind: 'accept-then-drop' }, 1],
    ['the answer breaks off after Slack took it', { kind: 'half-body' }, 1],
    ['the connection breaks before', { kind: 'reset' }, 2],
    ['Slack answers 500', { status: 500 }, 2],
    ['Slack answers 502 with a page', { status: 502, body: '<html>' }, 2],
    ['Slack answers no JSON', { kind: 'wrong-json' }, 2],
    ['Slack names an error of its own', refusal('internal_error'), 2],
  ])('stands exactly once when %s', async (_, trouble, calls) => {
    tested.platform.trouble(post, trouble);
    await tested.event(mention('P0171'));
    for (let round = 0; round < 5; round += 1) {
      await tested.app.sweep();
      tested.wait(10_000);
    }
    await tested.settle();
    expect([tested.platform.messages.length, posted()]).toEqual([1, calls]);
  });

  it('in a direct message is looked for too before it is sent again', async () => {
    tested.platform.trouble(post, { kind: 'accept-then-drop' });
    await tested.event(direct('P0171'));
    for (let round = 0; round < 4; round += 1) {
      await tested.app.sweep();
      tested.wait(10_000);
    }
    await tested.settle();
    expect([tested.platform.messages.length, posted()]).toEqual([1, 1]);
  });

  it.each([
    ['1', 1000],
    ['30', 30_000],
  ])('waits as long as Slack asks: %s s', async (seconds, ms) => {
    tested.platform.trouble(post, { status: 429, headers: { 'Retry-After': seconds } });
    await tested.event(mention('P0171'));
    for (let round = 0; round < 100 && posted() === 0; round += 1) await tested.app.sweep();
    await new Promise((resolve) => setTimeout(resolve, 50));
    // Jitter adds at most 2 s after the first attempt.
    tested.wait(ms - 900);
    await tested.app.sweep();
    expect(posted()).toBe(1);
    tested.wait(4_000);
    await tested.settle();
    expect([tested.platform.messages.length, posted()]).toEqual([1, 2]);
  });

  it.each(['', 'abc', '-1', '1e9', 'Infinity'])('is sent again also when Slack asks for "%s"', async (asked) => {
    tested.platform.trouble(post, { status: 429, headers: asked === '' ? {} : { 'Retry-After': asked } });
    await tested.event(mention('P0171'));
    await tested.app.sweep();
    tested.wait(3_700_000);
    await tested.settle();
    expect(tested.platform.messages).toHaveLength(1);
  });

  it.each([
    'channel_not_found',
    'not_in_channel',
    'is_archived',
    'msg_too_long',
    'no_text',
    'restricted_action',
    'an_error_of_tomorrow',
  ])('is given up at once when Slack says %s', async (error) => {
    tested.platform.trouble(post, refusal(error), refusal(error));
    await tested.event(mention('P0171'));
    await tested.settle();
    tested.wait(3_600_000);
    await tested.settle();
    expect(posted()).toBeLessThanOrEqual(2);
    expect(await tested.store.listMessages('undeliverable', 9)).toMatchObject([
      { because: expect.stringContaining(error) },
    ]);
  });

  it.each(['invalid_auth', 'account_inactive', 'token_revoked'])(
    'stops the whole workspace when Slack says %s, and no other',
    async (error) => {
      tested.platform.trouble(post, refusal(error));
      await tested.event(mention('P0171'));
      await tested.settle();
      await tested.event(mention('P0172'));
      await tested.settle();
      expect(posted()).toBe(1);
      await tested.event(mention('P0173'), 'T2');
      await tested.settle();
      expect(posted()).toBe(2);
      expect(await tested.store.listMessages('undeliverable', 9)).toHaveLength(2);
    },
  );

  it('goes without its picture when Slack cannot load that', async () => {
    await tested.stop();
    tested = await aSlack({ app: { answer: aFullAnswer }, settings: { address: 'https://cars.example' } });
    tested.platform.trouble(post, refusal('invalid_blocks'));
    await tested.event(mention('P0171'));
    await tested.settle();
    expect(posted()).toBe(2);
    expect(tested.platform.messages[0]!.blocks.map((block) => block.type)).toEqual(['section', 'actions']);
  });

  it('shows its picture by our public address where there is one', async () => {
    await tested.stop();
    tested = await aSlack({ app: { answer: aFullAnswer }, settings: { address: 'https://cars.example' } });
    await tested.event(mention('P0171'));
    await tested.settle();
    expect(tested.platform.messages[0]!.blocks[1]).toMatchObject({
      type: 'image',
      image_url: 'https://cars.example/pictures/bay.a.12345678.png',
    });
  });

  it('is split and tried once more when Slack finds it too long, and in order', async () => {
    tested.platform.trouble(post, refusal('msg_blocks_too_long'));
    await tested.event(mention('P0171'));
    await tested.settle();
    expect([tested.platform.messages.length, posted()]).toEqual([1, 2]);
  });

  it('in several parts goes on behind the part that stands', async () => {
    await tested.event(mention('P0171'));
    await tested.settle();
    const [summary] = await tested.store.listAnswers({ order: 'newest', limit: 1, offset: 0 });
    const { answerId, channel, conversation, postId } = (await tested.store.readAnswer(summary!.answerId))!;
    const text = Array.from({ length: 12 }, (_, index) => `paragraph ${index} ${'words '.repeat(280)}`).join('\n\n');
    const message = {
      channel,
      conversation,
      postId,
      kind: 'helper-reply' as const,
      text,
      markdown: text,
      marker: 'long',
    };
    await tested.store.moveHelperState(answerId, summary!.helper, 'taken', 'Ida', tested.now());
    expect(await tested.store.sendHelperReply(answerId, 'Ida', message, tested.now())).toBe(true);
    tested.platform.trouble(post, { kind: 'accept-then-drop' }, { status: 500 });
    for (let round = 0; round < 5; round += 1) {
      await tested.app.sweep();
      tested.wait(10_000);
    }
    await tested.settle();
    const parts = tested.platform.messages.slice(1).map((one) => one.text.slice(0, 12));
    expect(parts.length).toBeGreaterThan(2);
    expect(parts).toEqual([...new Set(parts)]);
    expect(
      tested.platform.messages.slice(1).flatMap(({ blocks }) => JSON.stringify(blocks).match(/paragraph \d+/g)),
    ).toEqual(Array.from({ length: 12 }, (_, index) => `paragraph ${index}`));
  });

  it('is sent again where the bot may not look, rather than never', async () => {
    tested.platform.trouble(post, { kind: 'reset' });
    tested.platform.trouble('conversations.replies', refusal('missing_scope'), refusal('missing_scope'));
    await tested.event(mention('P0171'));
    for (let round = 0; round < 4; round += 1) {
      await tested.app.sweep();
      tested.wait(10_000);
    }
    await tested.settle();
    expect(tested.platform.messages).toHaveLength(1);
  });

  it('keeps the order of its thread while Slack is down, and other threads wait for nobody', async () => {
    tested.platform.alwaysTrouble({ status: 503 });
    const first = mention('one');
    await tested.event(first);
    await tested.event(mention('three', { thread_ts: first.ts }));
    await tested.app.sweep();
    tested.platform.alwaysTrouble(null);
    for (let round = 0; round < 8; round += 1) {
      tested.wait(60_000);
      await tested.settle();
    }
    expect(tested.platform.messages.map(({ text }) => text)).toEqual([
      '*post 1 has 3 characters*',
      '*post 2 has 5 characters*',
    ]);
  });

  it('says nothing about tokens or posts in the log', async () => {
    tested.platform.trouble(post, refusal('channel_not_found'));
    await tested.event(mention('ZEBRAWORD P0171'));
    await tested.settle();
    expect(tested.logged.join('\n')).not.toMatch(/ZEBRAWORD|xoxb-|8f742231/);
  });
});

describe('what a moderator says later', () => {
  it('stands as a message of its own, and the old answer says so', async () => {
    await tested.event(mention('P0171'));
    await tested.settle();
    const [summary] = await tested.store.listAnswers({ order: 'newest', limit: 1, offset: 0 });
    const answer = (await tested.store.readAnswer(summary!.answerId))!;
    const words = 'A moderator has withdrawn the earlier answer: please do not act on it. The reason: wrong car';
    const { channel, conversation, postId } = answer;
    const message = {
      channel,
      conversation,
      postId,
      kind: 'withdrawal' as const,
      text: words,
      markdown: words,
      marker: 'm1',
    };
    expect(
      await tested.store.reviewAnswer({
        answerId: answer.answerId,
        version: answer.review.version,
        state: 'withdrawn',
        by: 'Ida',
        reason: 'wrong car',
        message,
        now: tested.now(),
      }),
    ).toBe(true);
    await tested.settle();
    expect(tested.platform.messages.map(({ text }) => text)).toEqual([
      '*This answer was withdrawn: please do not act on it.*\n\n*post 1 has 5 characters*',
      words,
    ]);
  });
});
