// Discord end to end inside one process: what comes in by signed interactions, and what then stands in the channel.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { Problem } from '../../../src/vocabulary/problems.ts';
import type { Trouble } from '../../fake-platform/platform-server.ts';
import { aFullAnswer } from '../slack/a-slack.ts';
import {
  aDiscord,
  ask,
  channel,
  command,
  type DiscordUnderTest,
  helper,
  menu,
  newId,
  press,
  sendWindow,
} from './a-discord.ts';

let tested: DiscordUnderTest;
beforeEach(async () => {
  tested = await aDiscord();
});
afterEach(() => tested.stop());

const contents = () => tested.platform.messages.map(({ body }) => body.content);
const raw = (body: string, headers: Record<string, string>) =>
  tested.app.fetch(new Request('http://localhost/discord/interactions', { method: 'POST', body, headers }));
const until = async (condition: () => boolean) => {
  for (let round = 0; round < 200 && !condition(); round += 1) await new Promise((resolve) => setTimeout(resolve, 10));
  expect(condition()).toBe(true);
};

describe('the route of Discord', () => {
  it('answers a ping', async () => {
    expect(await tested.interact({ type: 1, id: newId(), token: 't' })).toEqual({ status: 200, body: { type: 1 } });
  });

  it('refuses with 401 what Discord did not sign, as it tests now and then', async () => {
    for (const headers of [
      {},
      { 'X-Signature-Ed25519': '0'.repeat(128), 'X-Signature-Timestamp': String(Math.floor(Date.now() / 1000)) },
      tested.platform.headersFor('{"type":2}', Date.now()),
      tested.platform.headersFor('{"type":1}', Date.now() - 301_000),
    ])
      expect((await raw('{"type":1}', headers)).status).toBe(401);
  });

  it.each([
    '',
    '{',
    'null',
    '[]',
    '"x"',
    '7',
    '{"type":99}',
    `${'['.repeat(65)}${']'.repeat(65)}`,
    '['.repeat(100_000),
  ])('refuses a signed body %.20s with 400', async (body) => {
    const response = await raw(body, tested.platform.headersFor(body, Date.now()));
    expect([response.status, response.headers.get('content-type')]).toEqual([400, 'application/problem+json']);
  });

  it('tells the writer when a post could not be stored, and keeps nothing', async () => {
    Object.assign(tested.store, {
      acceptPost: async () => {
        throw new Problem('unavailable', 'the disk is full');
      },
    });
    const { body } = await tested.interact(ask('P0171'));
    expect(body).toMatchObject({ type: 4, data: { flags: 64, content: expect.stringContaining('nothing was kept') } });
  });
});

