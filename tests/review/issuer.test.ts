// Signing in through an issuer, against a real OpenID Connect provider on loopback: the whole way, who is let in, and what an
// attacker in the middle can change.
import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import Provider from 'oidc-provider';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { bay } from '../../src/review/bay.tsx';
import { openIssuer } from '../../src/review/open-issuer.ts';
import { aVisitor, mounted, origin, type Visitor } from '../a-visitor.ts';
import { smallKnowledge } from '../an-answer.ts';
import { exampleAnswer } from '../example-answer.ts';
import { aBay, type BayForTests } from './a-bay.ts';

const secret = 'a-secret-of-the-tests-0123456789';
let server: Server;
let issuerAddress: string;
let tests: BayForTests;

beforeAll(async () => {
  // The address must be known before the provider is made, and the port only is when somebody listens.
  const { createServer } = await import('node:http');
  let provider: Provider;
  server = createServer((request, response) => void provider.callback()(request, response));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  issuerAddress = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  provider = new Provider(issuerAddress, {
    clients: [
      {
        client_id: 'bay',
        client_secret: secret,
        redirect_uris: [`${origin}/bay/sign-in/back`],
        token_endpoint_auth_method: 'client_secret_post',
      },
    ],
    pkce: { required: () => true },
    findAccount: (_context, id) => ({ accountId: id, claims: async () => ({ sub: id, name: `Name of ${id}` }) }),
    cookies: { keys: ['cookie-key-of-the-tests'] },
    features: { devInteractions: { enabled: true } },
    conformIdTokenClaims: false,
  });
}, 30_000);
afterAll(() => new Promise<void>((resolve) => server.close(() => resolve())));

beforeEach(async () => {
  const issuer = openIssuer(
    { address: issuerAddress, clientId: 'bay', clientSecret: secret, allowsHttp: true },
    Date.now,
  );
  tests = await aBay(exampleAnswer, smallKnowledge, { issuer });
});
afterEach(() => tests.remove());

const visitor = () => aVisitor(mounted('/bay', bay, tests.deps));
const grantFor = (who: string, role: 'helper' | 'moderator' = 'moderator') =>
  tests.store.putGrant(
    { subject: `${issuerAddress} ${who}`, name: `The ${who}`, role, communities: ['web'] },
    1,
    '(test)',
  );

/** A browser at the provider: signs in as somebody and agrees. @returns the address that it is sent back to */
async function atIssuer(start: string, who: string): Promise<string> {
  const cookies = new Map<string, string>();
  let address = start;
  let form: URLSearchParams | null = null;
  for (let step = 0; step < 15; step += 1) {
    const response = await fetch(address, {
      redirect: 'manual',
      headers: { Cookie: [...cookies].map(([name, value]) => `${name}=${value}`).join('; ') },
      ...(form ? { method: 'POST', body: form } : {}),
    });
    form = null;
    for (const cookie of response.headers.getSetCookie()) {
      const [name, ...value] = cookie.split(';')[0]!.split('=');
      cookies.set(name!, value.join('='));
    }
    const location = response.headers.get('location');
    if (location) {
      address = new URL(location, address).href;
      if (address.startsWith(origin)) return address;
      continue;
    }
    const page = await response.text();
    const action = /<form[^>]*action="([^"]*)"/.exec(page)![1]!.replaceAll('&amp;', '&');
    address = new URL(action, address).href;
    const prompt = /name="prompt" value="([^"]*)"/.exec(page)![1]!;
    form = new URLSearchParams({ prompt, ...(prompt === 'login' ? { login: who, password: 'x' } : {}) });
  }
  throw new Error('the provider never sent the browser back');
}

async function begin(browser: Visitor): Promise<string> {
  const sent = await browser.get('/bay/sign-in/issuer');
  expect(sent.status).toBe(303);
  return sent.headers.get('location')!;
}
const path = (address: string) => address.slice(origin.length);
const lastAct = async () => (await tests.store.listAudit({ before: null, about: null }, 1))[0]!;

