// What a stranger, a replay or a broken sender can do to the routes of Slack and Discord: nothing.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { slackEvent, slackHeaders } from '../fake-platform/slack-platform.ts';
import { hostileTexts } from '../hostile-texts.ts';
import { aDiscord, ask, type DiscordUnderTest } from './discord/a-discord.ts';
import { aSlack, direct, mention, newTs, type SlackUnderTest } from './slack/a-slack.ts';

let slack: SlackUnderTest;
let discord: DiscordUnderTest;
beforeEach(async () => {
  slack = await aSlack({ settings: { signingSecrets: ['the-new-signing-secret', 'the-old-signing-secret'] } });
  discord = await aDiscord();
});
afterEach(async () => {
  await slack.stop();
  await discord.stop();
});

type Bytes = Uint8Array<ArrayBuffer>;
const bytes = (text: string): Bytes => new TextEncoder().encode(text);
/** Signs bytes that need not be text: one character a byte. */
const routes = {
  slack: {
    path: '/slack/events',
    fetch: (request: Request) => slack.app.fetch(request),
    headers: (body: Bytes, at = slack.now()) => ({
      'Content-Type': 'application/json',
      ...slackHeaders(Buffer.from(body), at, 'the-new-signing-secret'),
    }),
  },
  discord: {
    path: '/discord/interactions',
    fetch: (request: Request) => discord.app.fetch(request),
    headers: (body: Bytes, at = discord.now()) => discord.platform.headersFor(Buffer.from(body), at),
  },
} as const;
type Name = keyof typeof routes;
const names: readonly Name[] = ['slack', 'discord'];

const send = (name: Name, body: Bytes, headers: Record<string, string> = routes[name].headers(body)) =>
  routes[name].fetch(new Request(`http://localhost${routes[name].path}`, { method: 'POST', body, headers }));

describe.each(names)('a signed body for %s', (name) => {
  it.each<[string, Bytes]>([
    ['bytes that are no UTF-8', new Uint8Array([0x7b, 0xff, 0x41, 0x7d])],
    ['an overlong form', new Uint8Array([0x22, 0xc0, 0xaf, 0x22])],
    ['a lone surrogate in bytes', new Uint8Array([0x22, 0xed, 0xa0, 0x80, 0x22])],
    ['a byte order mark', new Uint8Array([0xef, 0xbb, 0xbf, ...bytes('{"type":1}')])],
    ['a NUL', bytes('{"type":1}\u0000')],
    ['two values', bytes('{"type":1}{"type":1}')],
    ['5,000,000 brackets cut at the limit', bytes('['.repeat(1_000_000))],
  ])('with %s is refused with 400 and quickly', async (_, body) => {
    const started = performance.now();
    const response = await send(name, body);
    expect([response.status, response.headers.get('content-type')]).toEqual([400, 'application/problem+json']);
    expect(performance.now() - started).toBeLessThan(1_000);
  });

  it('over 1 MiB is refused with 413 before it is proved', async () => {
    const body = bytes(`{"type":1,"more":"${'x'.repeat(1024 * 1024)}"}`);
    expect((await send(name, body)).status).toBe(413);
  });

  it('with a name that would reach into the program does nothing but what it says', async () => {
    const body = bytes('{"__proto__":{"polluted":true},"constructor":{"prototype":{"polluted":true}},"type":1}');
    expect((await send(name, body)).status).toBe(200);
    expect(({} as { polluted?: boolean }).polluted).toBeUndefined();
  });
});

describe('a request that was taken and is sent again', () => {
  it('has no second effect on Slack, and is refused after five minutes', async () => {
    const body = bytes(JSON.stringify(slackEvent(mention('P0171'))));
    const headers = routes.slack.headers(body);
    expect((await send('slack', body, headers)).status).toBe(200);
    await slack.settle();
    slack.wait(1_000);
    expect((await send('slack', body, headers)).status).toBe(200);
    slack.wait(297_000);
    expect((await send('slack', body, headers)).status).toBe(200);
    slack.wait(4_000);
    expect((await send('slack', body, headers)).status).toBe(401);
    await slack.settle();
    expect(slack.platform.messages).toHaveLength(1);
  });

  it('has no second effect on Discord, and is refused after five minutes', async () => {
    const asked = ask('P0171');
    discord.platform.defer(asked.token, '333333333333333333');
    const body = bytes(JSON.stringify(asked));
    const headers = routes.discord.headers(body);
    const types = [];
    for (const wait of [0, 1_000, 297_000]) {
      await discord.settle();
      discord.wait(wait);
      types.push(((await (await send('discord', body, headers)).json()) as { type: number }).type);
    }
    expect(types).toEqual([5, 4, 4]);
    discord.wait(4_000);
    expect((await send('discord', body, headers)).status).toBe(401);
    await discord.settle();
    expect(discord.platform.messages).toHaveLength(1);
  });
});

