// The routes with a real store and an answer function of the tests: contract of the API, limits, errors, headers.
import { Hono } from 'hono';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { picturePath } from '../src/advice/pictures/picture.ts';
import { type App, type AppDeps, bodyLimitBytes, createApp } from '../src/app.ts';
import { fetchedChannel } from '../src/channels/channel.ts';
import { isDeeperThan } from '../src/serving/read-json.ts';
import type { BayStore } from '../src/store/bay-store.ts';
import { answerDocument } from '../src/vocabulary/answer-document.ts';
import { Problem } from '../src/vocabulary/problems.ts';
import { aStore } from './a-store.ts';
import { anAnswer, smallKnowledge } from './an-answer.ts';

let store: BayStore;
let remove: () => Promise<void>;
let logged: string[];
let app: App;
let stopping: boolean;

const makeApp = (parts: Partial<AppDeps> = {}): App => {
  const line = (event: string, fields = {}) => void logged.push(JSON.stringify({ event, ...fields }));
  return createApp({
    store,
    knowledge: smallKnowledge,
    answer: anAnswer,
    clock: Date.now,
    newId: () => crypto.randomUUID(),
    random: Math.random,
    sleep: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
    log: { info: line, warn: line, error: line },
    channels: [fetchedChannel('api'), { ...fetchedChannel('slack'), offBecause: 'SLACK_BOT_TOKEN is not set' }],
    pages: {
      chat: () => new Hono().get('/', (context) => context.html('<!doctype html><title>chat</title>')),
      bay: () =>
        new Hono().get('/broken', () => {
          throw new Error('SECRETDETAIL');
        }),
    },
    secureCookies: false,
    renderPng: async () => new TextEncoder().encode('a png'),
    isStopping: () => stopping,
    ...parts,
  });
};

beforeEach(async () => {
  ({ store, remove } = await aStore());
  logged = [];
  stopping = false;
  app = makeApp();
});
afterEach(() => remove());

const request = (path: string, init: RequestInit = {}) => app.fetch(new Request(`http://localhost${path}`, init));
const post = (body: BodyInit, headers: Record<string, string> = { 'Content-Type': 'application/json' }) =>
  request('/api/answers', { method: 'POST', body, headers });
const ask = async (body: unknown) => {
  const response = await post(JSON.stringify(body));
  return { status: response.status, body: (await response.json()) as Record<string, unknown> };
};
const replyOf = (answer: { body: Record<string, unknown> }) => answerDocument.parse(answer.body).reply.text;