describe('a question by command', () => {
  it('holds a place open at once and fills it with the one reply', async () => {
    expect(await tested.interact(ask('P0171, rough idle'))).toEqual({ status: 200, body: { type: 5 } });
    await tested.settle();
    expect(tested.platform.messages).toMatchObject([
      { body: { content: '**post 1 has 17 characters**', allowed_mentions: { parse: [], replied_user: false } } },
    ]);
  });

  it('delivered four times is answered once', async () => {
    const asked = ask('P0171');
    const answers = await Promise.all([asked, asked, asked, asked].map((one) => tested.interact(one)));
    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 200]);
    expect(answers.filter(({ body }) => body.type === 5)).toHaveLength(1);
    await tested.settle();
    expect(contents()).toHaveLength(1);
  });

  it('in a thread or forum post goes on as one case, in a channel each stands alone', async () => {
    const thread = { channel: { id: '666666666666666666', type: 11 } };
    await tested.interact(ask('P0171', thread));
    await tested.settle();
    await tested.interact(ask('no smoke', thread));
    await tested.interact(ask('another car'));
    await tested.settle();
    expect(contents().sort()).toEqual([
      '**post 1 has 11 characters**',
      '**post 1 has 5 characters**',
      '**post 2 has 8 characters**',
    ]);
  });

  it('in private is answered in private, and by direct message when its time is over', async () => {
    const secret = ask('P0171', {}, [{ name: 'private', type: 5, value: true }]);
    expect((await tested.interact(secret)).body).toEqual({ type: 5, data: { flags: 64 } });
    tested.platform.overTokens.add(String(secret.token));
    await tested.settle();
    expect(tested.platform.messages).toMatchObject([{ channel: '994444444444444444', byInteraction: null }]);
  });

  it('whose place is gone is answered in the channel', async () => {
    const asked = ask('P0171');
    await tested.interact(asked);
    tested.platform.overTokens.add(String(asked.token));
    await tested.settle();
    expect(tested.platform.messages).toMatchObject([{ channel, byInteraction: null }]);
  });

  it('after a quarter of an hour is answered in the channel without trying the old place', async () => {
    tested.platform.alwaysTrouble({ status: 503 });
    await tested.interact(ask('P0171'));
    await tested.app.sweep();
    tested.platform.alwaysTrouble(null);
    tested.wait(15 * 60_000);
    await tested.settle();
    expect(tested.platform.messages).toMatchObject([{ channel, byInteraction: null }]);
  });

  it('brings its log along, from Discord alone', async () => {
    const withLog = (url: string) => {
      const asked = ask('my log', {}, [{ name: 'log', type: 11, value: '777777777777777777' }]);
      Object.assign((asked as unknown as { data: object }).data, {
        resolved: {
          attachments: { '777777777777777777': { filename: 'drive.csv', url, size: 20, content_type: 'text/csv' } },
        },
      });
      return asked;
    };
    await tested.interact(withLog(`${tested.platform.address}/files/log`));
    await tested.settle();
    const [first] = await tested.store.listAnswers({ order: 'newest', limit: 1, offset: 0 });
    const answer = (await tested.store.readAnswer(first!.answerId))!;
    expect(await tested.store.readAttachments(answer.postId)).toMatchObject([
      { name: 'drive.csv', text: 'time,rpm\n0,800\n' },
    ]);
    for (const url of [
      'http://127.0.0.1:9/x',
      'http://169.254.169.254/',
      'https://cdn.discordapp.com.evil.example/x',
      'file:///x',
      'https://cdn.discordapp.com@evil.example/',
    ]) {
      await tested.interact(withLog(url));
      await tested.settle();
      const [last] = await tested.store.listAnswers({ order: 'newest', limit: 1, offset: 0 });
      expect((await tested.store.readAnswer(last!.answerId))!.postText).toContain('does not lie with the platform');
    }
  });

  it('tells about privacy, and forgets who asks for it', async () => {
    expect((await tested.interact(command('privacy'))).body).toMatchObject({
      data: { content: expect.stringContaining('encrypted') },
    });
    await tested.interact(ask('P0171'));
    await tested.settle();
    expect((await tested.interact(command('forget-me'))).body).toEqual({ type: 5, data: { flags: 64 } });
    await until(() => contents().some((content) => String(content).startsWith('Done: 1 of your posts')));
    expect(await tested.store.listAnswers({ order: 'newest', limit: 9, offset: 0 })).toEqual([]);
  });
});