describe('signing in through an issuer', () => {
  it('is offered where one is set up, and nowhere else', async () => {
    expect((await visitor().get('/bay/queue')).text).toContain('href="/bay/sign-in/issuer"');
    const plain = await aBay(exampleAnswer, smallKnowledge);
    const other = aVisitor(mounted('/bay', bay, plain.deps));
    expect((await other.get('/bay/queue')).text).not.toContain('sign-in/issuer');
    expect((await other.get('/bay/sign-in/issuer')).status).toBe(401);
    await plain.remove();
  });

  it('lets somebody in whom the store knows, with their role and communities', async () => {
    await grantFor('ida');
    const browser = visitor();
    const start = await begin(browser);
    const asked = new URL(start).searchParams;
    expect(Object.fromEntries(asked)).toMatchObject({ response_type: 'code', code_challenge_method: 'S256' });
    for (const name of ['state', 'nonce', 'code_challenge']) expect(asked.get(name)!.length).toBeGreaterThanOrEqual(43);
    const back = await browser.get(path(await atIssuer(start, 'ida')));
    expect(back.status).toBe(200);
    expect(back.text).toContain('url=/bay');
    expect(browser.cookies.has('bay-issuer')).toBe(false);
    expect((await browser.get('/bay')).headers.get('location')).toBe('/bay/answers');
    expect((await browser.get('/bay/answers')).text).toContain('The ida');
    expect((await browser.get('/bay/records')).status).toBe(403);
    expect(await lastAct()).toMatchObject({
      act: 'sign-in',
      who: 'The ida',
      details: { from: 'issuer', communities: 'web' },
    });
  }, 30_000);

  it('lets nobody in whom nobody allowed, and tells how', async () => {
    const browser = visitor();
    const back = await browser.get(path(await atIssuer(await begin(browser), 'stranger')));
    expect(back.status).toBe(403);
    expect(back.text).toContain(`admin -- allow &quot;${issuerAddress} stranger&quot;`);
    expect((await browser.get('/bay/queue')).status).toBe(401);
    expect(await lastAct()).toMatchObject({ act: 'sign-in-refused', details: { because: 'nobody allowed it' } });
  }, 30_000);

  it('ends at once when it is taken back', async () => {
    await grantFor('ida');
    const browser = visitor();
    await browser.get(path(await atIssuer(await begin(browser), 'ida')));
    expect((await browser.get('/bay/queue')).status).toBe(200);
    await tests.store.removeGrant(`${issuerAddress} ida`, 5, '(command line)');
    expect((await browser.get('/bay/queue')).status).toBe(401);
  }, 30_000);

  it.each<[string, (back: URL) => void]>([
    ['another state', (back) => back.searchParams.set('state', 'x'.repeat(43))],
    ['no state', (back) => back.searchParams.delete('state')],
    ['another code', (back) => back.searchParams.set('code', 'x'.repeat(43))],
    ['an error instead', (back) => back.searchParams.set('error', 'access_denied')],
    ['another issuer', (back) => back.searchParams.set('iss', 'https://evil.test')],
  ])(
    'is refused with %s on the way back',
    async (_, change) => {
      await grantFor('ida');
      const browser = visitor();
      const back = new URL(await atIssuer(await begin(browser), 'ida'));
      change(back);
      expect((await browser.get(path(back.href))).status).toBe(401);
      expect((await browser.get('/bay/queue')).status).toBe(401);
      expect((await lastAct()).act).toBe('sign-in-refused');
    },
    30_000,
  );

  it('is refused to a browser that did not begin it, and a second time', async () => {
    await grantFor('ida');
    const browser = visitor();
    const back = path(await atIssuer(await begin(browser), 'ida'));
    const other = visitor();
    expect((await other.get(back)).status).toBe(401);
    await begin(other);
    expect((await other.get(back)).status).toBe(401);
    expect((await browser.get(back)).status).toBe(200);
    expect((await browser.get(back)).status).toBe(401);
  }, 30_000);

  it.each(['x', btoa('{}'), btoa('null'), 'A'.repeat(5000), '%00'])('survives the cookie %j', async (cookie) => {
    const browser = visitor();
    browser.cookies.set('bay-issuer', cookie.slice(0, 3000));
    expect((await browser.get('/bay/sign-in/back?code=x&state=y')).status).toBe(401);
  });

  it('says so when the issuer is out of reach', async () => {
    const issuer = openIssuer(
      { address: 'http://127.0.0.1:9', clientId: 'bay', clientSecret: secret, allowsHttp: true },
      Date.now,
    );
    const lost = await aBay(exampleAnswer, smallKnowledge, { issuer });
    const page = await aVisitor(mounted('/bay', bay, lost.deps)).get('/bay/sign-in/issuer');
    expect([page.status, page.text.includes('cannot be reached')]).toEqual([503, true]);
    await lost.remove();
  });
});
