// Several workspaces: installation, tokens that end and are renewed by one caller alone, removal.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { aSlack, mention, type SlackUnderTest } from './a-slack.ts';

let tested: SlackUnderTest;
const install = { clientId: '1.2', clientSecret: 'client-secret' };
beforeEach(async () => {
  tested = await aSlack({ settings: { botToken: null, install, address: 'https://cars.example' } });
});
afterEach(() => tested.stop());

const get = (path: string, cookie = '') =>
  tested.app.fetch(new Request(`https://cars.example${path}`, { headers: cookie === '' ? {} : { Cookie: cookie } }));

/** Goes to Slack and comes back as a browser does. */
async function installApp(code = 'good-code'): Promise<Response> {
  const begun = await get('/slack/install');
  const cookie = begun.headers.getSetCookie()[0]!.split(';')[0]!;
  const state = new URL(begun.headers.get('location')!).searchParams.get('state')!;
  return get(`/slack/oauth?code=${code}&state=${encodeURIComponent(state)}`, cookie);
}
const calls = (method: string) => tested.platform.calls.filter((call) => call.path.endsWith(method));
const tokensUsed = () => calls('chat.postMessage').map((call) => call.headers.authorization);

describe('the installation by a workspace', () => {
  it('goes to Slack with what the bot needs and a state bound to the browser', async () => {
    const response = await get('/slack/install');
    const way = new URL(response.headers.get('location')!);
    expect([response.status, way.pathname]).toEqual([302, '/oauth/v2/authorize']);
    expect(way.searchParams.get('scope')!.split(',')).toEqual(expect.arrayContaining(['chat:write', 'commands']));
    expect(way.searchParams.get('redirect_uri')).toBe('https://cars.example/slack/oauth');
    expect(response.headers.getSetCookie()[0]).toMatch(
      /^__Host-slack-install=.+; Max-Age=600; Path=\/; HttpOnly; Secure; SameSite=Lax$/,
    );
  });

  it("keeps that workspace's token sealed and answers there with it", async () => {
    expect((await installApp()).status).toBe(200);
    expect(Buffer.from(calls('oauth.v2.access')[0]!.headers.authorization!.slice(6), 'base64').toString()).toBe(
      '1.2:client-secret',
    );
    await tested.event(mention('P0171'), 'T2');
    await tested.event(mention('P0171'), 'T9');
    await tested.settle();
    expect(tokensUsed()).toEqual(['Bearer xoxb-installed']);
    expect(await tested.store.listMessages('undeliverable', 9)).toHaveLength(1);
    expect(tested.logged.join('\n')).not.toMatch(/xoxb-|xoxe-|client-secret|good-code/);
  });

  it('also answers there what somebody of another workspace asks in a shared channel', async () => {
    await installApp();
    const authorizations = [{ team_id: 'T2', user_id: 'UBOT2', is_bot: true }];
    await tested.send({ type: 'event_callback', team_id: 'T9', authorizations, event: mention('P0171') });
    await tested.settle();
    expect(tokensUsed()).toEqual(['Bearer xoxb-installed']);
  });

  it.each([
    ['without the cookie', async () => get('/slack/oauth?code=good-code&state=x'), 403],
    [
      'with the state of another browser',
      async () => {
        const [one, other] = [await get('/slack/install'), await get('/slack/install')];
        const state = new URL(one.headers.get('location')!).searchParams.get('state')!;
        return get(`/slack/oauth?code=good-code&state=${state}`, other.headers.getSetCookie()[0]!.split(';')[0]!);
      },
      403,
    ],
    [
      'after more than ten minutes',
      async () => {
        const begun = await get('/slack/install');
        tested.wait(602_000);
        const state = new URL(begun.headers.get('location')!).searchParams.get('state')!;
        return get(`/slack/oauth?code=good-code&state=${state}`, begun.headers.getSetCookie()[0]!.split(';')[0]!);
      },
      403,
    ],
    ['with a code that Slack refuses', async () => installApp('bad-code'), 503],
    ['with a code that is none', async () => installApp('%00%0d%0a'), 400],
  ])('%s ends without a token', async (_, attempt, status) => {
    expect((await attempt()).status).toBe(status);
    await tested.event(mention('P0171'), 'T2');
    await tested.settle();
    expect(tokensUsed()).toEqual([]);
  });
});

describe('a token that ends', () => {
  const nearEnd = 12 * 3_600_000 - 3_600_000;

  it('is renewed once for fifty replies at the same time, and all of them go out', async () => {
    await installApp();
    tested.wait(nearEnd);
    await Promise.all(Array.from({ length: 50 }, () => tested.event(mention('P0171'), 'T2')));
    await tested.settle();
    expect(tested.platform.refreshes).toEqual(['xoxe-first']);
    expect(tested.platform.messages).toHaveLength(50);
    expect(new Set(tokensUsed()).size).toBe(1);
    expect(tokensUsed()[0]).toMatch(/^Bearer xoxe\.xoxb-/);
  });

  it('is asked for twice when the first answer breaks off', async () => {
    await installApp();
    tested.wait(nearEnd);
    tested.platform.trouble('oauth.v2.access', { kind: 'reset' });
    await Promise.all(Array.from({ length: 20 }, () => tested.event(mention('P0171'), 'T2')));
    await tested.settle();
    expect(calls('oauth.v2.access')).toHaveLength(3);
    expect(tested.platform.messages).toHaveLength(20);
  });

  it('is used until its end while Slack cannot renew it', async () => {
    await installApp();
    tested.wait(nearEnd);
    tested.platform.trouble('oauth.v2.access', { status: 500 }, { status: 500 });
    await tested.event(mention('P0171'), 'T2');
    await tested.settle();
    expect(tokensUsed()).toEqual(['Bearer xoxb-installed']);
  });

  it('ends the workspace when Slack refuses to renew it', async () => {
    await installApp();
    tested.wait(nearEnd);
    tested.platform.refreshes.push('xoxe-first');
    await tested.event(mention('P0171'), 'T2');
    await tested.settle();
    expect(tokensUsed()).toEqual([]);
    expect(await tested.store.listMessages('undeliverable', 9)).toMatchObject([
      { because: expect.stringContaining('install the app again') },
    ]);
  });
});