describe("a change of Slack's signing secret", () => {
  it('loses nothing: the former one is taken as long as it is set', async () => {
    for (const [secret, status] of [
      ['the-new-signing-secret', 200],
      ['the-old-signing-secret', 200],
      ['some-other-signing-secret', 401],
    ] as const) {
      const body = JSON.stringify(slackEvent(mention(`P0171 ${secret}`)));
      const headers = { 'Content-Type': 'application/json', ...slackHeaders(body, slack.now(), secret) };
      expect((await send('slack', bytes(body), headers)).status).toBe(status);
    }
    await slack.settle();
    expect(slack.platform.messages).toHaveLength(2);
  });
});

/** Sends an event again as Slack does when it gets 503 or 429, until it is taken. */
async function taken(body: Bytes, headers: Record<string, string> = {}): Promise<void> {
  for (let attempt = 0; attempt < 20; attempt += 1) {
    const { status } = await send('slack', body, { ...routes.slack.headers(body), ...headers });
    if (status === 200) return;
    expect([429, 503]).toContain(status);
  }
  throw new Error('it was never taken');
}

/** Thirty at a time, as a platform does that keeps a connection for each. */
async function sideBySide<One>(all: readonly One[], work: (one: One) => Promise<void>): Promise<void> {
  const left = [...all];
  const worker = async () => {
    for (let one = left.shift(); one !== undefined; one = left.shift()) await work(one);
  };
  await Promise.all(Array.from({ length: 30 }, worker));
}

describe('many events at once', () => {
  it('200 events, each four times and all in parallel, are answered once each', async () => {
    const events = Array.from({ length: 200 }, (_, index) =>
      bytes(JSON.stringify(slackEvent(mention('P0171', { user: `U${index}`, channel: `C${index % 20}` })))),
    );
    await sideBySide(
      [0, 1, 2, 3].flatMap((copy) => events.map((body) => ({ copy, body }))),
      ({ copy, body }) => {
        const retry = copy === 0 ? {} : { 'X-Slack-Retry-Num': String(copy), 'X-Slack-Retry-Reason': 'http_timeout' };
        return taken(body, retry);
      },
    );
    await slack.settle();
    expect(slack.platform.messages).toHaveLength(200);
    expect(new Set(slack.platform.messages.map(({ threadTs }) => threadTs)).size).toBe(200);
  }, 60_000);

  it('20 direct conversations of 10 posts, shuffled, end as one case each with one reply a post', async () => {
    const posts = Array.from({ length: 200 }, (_, index) => ({
      channel: `D${index % 20}`,
      user: `U${index % 20}`,
      ts: newTs(),
      text: 'x'.repeat(1 + Math.floor(index / 20)),
    }));
    const shuffled = posts.map((post, index) => ({ post, key: (index * 7919) % 200 })).sort((a, b) => a.key - b.key);
    // Nothing is worked before all have come, as in a window of two seconds.
    await sideBySide(shuffled, ({ post }) => taken(bytes(JSON.stringify(slackEvent(direct(post.text, post))))));
    await slack.settle();
    for (let conversation = 0; conversation < 20; conversation += 1) {
      const { state } = await slack.store.loadCase('slack', `T1/D${conversation}/direct`);
      expect(state?.posts).toBe(10);
      const entries = await slack.store.readConversation('slack', `T1/D${conversation}/direct`, 50);
      expect(entries.filter((entry) => entry.kind === 'post')).toHaveLength(10);
    }
    expect(slack.platform.messages).toHaveLength(200);
  }, 60_000);
});

describe('words that try to become something else', () => {
  it('go through both platforms as words', async () => {
    for (const [index, text] of hostileTexts.entries()) {
      const body = bytes(JSON.stringify(slackEvent(direct(text, { user: `U${index}`, channel: `D${index}` }))));
      expect((await send('slack', body)).status).toBe(200);
      const response = await discord.interact(
        ask(text, {
          member: { user: { id: String(400000000000000000n + BigInt(index)), username: text.slice(0, 30) } },
        }),
      );
      expect(response.status).toBe(200);
    }
    await slack.settle();
    await discord.settle();
    for (const { text, blocks } of slack.platform.messages) expect(text + JSON.stringify(blocks)).not.toMatch(/[<>]/);
    for (const { body } of discord.platform.messages) expect(body.allowed_mentions).toMatchObject({ parse: [] });
    for (const line of [...slack.logged, ...discord.logged]) expect(line).not.toMatch(/\p{Cc}/u);
  }, 60_000);
});
