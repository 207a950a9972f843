// Slack end to end inside one process: what comes in by the signed route, and what then stands in the channel.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { Problem } from '../../../src/vocabulary/problems.ts';
import { slackHeaders } from '../../fake-platform/slack-platform.ts';
import { aFullAnswer, aSlack, direct, mention, newTs, type SlackUnderTest } from './a-slack.ts';

let tested: SlackUnderTest;
beforeEach(async () => {
  tested = await aSlack();
});
afterEach(() => tested.stop());

const standing = () => tested.platform.messages.map(({ channel, threadTs, text }) => ({ channel, threadTs, text }));
const shownBlocks = (index = 0) => tested.platform.messages[index]!.blocks;

describe('the route of Slack', () => {
  it('answers the check of its address, signed like anything else', async () => {
    const response = await tested.send({ type: 'url_verification', challenge: 'abc123', token: 'x' });
    expect([response.status, await response.text()]).toEqual([200, 'abc123']);
  });

  it('answers the check of its certificate without a signature and does nothing', async () => {
    const response = await tested.app.fetch(
      new Request('http://localhost/slack/events', {
        method: 'POST',
        body: 'token=x&ssl_check=1',
        headers: { 'Content-Type': 'application/x-www-form-urlencoded' },
      }),
    );
    expect(response.status).toBe(200);
    expect((await tested.store.counts()).waiting).toBe(0);
  });

  it.each([
    ['nothing', {}],
    ['a wrong secret', slackHeaders(JSON.stringify(mention('x')), Date.now(), 'another-secret')],
    ['an old time', slackHeaders(JSON.stringify(mention('x')), Date.now() - 301_000)],
  ])('refuses a body proved by %s with one and the same 401', async (_, headers) => {
    const response = await tested.app.fetch(
      new Request('http://localhost/slack/events', {
        method: 'POST',
        body: JSON.stringify(mention('x')),
        headers: { 'Content-Type': 'application/json', ...headers },
      }),
    );
    expect([response.status, response.headers.get('content-type')]).toEqual([401, 'application/problem+json']);
    expect(await response.json()).toMatchObject({ detail: 'The signature is missing, wrong or too old.' });
  });

  it.each([
    ['empty', ''],
    ['half', '{'],
    ['null', 'null'],
    ['a list', '[]'],
    ['a text', '"x"'],
    ['a number', '7'],
    ['deep', `${'['.repeat(65)}${']'.repeat(65)}`],
    ['very deep', '['.repeat(100_000)],
  ])('refuses a signed body that is %s with 400', async (_, body) => {
    const response = await tested.app.fetch(
      new Request('http://localhost/slack/events', {
        method: 'POST',
        body,
        headers: { 'Content-Type': 'application/json', ...slackHeaders(body, Date.now()) },
      }),
    );
    expect([response.status, response.headers.get('content-type')]).toEqual([400, 'application/problem+json']);
  });

  it('takes odd but signed events for nothing', async () => {
    for (const body of [
      {},
      { type: 'event_callback' },
      { type: 'event_callback', team_id: 'T1', event: null },
      { type: 'event_callback', team_id: 'T1', event: { type: 'message', channel: 7 } },
      { type: 'event_callback', team_id: '../..', event: mention('x') },
      { type: 'block_actions' },
      { type: 'something_new', payload: {} },
    ])
      expect((await tested.send(body)).status).toBe(200);
    expect(await tested.store.counts()).toMatchObject({ waiting: 0, answers: 0 });
  });

  it('does not acknowledge what it could not store', async () => {
    const original = tested.store.acceptPost;
    Object.assign(tested.store, {
      acceptPost: async () => {
        throw new Problem('unavailable', 'the disk is full');
      },
    });
    expect((await tested.event(mention('P0171'))).status).toBe(503);
    Object.assign(tested.store, { acceptPost: original });
    expect((await tested.event(mention('P0171'))).status).toBe(200);
  });
});