describe('buttons and windows', () => {
  beforeEach(async () => {
    await tested.stop();
    tested = await aDiscord({ answer: aFullAnswer });
  });
  const buttons = (index = 0) =>
    (
      tested.platform.messages[index]!.body.components as Array<{
        components: Array<{ label: string; custom_id: string }>;
      }>
    ).flatMap((row) => row.components);

  it('stand below the reply, beside the picture', async () => {
    await tested.interact(ask('P0171'));
    await tested.settle();
    expect(buttons().map(({ label }) => label)).toEqual(['Yes, black smoke', 'No smoke at all', 'Tell more']);
    expect(tested.platform.messages[0]).toMatchObject({
      files: 1,
      body: { attachments: [{ description: 'Behind the engine, above the catalyst.' }] },
    });
  });

  it('become a post in the words of the button, once', async () => {
    await tested.interact(ask('P0171'));
    await tested.settle();
    const [yes, no] = buttons();
    const answers = await Promise.all(
      [press(no!.custom_id), press(no!.custom_id), press(yes!.custom_id)].map(tested.interact),
    );
    expect(answers.filter(({ body }) => body.type === 5)).toHaveLength(1);
    await tested.settle();
    expect(contents()).toEqual(['post 1 has 5 characters. Does it smoke?', expect.stringContaining('post 2 has 1')]);
  });

  it('let the writer tell more in a window', async () => {
    await tested.interact(ask('P0171'));
    await tested.settle();
    const more = buttons().at(-1)!.custom_id;
    expect((await tested.interact(press(more))).body).toMatchObject({ type: 9, data: { custom_id: more } });
    expect((await tested.interact(sendWindow(more, 'It is a 2.0 litre'))).body).toEqual({ type: 5 });
    await tested.settle();
    expect(contents()[1]).toBe('post 2 has 17 characters. Does it smoke?');
  });

  it('of another channel or of nothing lead nowhere', async () => {
    await tested.interact(ask('P0171'));
    await tested.settle();
    const [yes] = buttons();
    for (const pressed of [
      press(yes!.custom_id, { channel: { id: '888888888888888888', type: 0 } }),
      press(yes!.custom_id, { guild_id: '999999999999999999' }),
      press('answer|999|0'),
      press('answer|1|99'),
      press('answer|x|__proto__'),
      press(''),
    ])
      expect((await tested.interact(pressed)).body).toMatchObject({ type: 4, data: { flags: 64 } });
    await tested.settle();
    expect(contents()).toHaveLength(1);
  });
});

describe("a helper's draft", () => {
  const message = (parts: Record<string, unknown> = {}) => ({
    id: newId(),
    content: 'my car hunts at idle, P0171',
    author: { id: '444444444444444444', username: 'owner' },
    ...parts,
  });
  const draftOf = async (asked: Record<string, unknown>) => {
    const before = tested.platform.messages.length;
    expect((await tested.interact(menu(asked))).body).toEqual({ type: 5, data: { flags: 64 } });
    await until(() => tested.platform.messages.length > before);
    const { body } = tested.platform.messages.at(-1)!;
    return (body.components as Array<{ components: Array<{ custom_id: string }> }>)[0]?.components[0]?.custom_id ?? '';
  };
  const asHelper = { member: { user: { id: helper, username: 'mara' } } };

  it('shows evidence and words in private, and goes out as a reply to the post in the helper\u2019s words', async () => {
    const asked = message();
    const draft = await draftOf(asked);
    expect(tested.platform.messages[0]!.body).toMatchObject({
      embeds: [{ description: expect.stringContaining('Read from the post') }],
    });
    expect(await tested.store.counts()).toMatchObject({ answers: 0, due: 0 });
    const window = (await tested.interact(press(draft, asHelper))).body;
    expect(window).toMatchObject({
      type: 9,
      data: { components: [{ components: [{ value: 'post 1 has 27 characters' }] }] },
    });
    const sent = await tested.interact(sendWindow(draft, 'Look at the hose.', asHelper));
    expect(sent.body).toMatchObject({ type: 7, data: { content: 'Sent.', components: [] } });
    await tested.settle();
    expect(tested.platform.messages.at(-1)).toMatchObject({
      channel,
      body: { content: 'Look at the hose.', message_reference: { message_id: asked.id }, enforce_nonce: true },
    });
    const [first] = await tested.store.listAnswers({ order: 'newest', limit: 1, offset: 0 });
    expect((await tested.store.readAnswer(first!.answerId))!.helper).toEqual({
      state: 'done',
      by: `mara (Discord ${helper})`,
    });
  });

  it('is sent once, however often the window is', async () => {
    const draft = await draftOf(message());
    const answers = await Promise.all(
      ['a', 'a', 'a'].map((words) => tested.interact(sendWindow(draft, words, asHelper))),
    );
    expect(answers.filter(({ body }) => body.type === 7)).toHaveLength(1);
    await tested.settle();
    expect(tested.platform.messages.filter(({ body }) => body.content === 'a')).toHaveLength(1);
    expect((await tested.interact(press(draft, asHelper))).body).toMatchObject({ type: 4 });
  });

  it('is not made of what a program wrote', async () => {
    await draftOf(message({ author: { id: '111111111111111111', bot: true } }));
    expect(contents().at(-1)).toContain('A program wrote this');
  });
});

