// Calls to Slack and Discord at their real addresses, intercepted inside the process (msw): what is sent, and what every kind of
// answer is taken for.
import { HttpResponse, http, passthrough } from 'msw';
import { setupServer } from 'msw/node';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { discordApi } from '../../src/channels/discord/discord-api.ts';
import { discordApiUrl } from '../../src/channels/discord/discord-settings.ts';
import { slackApi } from '../../src/channels/slack/slack-api.ts';
import { platformServer } from '../fake-platform/platform-server.ts';

const network = setupServer();
beforeAll(() => network.listen({ onUnhandledRequest: 'error' }));
afterEach(() => network.resetHandlers());
afterAll(() => network.close());

const call = (address: string, init: RequestInit) => fetch(address, init);
const slack = slackApi('https://slack.com/api', call);
const discord = discordApi(discordApiUrl, call);

const ofSlack = (answer: () => Response) => network.use(http.post('https://slack.com/api/chat.postMessage', answer));
const ofDiscord = (answer: () => Response) => network.use(http.post(`${discordApiUrl}/channels/1/messages`, answer));
const postToSlack = () => slack.call('chat.postMessage', 'xoxb-t', { channel: 'C1', text: 'x' });
const postToDiscord = () =>
  discord({ method: 'POST', path: '/channels/1/messages', body: { content: 'x' }, botToken: 'token' });

describe('a call to Slack', () => {
  it('carries JSON or a form with the token, and hands back the body', async () => {
    const seen: Array<[string | null, string | null, string]> = [];
    network.use(
      http.post('https://slack.com/api/:method', async ({ request }) => {
        seen.push([request.headers.get('authorization'), request.headers.get('content-type'), await request.text()]);
        return HttpResponse.json({ ok: true, ts: '1.2' });
      }),
    );
    expect(await postToSlack()).toEqual({ kind: 'ok', body: { ok: true, ts: '1.2' } });
    await slack.callForm('oauth.v2.access', 'Basic abc', { code: 'a b&c' });
    expect(seen).toEqual([
      ['Bearer xoxb-t', 'application/json; charset=utf-8', '{"channel":"C1","text":"x"}'],
      ['Basic abc', 'application/x-www-form-urlencoded', 'code=a+b%26c'],
    ]);
  });

  it.each<[string, () => Response, Record<string, unknown>]>([
    [
      'an error word',
      () => HttpResponse.json({ ok: false, error: 'is_archived' }),
      { kind: 'rejected', error: 'is_archived' },
    ],
    ['an error that passes', () => HttpResponse.json({ ok: false, error: 'fatal_error' }), { kind: 'unknown' }],
    [
      'ratelimited',
      () => HttpResponse.json({ ok: false, error: 'ratelimited' }, { headers: { 'Retry-After': '7' } }),
      { kind: 'wait', afterMs: 7000 },
    ],
    [
      '429 and a time',
      () => new Response('', { status: 429, headers: { 'Retry-After': '30' } }),
      { kind: 'wait', afterMs: 30_000 },
    ],
    [
      '429 and nonsense',
      () => new Response('', { status: 429, headers: { 'Retry-After': 'soon' } }),
      { kind: 'wait', afterMs: null },
    ],
    [
      '429 and a negative time',
      () => new Response('', { status: 429, headers: { 'Retry-After': '-1' } }),
      { kind: 'wait', afterMs: null },
    ],
    ['500', () => new Response('', { status: 500 }), { kind: 'unknown' }],
    ['504', () => new Response('<html>', { status: 504 }), { kind: 'unknown' }],
    ['no JSON', () => new Response('ok'), { kind: 'unknown' }],
    ['a number', () => HttpResponse.json(7), { kind: 'unknown' }],
    ['null', () => HttpResponse.json(null), { kind: 'unknown' }],
    ['neither success nor error', () => HttpResponse.json({}), { kind: 'unknown' }],
    [
      'a redirect',
      () => new Response(null, { status: 302, headers: { Location: 'https://other.invalid/' } }),
      { kind: 'unknown' },
    ],
    ['a broken connection', () => HttpResponse.error(), { kind: 'unknown' }],
  ])('answered with %s is taken for what it is', async (_, answer, expected) => {
    ofSlack(answer);
    expect(await postToSlack()).toMatchObject(expected);
  });

  it('that never left is told from one that may have arrived', async () => {
    const closed = await platformServer(() => ({ status: 200 }));
    await closed.stop();
    network.use(http.post(`${closed.address}/:method`, () => passthrough()));
    const nobody = slackApi(closed.address, call);
    expect((await nobody.call('x', null, {})).kind).toBe('unreached');
  });
});

describe('a call to Discord', () => {
  it('carries JSON with the token, or a form when a picture goes along', async () => {
    const seen: string[] = [];
    network.use(
      http.post(`${discordApiUrl}/channels/1/messages`, async ({ request }) => {
        const form = request.headers.get('content-type')!.startsWith('multipart/') ? await request.formData() : null;
        const file = form?.get('files[0]');
        seen.push(
          form
            ? `${String(form.get('payload_json'))} ${file instanceof File ? `${file.type} ${file.size}` : 'none'}`
            : await request.text(),
        );
        return HttpResponse.json({ id: '1', channel_id: '1', token: request.headers.get('authorization') });
      }),
    );
    expect(await postToDiscord()).toMatchObject({ kind: 'ok', body: { token: 'Bot token' } });
    const png = new Uint8Array([1, 2, 3]);
    await discord({ method: 'POST', path: '/channels/1/messages', body: { content: 'x' }, png, botToken: null });
    expect(seen).toEqual(['{"content":"x"}', '{"content":"x"} image/png 3']);
  });

  it.each<[string, () => Response, Record<string, unknown>]>([
    [
      'a refusal',
      () => HttpResponse.json({ code: 10_003 }, { status: 404 }),
      { kind: 'rejected', status: 404, code: 10_003 },
    ],
    [
      'a refusal without a number',
      () => new Response('no', { status: 400 }),
      { kind: 'rejected', status: 400, code: 0 },
    ],
    [
      '429 and a time in the body',
      () => HttpResponse.json({ retry_after: 0.65, global: true }, { status: 429 }),
      { kind: 'wait', afterMs: 650 },
    ],
    [
      '429 and a time in the header',
      () => new Response('', { status: 429, headers: { 'Retry-After': '3' } }),
      { kind: 'wait', afterMs: 3000 },
    ],
    [
      '429 and nonsense',
      () => HttpResponse.json({ retry_after: -4 }, { status: 429 }),
      { kind: 'wait', afterMs: null },
    ],
    ['502', () => new Response('', { status: 502 }), { kind: 'unknown' }],
    ['204', () => new Response(null, { status: 204 }), { kind: 'ok' }],
    ['no JSON', () => new Response('fine'), { kind: 'unknown' }],
    ['a broken connection', () => HttpResponse.error(), { kind: 'unknown' }],
  ])('answered with %s is taken for what it is', async (_, answer, expected) => {
    ofDiscord(answer);
    expect(await postToDiscord()).toMatchObject(expected);
  });
});