describe('a mention', () => {
  it('is answered once, in its thread', async () => {
    const ts = newTs();
    expect((await tested.event(mention('P0171, rough idle', { ts }))).status).toBe(200);
    await tested.settle();
    expect(standing()).toEqual([{ channel: 'C1', threadTs: ts, text: '*post 1 has 17 characters*' }]);
  });

  it('that comes as two kinds of event, four times over and in parallel, is answered once', async () => {
    const asked = mention('P0171');
    const asMessage = { ...asked, type: 'message', channel_type: 'channel' };
    const copies = [asked, asMessage, asked, asMessage].flatMap((event, index) => [
      tested.event(event),
      tested.send(
        { type: 'event_callback', team_id: 'T1', event },
        { 'X-Slack-Retry-Num': String(index + 1), 'X-Slack-Retry-Reason': 'http_timeout' },
      ),
    ]);
    expect((await Promise.all(copies)).map((response) => response.status)).toEqual(copies.map(() => 200));
    await tested.settle();
    expect(standing()).toHaveLength(1);
  });

  it('goes on in its thread as one case, by mention or by the same person alone', async () => {
    const ts = newTs();
    await tested.event(mention('P0171', { ts }));
    await tested.settle();
    await tested.event({ ...mention('x'), type: 'message', channel_type: 'channel', text: 'no smoke', thread_ts: ts });
    await tested.event({
      ...mention('x'),
      type: 'message',
      channel_type: 'channel',
      text: 'me too',
      thread_ts: ts,
      user: 'U9',
    });
    await tested.event({ ...mention('x'), type: 'message', channel_type: 'channel', text: 'a new topic' });
    await tested.settle();
    expect(standing().map(({ threadTs, text }) => [threadTs, text])).toEqual([
      [ts, '*post 1 has 5 characters*'],
      [ts, '*post 2 has 8 characters*'],
    ]);
  });

  it('in two workspaces with equal channel and user ids never crosses over', async () => {
    const ts = newTs();
    await tested.event(mention('first workspace', { ts }), 'T1');
    await tested.event(mention('the second one', { ts }), 'T2');
    await tested.settle();
    expect(
      standing()
        .map(({ text }) => text)
        .sort(),
    ).toEqual(['*post 1 has 14 characters*', '*post 1 has 15 characters*']);
  });
});

describe('a direct message', () => {
  it('is answered in line, and in its thread when it has one', async () => {
    await tested.event(direct('P0171'));
    await tested.settle();
    await tested.event(direct('no smoke'));
    await tested.settle();
    await tested.event(direct('another car', { thread_ts: '1700000000.000001' }));
    await tested.settle();
    expect(standing()).toEqual([
      { channel: 'D1', threadTs: null, text: '*post 1 has 5 characters*' },
      { channel: 'D1', threadTs: null, text: '*post 2 has 8 characters*' },
      { channel: 'D1', threadTs: '1700000000.000001', text: '*post 1 has 11 characters*' },
    ]);
  });

  it.each([
    ['the bot itself', { bot_id: 'B1' }],
    ['another bot', { bot_id: 'B2', app_id: 'A9' }],
    ['an old integration', { subtype: 'bot_message', user: undefined }],
    ['Slack about who joined', { subtype: 'channel_join' }],
    ['nobody', { user: undefined }],
  ])('from %s is not answered', async (_, parts) => {
    expect((await tested.event(direct('P0171 <@UBOT>', parts))).status).toBe(200);
    await tested.settle();
    expect(standing()).toEqual([]);
  });
});

describe('an edit or a deletion', () => {
  const changed = (before: Record<string, unknown>, text: string, edited = true) => ({
    type: 'message',
    subtype: 'message_changed',
    channel: before.channel,
    ts: newTs(),
    event_ts: newTs(),
    message: {
      ...before,
      text,
      ...(edited ? { edited: { user: 'U1', ts: `${Math.floor(Date.now() / 1000) + 60}.000000` } } : {}),
    },
    previous_message: before,
  });

  it('of an answered post corrects the one reply in place', async () => {
    const asked = direct('P0171');
    await tested.event(asked);
    await tested.settle();
    await tested.event(changed(asked, 'P0172 and black smoke'));
    await tested.settle();
    expect(standing()).toEqual([{ channel: 'D1', threadTs: null, text: '*post 1 has 21 characters*' }]);
    expect(tested.platform.messages[0]!.edits).toBe(1);
  });

  it('before the answer leads to one reply to the new words', async () => {
    const asked = direct('P0171');
    await Promise.all([tested.event(asked), tested.event(changed(asked, 'P0172 and black smoke'))]);
    await tested.settle();
    expect(standing()).toHaveLength(1);
  });

  it('that only shows a link preview or a new reply changes nothing', async () => {
    const asked = direct('see https://x.example');
    await tested.event(asked);
    await tested.settle();
    const calls = tested.platform.calls.length;
    for (let round = 0; round < 50; round += 1) await tested.event(changed(asked, asked.text, round % 2 === 0));
    await tested.settle();
    expect(tested.platform.calls.length).toBe(calls);
  });

  it('takes the reply away with the post', async () => {
    const asked = direct('P0171');
    await tested.event(asked);
    await tested.settle();
    const deletion = {
      type: 'message',
      subtype: 'message_deleted',
      channel: 'D1',
      ts: newTs(),
      deleted_ts: asked.ts,
      hidden: true,
    };
    await tested.event(deletion);
    await tested.event(deletion);
    await tested.settle();
    expect(standing()).toEqual([]);
    // A late copy of the event brings nothing back.
    await tested.event(asked);
    await tested.settle();
    expect(standing()).toEqual([]);
  });

  it('before the answer prevents it', async () => {
    const asked = direct('P0171');
    await tested.event({
      type: 'message',
      subtype: 'message_deleted',
      channel: 'D1',
      ts: newTs(),
      deleted_ts: asked.ts,
    });
    await tested.event(asked);
    await tested.settle();
    expect(standing()).toEqual([]);
  });
});

