// The main job over real HTTP, the same on both runtimes: a post in, a mechanic's answer out, kept and idempotent, and nothing
// that a stranger sends takes it down.
import { connect } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { picturePath, pngPath } from '../../src/advice/pictures/picture.ts';
import { resvgOnNode } from '../../src/imaging/resvg-on-node.ts';
import { answerDocument } from '../../src/vocabulary/answer-document.ts';
import type { Program } from './program.ts';

const leanPost =
  'Rough idle and a hiss near the intake since last week. Codes P0171 only. At idle short term trim is +12 % and long term +14 %, at 2500 rpm they are +2 and +4. No smoke.';

export function mainJobSuite(name: string, start: () => Promise<Program>): void {
  describe(name, () => {
    let program: Program;
    beforeAll(async () => {
      program = await start();
    });
    afterAll(() => program?.stop());

    const get = (path: string) => fetch(`${program.address}${path}`, { redirect: 'manual' });
    const post = (body: BodyInit, headers: Record<string, string> = { 'Content-Type': 'application/json' }) =>
      fetch(`${program.address}/api/answers`, { method: 'POST', body, headers });
    const ask = async (body: { id?: string; text: string; conversation?: string }) => {
      const response = await post(JSON.stringify(body));
      expect(response.status).toBe(200);
      return answerDocument.parse(await response.json());
    };

    it('answers a post with a document of the contract that rests on what the post says', async () => {
      const answer = await ask({ id: 'first', text: leanPost });
      expect(answer.id).toBe('first');
      for (const finding of answer.findings)
        if (finding.span) expect(leanPost.slice(...finding.span)).toBe(finding.quote);
      expect(answer.findings).toEqual(
        expect.arrayContaining([
          expect.objectContaining({ kind: 'code', code: 'P0171' }),
          expect.objectContaining({ kind: 'reading', quantity: 'long-term-trim', value: 14, when: 'idle' }),
        ]),
      );
      expect(answer.causes.reduce((sum, cause) => sum + cause.probability, 0)).toBeCloseTo(1, 6);
      // From: common practice. Trims high at idle that fall with engine speed, and a hiss: unmetered air.
      expect(answer.causes[0]?.fault).toBe('vacuum-leak');
      expect(answer.reply.text.length).toBeGreaterThan(100);
      expect(answer.reply.text.length).toBeLessThanOrEqual(1800);
    });

    it('answers the same post alike, to the last digit', async () => {
      const [one, two] = [await ask({ id: 'same', text: leanPost }), await ask({ id: 'same', text: leanPost })];
      expect(two).toEqual(one);
    });

    it('builds a second post on the first of its conversation', async () => {
      const conversation = `thread ${Math.random()}`;
      const first = await ask({ text: leanPost, conversation });
      const second = await ask({ text: 'It is a 2.0 litre inline four.', conversation });
      expect(second.findings.length).toBeGreaterThan(first.findings.length);
      expect(second.findings.some((finding) => finding.kind === 'code')).toBe(true);
      expect(second.findings.some((finding) => finding.kind === 'engine' && finding.post === 1)).toBe(true);
    });

    it('answers a repeated call with the stored answer, also when the copies come together', async () => {
      const body = { id: 'again', text: leanPost, conversation: `repeat ${Math.random()}` };
      const answers = await Promise.all([ask(body), ask(body), ask(body)]);
      answers.push(await ask(body));
      for (const answer of answers) expect(answer).toEqual(answers[0]);
      expect((await post(JSON.stringify({ ...body, text: 'something else' }))).status).toBe(409);
    });

    it('answers posts that hold nothing, nothing of a car, another language, or nonsense', async () => {
      for (const text of [
        '',
        '   ',
        '?',
        'Hello there',
        'Der Motor ruckelt im Leerlauf',
        '\u0000\u0001\u0002',
        '😀'.repeat(500),
      ]) {
        const answer = await ask({ text });
        expect(answer.reply.text.length).toBeGreaterThan(0);
      }
    });

    it('reads 100,000 characters and says that it read no more', async () => {
      const filler = 'and it did that again yesterday. '.repeat(4000);
      const answer = await ask({ text: `${leanPost} ${filler}` });
      expect(answer.notes.some((note) => note.kind === 'truncated')).toBe(true);
      expect(answer.findings.some((finding) => finding.kind === 'code')).toBe(true);
    });

    it.each([
      ['empty', '', 400],
      ['not JSON', '{', 400],
      ['of the wrong type', '{"text":7}', 400],
      ['without a text', '{"id":"x"}', 400],
      ['too deep', `{"text":"x","more":${'['.repeat(5000)}${']'.repeat(5000)}}`, 400],
      ['binary', new Uint8Array(2048).map((_, index) => (index * 197) % 256), 400],
      ['too large', `{"text":"${'x'.repeat(1024 * 1024)}"}`, 413],
    ])('refuses a body that is %s with a problem', async (_, body, status) => {
      const response = await post(body);
      expect([response.status, response.headers.get('content-type')]).toEqual([status, 'application/problem+json']);
      expect(await response.json()).toMatchObject({ status, requestId: response.headers.get('x-request-id') });
    });

    it('refuses a form and a compressed body', async () => {
      expect((await post(new URLSearchParams({ text: 'x' }), {})).status).toBe(400);
      const compressed = { 'Content-Type': 'application/json', 'Content-Encoding': 'gzip' };
      expect((await post('{"text":"x"}', compressed)).status).toBe(400);
    });

    it('outlives a connection that breaks off in the middle of a body', async () => {
      const { hostname, port } = new URL(program.address);
      await new Promise<void>((resolve, reject) => {
        const socket = connect(Number(port), hostname, () => {
          socket.write(
            'POST /api/answers HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 500\r\n\r\n{"te',
          );
          setTimeout(() => socket.destroy(), 50);
        });
        socket.once('close', () => resolve());
        socket.once('error', reject);
      });
      expect((await get('/healthz')).status).toBe(200);
    });

    it('is healthy and ready, names the channels that are off, and counts', async () => {
      expect(await (await get('/healthz')).json()).toMatchObject({ status: 'ok' });
      const ready = await get('/readyz');
      expect([ready.status, await ready.json()]).toMatchObject([
        200,
        { status: 'ready', database: 'ok', channels: { api: 'on', slack: expect.stringContaining('SLACK_BOT_TOKEN') } },
      ]);
      expect(await (await get('/metrics')).text()).toMatch(/^crosscount_answers_stored [1-9]/m);
    });

    it('describes its API', async () => {
      expect(await (await get('/api/openapi.json')).json()).toMatchObject({ openapi: '3.1.0' });
    });

    it('serves the chat page, safe against foreign scripts', async () => {
      const response = await get('/');
      expect([response.status, response.headers.get('content-type')?.toLowerCase()]).toEqual([
        200,
        'text/html; charset=utf-8',
      ]);
      const page = await response.text();
      expect(page.toLowerCase()).toMatch(/^<!doctype html>/);
      expect(page).toMatch(/<form/i);
      expect(page).not.toMatch(/(?:src|href)="https?:/i);
      expect(response.headers.get('content-security-policy')).toContain("default-src 'self'");
      expect(response.headers.get('x-content-type-options')).toBe('nosniff');
    });

    it('keeps a conversation in the chat page of a browser without script, and shows posts as text alone', async () => {
      const send = (text: string, event: string, cookie: string, origin = program.address) =>
        fetch(`${program.address}/chat/posts`, {
          method: 'POST',
          body: new URLSearchParams({ text, event }),
          headers: { Origin: origin, ...(cookie ? { Cookie: cookie } : {}) },
          redirect: 'manual',
        });
      const first = await send(leanPost, 'event-one', '');
      expect(first.status).toBe(303);
      const cookie = first.headers.get('set-cookie') ?? '';
      expect(cookie).toMatch(/HttpOnly/i);
      expect(cookie).toMatch(/SameSite=Lax/i);
      const own = cookie.split(';')[0]!;
      expect((await send('And <img src=x onerror=alert(1)> it stalls', 'event-two', own)).status).toBe(303);
      const page = await (await fetch(program.address, { headers: { Cookie: own } })).text();
      expect(page).toContain('Rough idle and a hiss');
      expect(page).toContain('&lt;img src=x');
      expect(page).not.toContain('<img src=x');
      expect(await (await get('/')).text()).not.toContain('Rough idle and a hiss');
      expect((await send('forged', 'event-three', own, 'https://elsewhere.example')).status).toBe(403);
    });

    it('draws pictures as SVG and as the same PNG on every runtime, to be kept for good', async () => {
      const path = picturePath({ kind: 'trims', bars: [{ condition: 'idle', bank: 1, percent: 25.1 }] });
      const svg = await get(path);
      expect([svg.status, svg.headers.get('content-type')]).toEqual([200, 'image/svg+xml; charset=utf-8']);
      const png = await get(pngPath(path));
      expect([png.status, png.headers.get('content-type')]).toEqual([200, 'image/png']);
      for (const answer of [svg, png])
        expect(answer.headers.get('cache-control')).toBe('public, max-age=31536000, immutable');
      const drawn = new Uint8Array(await png.arrayBuffer());
      expect(drawn).toEqual(await resvgOnNode()(await svg.text()));
      for (const file of ['x.png', '../../etc/passwd', 'trims.idle_1_251.00000000.png', `${'a'.repeat(5000)}.png`]) {
        const refused = await get(`/pictures/${encodeURIComponent(file)}`);
        expect([refused.status, refused.headers.get('content-type')]).toEqual([404, 'application/problem+json']);
      }
    });

    it('lets nobody into the bay without signing in', async () => {
      const response = await get('/bay');
      expect(response.status).toBe(401);
    });

    it('answers an unknown address with a problem', async () => {
      const response = await get('/no/such/page');
      expect([response.status, await response.json()]).toMatchObject([404, { code: 'not-found' }]);
    });
  });
}
