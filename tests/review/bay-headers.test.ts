// The headers of everything below /bay, as the program sends them. From: OWASP ASVS 5.0.0, 3.3.1 to 3.3.4, 3.4.1 to 3.4.8, 14.3.2
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type App, createApp } from '../../src/app.ts';
import { fetchedChannel } from '../../src/channels/channel.ts';
import { webChat } from '../../src/channels/web/web-chat.tsx';
import { hashToken, newToken } from '../../src/pages/tokens.ts';
import { bay } from '../../src/review/bay.tsx';
import type { BayStore } from '../../src/store/bay-store.ts';
import { aStore } from '../a-store.ts';
import { smallKnowledge } from '../an-answer.ts';
import { exampleAnswer } from '../example-answer.ts';

let store: BayStore;
let remove: () => Promise<void>;
let app: App;

beforeEach(async () => {
  ({ store, remove } = await aStore());
  app = createApp({
    store,
    knowledge: smallKnowledge,
    answer: exampleAnswer,
    clock: Date.now,
    newId: () => crypto.randomUUID(),
    random: Math.random,
    sleep: async () => {},
    log: { info: () => {}, warn: () => {}, error: () => {} },
    channels: [fetchedChannel('web')],
    pages: { chat: webChat, bay },
    secureCookies: true,
    renderPng: async () => new Uint8Array(),
    isStopping: () => false,
  });
});
afterEach(() => remove());

const get = (path: string, headers: Record<string, string> = {}) =>
  app.fetch(new Request(`https://bay.test${path}`, { headers }));

describe('every page of the bay', () => {
  it.each(['/bay', '/bay/queue', '/bay/sign-in', '/bay/sign-in?token=x', '/bay/nothing'])(
    '%s is shut',
    async (path) => {
      const { headers } = await get(path);
      const policy = headers.get('content-security-policy')!;
      for (const part of [
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "require-trusted-types-for 'script'",
      ])
        expect(policy).toContain(part);
      expect(policy).not.toMatch(/unsafe|http|\*/);
      expect(Object.fromEntries(headers)).toMatchObject({
        'cache-control': 'no-store',
        'x-content-type-options': 'nosniff',
        'x-frame-options': 'DENY',
        'referrer-policy': 'no-referrer',
        'cross-origin-opener-policy': 'same-origin',
        'cross-origin-resource-policy': 'same-origin',
      });
      expect(headers.get('strict-transport-security')).toContain('max-age=31536000');
      expect(headers.get('content-type')).toContain('charset=UTF-8');
    },
  );

  it('takes the session cookie with every guard that a path allows', async () => {
    const token = newToken();
    const link = { name: 'Ada', role: 'moderator', communities: null, expiresAt: Date.now() + 60_000 } as const;
    await store.addSignInLink({ ...link, tokenHash: await hashToken(token) });
    const signedIn = await app.fetch(
      new Request('https://bay.test/bay/sign-in', {
        method: 'POST',
        headers: { Origin: 'https://bay.test' },
        body: new URLSearchParams({ token }),
      }),
    );
    const cookie = signedIn.headers.get('set-cookie')!;
    expect(cookie).toMatch(
      /^__Secure-bay-session=[\w-]{43}; Max-Age=43200; Path=\/bay; HttpOnly; Secure; SameSite=Strict$/,
    );
    const page = await get('/bay/calibration', { Cookie: cookie.split(';')[0]! });
    expect([page.status, page.headers.get('cache-control')]).toEqual([200, 'no-store']);
  });

  it('changes nothing by being looked at', async () => {
    for (const path of [
      '/bay/answers/1/take',
      '/bay/answers/1/review',
      '/bay/answers/1/erase',
      '/bay/sign-out',
      '/bay/answers/1/export',
    ])
      expect((await get(path)).status).toBe(401);
    expect((await store.verifyAudit(null)).entries).toBe(0);
  });
});