describe('POST /api/answers', () => {
  it('answers with the answer document and echoes the id', async () => {
    const answer = await ask({ id: 'mine', text: 'rough idle' });
    expect(answer.status).toBe(200);
    expect(answerDocument.parse(answer.body).id).toBe('mine');
  });

  it('builds on the conversation that is named and on nothing else', async () => {
    await ask({ text: 'one', conversation: 'k' });
    expect(replyOf(await ask({ text: 'two', conversation: 'k' }))).toMatch(/^post 2 /);
    expect(replyOf(await ask({ text: 'two', conversation: 'other' }))).toMatch(/^post 1 /);
    expect(replyOf(await ask({ text: 'alone' }))).toMatch(/^post 1 /);
  });

  it('answers the same id of a conversation once, also when copies come together', async () => {
    const body = { id: 'a', text: 'one', conversation: 'k' };
    const copies = await Promise.all([1, 2, 3, 4].map(() => ask(body)));
    expect(copies.map((copy) => copy.status)).toEqual([200, 200, 200, 200]);
    for (const copy of copies) expect(copy.body).toEqual(copies[0]!.body);
    expect(await store.counts()).toMatchObject({ answers: 1 });
  });

  it('takes the same id without a conversation, or in another one, for another post', async () => {
    for (const body of [
      { id: 'a', text: '1' },
      { id: 'a', text: '2' },
      { id: 'a', text: '3', conversation: 'k' },
    ])
      expect((await ask(body)).status).toBe(200);
    expect(await store.counts()).toMatchObject({ answers: 3 });
  });

  it('refuses an id that was used for another text', async () => {
    await ask({ id: 'a', text: 'one', conversation: 'k' });
    expect(await ask({ id: 'a', text: 'two', conversation: 'k' })).toMatchObject({
      status: 409,
      body: { code: 'conflict', status: 409 },
    });
  });

  it('keeps half a surrogate pair as it came', async () => {
    const body = { id: 'a', text: 'idle \ud800 rough', conversation: 'k' };
    expect((await ask(body)).status).toBe(200);
    expect((await ask(body)).status).toBe(200);
  });

  it.each([
    ['empty', ''],
    ['blank', ' \n '],
    ['half JSON', '{'],
    ['words', 'hello'],
    ['null', 'null'],
    ['a list', '[]'],
    ['a string', '"x"'],
    ['a number', '7'],
    ['without text', '{"id":"a"}'],
    ['with a number for text', '{"text":7}'],
    ['with null for text', '{"text":null}'],
    ['with an object for an id', '{"text":"x","id":{}}'],
    ['with an empty id', '{"text":"x","id":""}'],
    ['with an id of 201 characters', `{"text":"x","id":"${'i'.repeat(201)}"}`],
    ['with an empty conversation', '{"text":"x","conversation":""}'],
    ['not UTF-8', new Uint8Array([0x7b, 0xff, 0x41, 0x7d])],
    ['binary', new Uint8Array(4096).map((_, index) => (index * 151) % 256)],
    ['65 levels deep', `{"text":${'['.repeat(64)}${']'.repeat(64)}}`],
    ['100,000 levels deep', '['.repeat(100_000)],
  ])('refuses a body that is %s with a problem', async (_, body) => {
    const response = await post(body);
    expect(response.status).toBe(400);
    expect(response.headers.get('content-type')).toBe('application/problem+json');
    const problem = (await response.json()) as Record<string, unknown>;
    expect(problem).toMatchObject({ type: 'about:blank', status: 400, code: 'invalid' });
    expect(problem.requestId).toBe(response.headers.get('x-request-id'));
    expect(String(problem.detail)).not.toContain('hello');
    expect(await store.counts()).toMatchObject({ answers: 0, waiting: 0 });
  });

  it('takes an id of 200 characters and one level less than too deep', async () => {
    expect((await ask({ text: 'x', id: 'i'.repeat(200) })).status).toBe(200);
    const inner = `${'['.repeat(63)}${']'.repeat(63)}`;
    const answer = (await (await post(`{"text":${inner}}`)).json()) as { detail: string };
    expect(answer.detail).not.toContain('deeper');
  });

  it.each([
    ['a form', { 'Content-Type': 'application/x-www-form-urlencoded' }],
    ['no type', { 'Content-Type': '' }],
    ['another charset', { 'Content-Type': 'application/json; charset=utf-16' }],
    ['a compressed body', { 'Content-Type': 'application/json', 'Content-Encoding': 'gzip' }],
  ])('refuses %s', async (_, headers) => {
    expect((await post('{"text":"x"}', headers)).status).toBe(400);
  });

  it('takes a charset of UTF-8 and a byte-order mark', async () => {
    expect((await post('\ufeff{"text":"x"}', { 'Content-Type': 'application/json; charset=UTF-8' })).status).toBe(200);
  });

  it('takes a body of 1 MiB and refuses one byte more, with or without a stated length', async () => {
    const fill = (bytes: number) => `{"text":"${'x'.repeat(bytes - '{"text":""}'.length)}"}`;
    expect((await post(fill(bodyLimitBytes))).status).toBe(200);
    const large = new TextEncoder().encode(fill(bodyLimitBytes + 1));
    const stated = await post(large, {
      'Content-Type': 'application/json',
      'Content-Length': String(large.byteLength),
    });
    expect([stated.status, await stated.json()]).toMatchObject([413, { code: 'too-large' }]);
    const chunked = await request('/api/answers', {
      method: 'POST',
      body: new Blob([large]).stream(),
      headers: { 'Content-Type': 'application/json' },
      duplex: 'half',
    } as RequestInit);
    expect(chunked.status).toBe(413);
  });

  it('keeps a key of the object prototype out of everything', async () => {
    expect((await post('{"text":"x","__proto__":{"polluted":true}}')).status).toBe(200);
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });

  it('answers 503 with Retry-After when the database cannot be written', async () => {
    app = makeApp({
      store: {
        ...store,
        acceptPost: async () => {
          throw new Problem('unavailable', 'the database cannot be used just now');
        },
      },
    });
    const response = await post('{"text":"x"}');
    expect([response.status, response.headers.get('retry-after')]).toEqual([503, '2']);
  });

  it('answers 503 while an answer cannot be made, keeps the post, and answers it when it is asked again', async () => {
    let broken = true;
    let time = Date.now();
    app = makeApp({
      clock: () => time,
      answer: (given, previous) => {
        if (broken) throw new TypeError('WORDS OF THE POST');
        return anAnswer(given, previous);
      },
    });
    const body = { id: 'a', text: 'x', conversation: 'k' };
    expect((await ask(body)).status).toBe(503);
    broken = false;
    time += 60_000;
    expect((await ask(body)).status).toBe(200);
    expect(logged.join('\n')).toContain('post not answered');
    expect(logged.join('\n')).not.toContain('WORDS');
  });
});