describe('a reply to Discord in trouble', () => {
  const original = '@original';
  it.each<[string, Trouble]>([
    ['the connection breaks after Discord took it', { kind: 'accept-then-drop' }],
    ['the answer breaks off', { kind: 'half-body' }],
    ['the connection breaks before', { kind: 'reset' }],
    ['Discord answers 500', { status: 500 }],
    ['Discord answers no JSON', { kind: 'wrong-json' }],
    ['Discord asks for patience', { status: 429, body: { retry_after: 0.4, global: false } }],
    ['Discord asks for patience in a header', { status: 429, headers: { 'Retry-After': '1' }, body: {} }],
    ['Discord says that it took it before', { status: 400, body: { code: 40_060 } }],
  ])('stands once at most when %s', async (name, trouble) => {
    tested.platform.trouble(original, trouble);
    await tested.interact(ask('P0171'));
    for (let round = 0; round < 5; round += 1) {
      await tested.app.sweep();
      tested.wait(10_000);
    }
    await tested.settle();
    expect(contents()).toHaveLength(name.includes('before') && name.includes('says') ? 0 : 1);
  });

  it.each<[string, Trouble]>([
    ['breaks after Discord took it', { kind: 'accept-then-drop' }],
    ['breaks before', { kind: 'reset' }],
  ])('in the channel stands once when the connection %s', async (_, trouble) => {
    const asked = ask('P0171');
    await tested.interact(asked);
    tested.platform.overTokens.add(String(asked.token));
    tested.platform.trouble(`/channels/${channel}/messages`, trouble);
    for (let round = 0; round < 5; round += 1) {
      await tested.app.sweep();
      tested.wait(200_000);
    }
    await tested.settle();
    expect(contents()).toHaveLength(1);
  });

  it('stops the bot after the first 401, and a channel after the first 403', async () => {
    const askLate = async (where: string) => {
      const asked = ask('P0171', { channel: { id: where, type: 11 } });
      await tested.interact(asked);
      tested.platform.overTokens.add(String(asked.token));
      await tested.settle();
    };
    const calls = () => tested.platform.calls.filter((call) => call.path.startsWith('/channels/')).length;
    tested.platform.closedChannels.add('666666666666666666');
    await askLate('666666666666666666');
    await askLate('666666666666666666');
    expect(calls()).toBe(1);
    await askLate('777777777777777777');
    expect(calls()).toBe(2);
    tested.platform.trouble('/messages', { status: 401, body: { code: 0 } });
    await askLate('777777777777777777');
    await askLate('777777777777777777');
    expect(calls()).toBe(3);
    expect(await tested.store.listMessages('undeliverable', 9)).toHaveLength(4);
  });

  it('says nothing about tokens or posts in the log', async () => {
    const asked = ask('ZEBRAWORD P0171');
    tested.platform.trouble(original, { status: 404, body: { code: 10_003 } });
    await tested.interact(asked);
    await tested.settle();
    expect(tested.logged.join('\n')).not.toContain('ZEBRAWORD');
    expect(tested.logged.join('\n')).not.toContain(String(asked.token));
    expect(tested.logged.join('\n')).not.toContain('good-bot-token');
  });
});

describe('what a moderator says later', () => {
  it('stands as a message of its own, and the old answer says so', async () => {
    await tested.interact(ask('P0171'));
    await tested.settle();
    const [summary] = await tested.store.listAnswers({ order: 'newest', limit: 1, offset: 0 });
    const answer = (await tested.store.readAnswer(summary!.answerId))!;
    const words = 'A moderator has withdrawn the earlier answer.';
    const { conversation, postId, answerId } = answer;
    await tested.store.reviewAnswer({
      answerId,
      version: answer.review.version,
      state: 'withdrawn',
      by: 'Ida',
      reason: 'wrong car',
      message: {
        channel: 'discord',
        conversation,
        postId,
        kind: 'withdrawal',
        text: words,
        markdown: words,
        marker: 'm1',
      },
      now: tested.now(),
    });
    await tested.settle();
    expect(contents()).toEqual([expect.stringMatching(/^\*\*This answer was withdrawn/), words]);
    expect(tested.platform.messages[0]!.body.components).toEqual([]);
  });
});