describe('the removal from a workspace', () => {
  const uninstalled = { type: 'app_uninstalled' };
  const revoked = { type: 'tokens_revoked', tokens: { bot: ['UBOT2'] } };
  it.each([
    ['uninstalled, then revoked', [uninstalled, revoked]],
    ['revoked, then uninstalled', [revoked, uninstalled]],
    ['each of them twice', [uninstalled, uninstalled, revoked, revoked]],
  ])('%s: tokens are gone, nothing is sent there, and nothing fails', async (_, events) => {
    await installApp();
    for (const event of events) expect((await tested.event(event, 'T2')).status).toBe(200);
    await tested.event(mention('P0171'), 'T2');
    await tested.settle();
    expect(tokensUsed()).toEqual([]);
    expect(await tested.store.readRecord('slack', 'workspace', 'T2', tested.now())).toBeNull();
    // Installed again, it works again.
    await installApp();
    await tested.event(mention('P0171'), 'T2');
    await tested.settle();
    expect(tokensUsed()).toHaveLength(1);
  });

  it('of a person alone changes nothing', async () => {
    await installApp();
    await tested.event({ type: 'tokens_revoked', tokens: { oauth: ['U1'], bot: [] } }, 'T2');
    await tested.event(mention('P0171'), 'T2');
    await tested.settle();
    expect(tokensUsed()).toHaveLength(1);
  });
});

describe('a log attached to a message', () => {
  const asked = (address: string, parts: Record<string, unknown> = {}) =>
    mention('here is my log', {
      subtype: 'file_share',
      files: [{ name: 'drive.csv', mimetype: 'text/csv', size: 20, url_private_download: address, ...parts }],
    });
  const stored = async () => {
    await tested.settle();
    const answers = await tested.store.listAnswers({ order: 'newest', limit: 1, offset: 0 });
    const answer = (await tested.store.readAnswer(answers[0]!.answerId))!;
    return { text: answer.postText, attachments: await tested.store.readAttachments(answer.postId) };
  };
  beforeEach(async () => {
    await tested.stop();
    tested = await aSlack();
    tested.platform.files.set('log', Buffer.from('time,rpm\n0,800\n'));
  });

  it('is fetched from Slack with the token and kept with the post', async () => {
    expect((await tested.event(asked(`${tested.platform.address}/files/log`))).status).toBe(200);
    expect(await stored()).toEqual({
      text: 'here is my log',
      attachments: [{ name: 'drive.csv', type: 'text/csv', text: 'time,rpm\n0,800\n' }],
    });
  });

  it.each([
    'http://127.0.0.1:9/files/log',
    'http://169.254.169.254/latest/meta-data',
    'http://[::1]:9/x',
    'http://2130706433/x',
    'https://files.slack.com.evil.example/x',
    'https://files.slack.com@evil.example/x',
    'file:///etc/passwd',
    'javascript:1',
    '',
  ])('is not fetched from %s', async (address) => {
    const before = tested.platform.calls.length;
    expect((await tested.event(asked(address))).status).toBe(200);
    const { text, attachments } = await stored();
    expect(attachments).toEqual([]);
    expect(text).toContain('[The attached file "drive.csv" was not read');
    expect(tested.platform.calls.slice(before).filter((call) => call.method === 'GET')).toEqual([]);
  });

  it('over 5 MiB is refused, by what Slack says and by what comes', async () => {
    await tested.event(asked(`${tested.platform.address}/files/log`, { size: 5 * 1024 * 1024 + 1 }));
    expect((await stored()).text).toContain('over 5 MiB');
    tested.platform.files.set('log', Buffer.alloc(5 * 1024 * 1024 + 1, 'x'));
    await tested.event(asked(`${tested.platform.address}/files/log`, { size: null }));
    expect((await stored()).text).toContain('over 5 MiB');
    tested.platform.files.set('log', Buffer.alloc(5 * 1024 * 1024, 'x'));
    await tested.event(asked(`${tested.platform.address}/files/log`));
    expect((await stored()).attachments[0]?.text.length).toBe(5 * 1024 * 1024);
  });

  it('that does not come lets Slack deliver the event again, and is named when it never does', async () => {
    tested.platform.trouble('/files/log', { status: 500 }, { kind: 'reset' }, { status: 503 });
    const event = asked(`${tested.platform.address}/files/log`);
    const body = { type: 'event_callback', team_id: 'T1', event };
    const statuses = [];
    for (const retry of ['0', '1', '2'])
      statuses.push((await tested.send(body, { 'X-Slack-Retry-Num': retry })).status);
    expect(statuses).toEqual([503, 503, 200]);
    expect((await stored()).text).toContain('was not read');
  });

  it('that is a photograph is no log and not missed', async () => {
    await tested.event(asked(`${tested.platform.address}/files/log`, { mimetype: 'image/jpeg' }));
    expect(await stored()).toEqual({ text: 'here is my log', attachments: [] });
  });
});