describe('GET /api/openapi.json', () => {
  it('describes the request, the answer document and the problems', async () => {
    const description = (await (await request('/api/openapi.json')).json()) as {
      openapi: string;
      paths: Record<string, { post: { responses: Record<string, unknown> } }>;
      components: { schemas: Record<string, { required?: string[]; properties: Record<string, unknown> }> };
    };
    expect(description.openapi).toBe('3.1.0');
    expect(Object.keys(description.paths['/api/answers']!.post.responses)).toEqual(
      expect.arrayContaining(['200', '400', '409', '413', '503']),
    );
    const { AnswerRequest, AnswerDocument } = description.components.schemas;
    expect(AnswerRequest!.required).toEqual(['text']);
    // From: vocabulary.md, "Answer document".
    expect(Object.keys(AnswerDocument!.properties)).toEqual(
      expect.arrayContaining([
        'id',
        'findings',
        'conflicts',
        'derived',
        'causes',
        'together',
        'questions',
        'plan',
        'where',
      ]),
    );
  });

  it('is refused under another method', async () => {
    expect((await request('/api/openapi.json', { method: 'POST' })).status).toBe(404);
  });
});

describe('health', () => {
  it('is fine, names the channels that are off and why, and shows no secret', async () => {
    expect(await (await request('/healthz')).json()).toMatchObject({ status: 'ok' });
    const ready = await request('/readyz');
    expect(ready.status).toBe(200);
    expect(await ready.json()).toMatchObject({
      status: 'ready',
      database: 'ok',
      knowledge: smallKnowledge.version,
      channels: { api: 'on', slack: 'off: SLACK_BOT_TOKEN is not set' },
    });
  });

  it('is not ready while the program stops or the database cannot be written', async () => {
    stopping = true;
    expect((await request('/readyz')).status).toBe(503);
    stopping = false;
    app = makeApp({
      store: {
        ...store,
        ping: async () => {
          throw new Problem('unavailable', 'the database cannot be used just now');
        },
      },
    });
    const response = await request('/readyz');
    expect([response.status, await response.json()]).toMatchObject([503, { database: 'cannot be written' }]);
    expect((await request('/healthz')).status).toBe(200);
  });

  it('counts requests, answers and what is stored in the Prometheus text format', async () => {
    await ask({ text: 'x' });
    await post('{');
    const response = await request('/metrics');
    expect(response.headers.get('content-type')).toBe('text/plain; version=0.0.4; charset=utf-8');
    const text = await response.text();
    for (const line of [
      'crosscount_http_responses_total{class="2xx"} 1',
      'crosscount_http_responses_total{class="4xx"} 1',
      'crosscount_answer_seconds_count 1',
      'crosscount_answer_seconds_bucket{le="+Inf"} 1',
      'crosscount_answers_stored 1',
      'crosscount_messages_due 1',
    ])
      expect(text.split('\n')).toContain(line);
    // From: the Prometheus text format 0.0.4: comment lines, or name, optional labels in braces, a blank, a number.
    for (const line of text.trimEnd().split('\n'))
      expect(line).toMatch(/^(# (HELP|TYPE) [a-z_]+ .+|[a-z_]+(\{[a-z]+="[^"]*"(,[a-z]+="[^"]*")*\})? [0-9.e+-]+|)$/);
  });
});

describe('every response', () => {
  it('carries a request id of ours and the headers that keep a page safe', async () => {
    for (const path of ['/', '/healthz', '/nothing-here', '/bay/broken']) {
      const response = await request(path, { headers: { 'X-Request-Id': 'theirs' } });
      expect(response.headers.get('x-request-id')).toMatch(/^[0-9a-f-]{36}$/);
      const from = path.startsWith('/bay') ? 'none' : 'self';
      expect(response.headers.get('content-security-policy')).toContain(`default-src '${from}'`);
      expect(response.headers.get('content-security-policy')).toContain("frame-ancestors 'none'");
      expect(response.headers.get('x-content-type-options')).toBe('nosniff');
      expect(response.headers.get('referrer-policy')).toBe('no-referrer');
      expect(response.headers.get('strict-transport-security')).toBeNull();
    }
    app = makeApp({ secureCookies: true });
    expect((await request('/')).headers.get('strict-transport-security')).toContain('max-age=');
  });

  it('is a problem for an address that does not exist', async () => {
    const response = await request('/nothing-here');
    expect([response.status, await response.json()]).toMatchObject([404, { code: 'not-found', status: 404 }]);
  });

  it('says nothing of what went wrong inside; the log has the place and the request id', async () => {
    const response = await request('/bay/broken');
    const text = await response.text();
    expect(response.status).toBe(500);
    expect(text).not.toMatch(/SECRETDETAIL|at |\.ts/);
    const line = logged.find((entry) => entry.includes('request failed'))!;
    expect(line).toContain(response.headers.get('x-request-id')!);
    expect(line).toContain('app.test.ts');
  });
});

describe('the sweep', () => {
  it('answers what was left waiting and delivers what is due', async () => {
    const left = { eventId: 'e', channel: 'api', conversation: 'c', author: 'a', text: 'x', callerId: null };
    await store.acceptPost(left, Date.now(), 0);
    await app.sweep();
    expect(await store.counts()).toMatchObject({ waiting: 0, due: 0, answers: 1 });
  });
});

describe('the depth of JSON', () => {
  it.each([
    ['[]', 0, true],
    ['[]', 1, false],
    ['{"a":[{}]}', 2, true],
    ['{"a":[{}]}', 3, false],
    ['"[[[["', 0, false],
    ['["\\"[[["]', 1, false],
    ['[],[],[]', 1, false],
    ['', 0, false],
    [']]]][', 1, false],
  ])('of %s is over %d: %s', (text, limit, deeper) => {
    expect(isDeeperThan(text, limit)).toBe(deeper);
  });

  it('takes at most about twice as long for twice the text', () => {
    const time = (length: number) => {
      const text = '"\\"[{'.repeat(length / 5);
      const started = performance.now();
      isDeeperThan(text, 1e9);
      return performance.now() - started;
    };
    time(1_000_000);
    expect(time(4_000_000)).toBeLessThan(Math.max(50, 5 * time(2_000_000)));
  });
});

describe('pictures', () => {
  const path = picturePath(
    { kind: 'ranking', bars: [{ fault: 'vacuum-leak', probability: 0.6 }] },
    (id) => smallKnowledge.faults.byId.get(id)?.name ?? id,
  );

  it('are drawn from their address and may be kept for good', async () => {
    const response = await app.fetch(new Request(`http://localhost${path}`));
    expect(response.status).toBe(200);
    expect(response.headers.get('content-type')).toContain('image/svg+xml');
    expect(response.headers.get('cache-control')).toContain('immutable');
    expect(await response.text()).toMatch(/^<svg /);
  });

  it('come as PNG from the renderer of the runtime under the same name', async () => {
    const response = await app.fetch(new Request(`http://localhost${path.replace('.svg', '.png')}`));
    expect([response.status, response.headers.get('content-type')]).toEqual([200, 'image/png']);
    expect(response.headers.get('cache-control')).toContain('immutable');
    expect(await response.text()).toBe('a png');
  });

  it.each([path.replace(/\.[0-9a-f]{8}\./, '.00000000.'), '/pictures/x.svg', '/pictures/%3Cscript%3E'])(
    'are not found under an address that this version does not write: %s',
    async (wrong) => {
      const response = await app.fetch(new Request(`http://localhost${wrong}`));
      expect(response.status).toBe(404);
      expect(response.headers.get('content-type')).toContain('problem+json');
    },
  );
});