describe('the slash command', () => {
  const command = (text: string, parts: Record<string, string> = {}) =>
    new URLSearchParams({
      command: '/crosscount',
      text,
      user_id: 'U1',
      user_name: 'owner',
      channel_id: 'C1',
      team_id: 'T1',
      response_url: `${tested.platform.address}/response/1`,
      trigger_id: `trigger-${Math.random()}`,
      ...parts,
    });

  it('is acknowledged in private and answered in private', async () => {
    const response = await tested.send(command('P0171, rough idle'));
    expect([response.status, await response.json()]).toMatchObject([200, { response_type: 'ephemeral' }]);
    await tested.settle();
    expect(standing()).toEqual([]);
    expect(tested.platform.privateReplies).toMatchObject([
      { response_type: 'ephemeral', text: '*post 1 has 17 characters*' },
    ]);
  });

  it('is answered by direct message when its address has run out', async () => {
    tested.platform.alwaysTrouble({ status: 500 });
    await tested.send(command('P0171'));
    await tested.app.sweep();
    tested.platform.alwaysTrouble(null);
    tested.wait(30 * 60_000);
    await tested.settle();
    expect(standing()).toEqual([{ channel: 'U1', threadTs: null, text: '*post 1 has 5 characters*' }]);
  });

  it('never posts to an address that is not of Slack', async () => {
    await tested.send(command('P0171', { response_url: 'http://127.0.0.1:9/steal' }));
    await tested.settle();
    expect(standing()).toMatchObject([{ channel: 'U1' }]);
  });

  it('explains itself and its privacy, and forgets who asks for it', async () => {
    for (const [text, says] of [
      ['', 'Write what the car does'],
      ['help', 'Write what the car does'],
      ['privacy', 'encrypted'],
    ] as const)
      expect(JSON.stringify(await (await tested.send(command(text))).json())).toContain(says);
    await tested.event(direct('P0171 SECRETWORD'));
    await tested.settle();
    await tested.send(command('forget me'));
    for (let round = 0; round < 50 && tested.platform.privateReplies.length === 0; round += 1)
      await new Promise((resolve) => setTimeout(resolve, 20));
    expect(tested.platform.privateReplies).toMatchObject([{ text: expect.stringMatching(/^Done: 1 of your posts/) }]);
    expect(await tested.store.readConversation('slack', 'T1/D1/direct', 9)).toEqual([]);
  });

  it('written in a post does nothing', async () => {
    await tested.event(direct('/crosscount forget me'));
    await tested.event(direct('forget me'));
    await tested.settle();
    expect(standing()).toHaveLength(2);
  });
});

describe('quick answers', () => {
  beforeEach(async () => {
    await tested.stop();
    tested = await aSlack({ app: { answer: aFullAnswer } });
  });
  const press = (index: number, user = 'U1') => {
    const message = tested.platform.messages[0]!;
    const actions = message.blocks.find((block) => block.type === 'actions') as { elements: Array<{ value: string }> };
    return tested.send(
      new URLSearchParams({
        payload: JSON.stringify({
          type: 'block_actions',
          team: { id: 'T1' },
          user: { id: user },
          channel: { id: 'C1' },
          container: { type: 'message', message_ts: message.ts },
          message: { ts: message.ts, blocks: message.blocks },
          response_url: `${tested.platform.address}/response/press`,
          actions: [
            {
              type: 'button',
              action_id: `answer-${index}`,
              value: actions.elements[index]!.value,
              action_ts: String(Math.random()),
            },
          ],
        }),
      }),
    );
  };

  it('stand as buttons below the reply, beside the picture', async () => {
    await tested.event(mention('P0171'));
    await tested.settle();
    expect(shownBlocks().map((block) => block.type)).toEqual(['section', 'image', 'actions']);
    expect(shownBlocks()[1]).toMatchObject({
      slack_file: { id: expect.any(String) },
      alt_text: 'Behind the engine, above the catalyst.',
    });
    expect([...tested.platform.files.values()].map(String)).toEqual(['a png']);
  });

  it('become a post in the words of the button, once, whoever presses how often', async () => {
    const ts = newTs();
    await tested.event(mention('P0171', { ts }));
    await tested.settle();
    const responses = await Promise.all([press(1), press(1), press(0), press(1, 'U2')]);
    expect(responses.map((response) => response.status)).toEqual([200, 200, 200, 200]);
    await tested.settle();
    expect(standing()).toHaveLength(2);
    const entries = await tested.store.readConversation('slack', `T1/C1/${ts}`, 9);
    const posts = entries.filter((entry) => entry.kind === 'post').map((entry) => entry.text);
    expect(posts).toHaveLength(2);
    expect(['No smoke at all', 'Yes, black smoke']).toContain(posts[1]);
    expect(tested.platform.privateReplies).toMatchObject([
      { replace_original: true, blocks: expect.not.arrayContaining([expect.objectContaining({ type: 'actions' })]) },
    ]);
  });
});
