// The forum's route and sender on a real store: what is taken, what is refused and how, and what goes out.
import { Hono } from 'hono';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type App, createApp } from '../../../src/app.ts';
import { forum } from '../../../src/channels/forum/forum.ts';
import { readRetryAfter } from '../../../src/channels/forum/forum-sender.ts';
import type { Store } from '../../../src/store/store.ts';
import { aStore } from '../../a-store.ts';
import { anAnswer, smallKnowledge } from '../../an-answer.ts';
import { createdEvent, delivery, type FakeForum, fakeForum, forumSecret } from '../../fake-platform/forum.ts';

const otherSecret = 'whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD';
let store: Store;
let remove: () => Promise<void>;
let receiver: FakeForum;
let logged: string[];
let app: App;
let time: number;

const makeApp = (secrets = [forumSecret]) => {
  const line = (event: string, fields = {}) => void logged.push(JSON.stringify({ event, ...fields }));
  const log = { info: line, warn: line, error: line };
  const clock = () => time;
  const parts = forum({ secrets, replyUrl: receiver.replyUrl, address: 'https://cars.example' }, null, {
    store,
    clock,
    log,
    fetch,
  });
  return createApp({
    store: store as never,
    knowledge: smallKnowledge,
    answer: anAnswer,
    clock,
    newId: () => crypto.randomUUID(),
    random: Math.random,
    sleep: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
    log,
    channels: [parts.channel],
    platforms: (inbox) => [parts.platform(inbox)],
    pages: { chat: () => new Hono(), bay: () => new Hono() },
    secureCookies: false,
    renderPng: async () => new Uint8Array(),
    isStopping: () => false,
  });
};

beforeEach(async () => {
  ({ store, remove } = await aStore());
  receiver = await fakeForum();
  logged = [];
  time = Date.now();
  app = makeApp();
});
afterEach(async () => {
  await app.stop();
  await receiver.stop();
  await remove();
});

const send = async ({ headers, body }: { headers: Record<string, string>; body: BodyInit }) => {
  const response = await app.fetch(new Request('http://localhost/forum/posts', { method: 'POST', headers, body }));
  return {
    status: response.status,
    headers: response.headers,
    body: (await response.json()) as Record<string, unknown>,
  };
};
const aPost = (number: number, parts = {}) =>
  createdEvent({ post: `p${number}`, thread: 't', author: 'a', text: `rough idle ${number}`, ...parts });
const settle = async () => {
  for (let round = 0; round < 100; round += 1) {
    const { waiting, due } = await store.counts();
    if (waiting + due === 0) return;
    await app.sweep();
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
  throw new Error('it did not settle');
};

describe('POST /forum/posts', () => {
  it('stores a post before it answers 202, and sends one signed reply about it', async () => {
    const answer = await send(delivery(aPost(1)));
    expect(answer).toMatchObject({ status: 202, body: { id: 'p1', state: 'accepted' } });
    expect(await store.findPost('forum', 'p1')).toMatchObject({ text: 'rough idle 1', conversation: 't', place: 'p1' });
    await settle();
    expect(receiver.taken).toMatchObject([{ type: 'reply.created', thread: 't', post: 'p1', replaces: null }]);
  });

  it('takes a repeat for what it is and refuses the id for another body', async () => {
    const first = delivery(aPost(1), { id: 'msg_1' });
    expect((await send(first)).status).toBe(202);
    expect(await send(first)).toMatchObject({ status: 200, body: { state: 'repeated' } });
    const again = delivery(JSON.parse(first.body), { id: 'msg_1', at: time + 1000 });
    expect(await send(again)).toMatchObject({ status: 200, body: { state: 'repeated' } });
    expect(await send(delivery(aPost(2), { id: 'msg_1' }))).toMatchObject({ status: 409, body: { code: 'conflict' } });
    expect(await send(delivery(aPost(1), { id: 'msg_2' }))).toMatchObject({ status: 200, body: { state: 'repeated' } });
    await settle();
    expect(receiver.taken).toHaveLength(1);
  });

  it('takes a hundred copies that come together for one', async () => {
    const one = delivery(aPost(1));
    const answers = await Promise.all(Array.from({ length: 100 }, () => send(one)));
    expect(answers.every(({ status }) => status === 200 || status === 202)).toBe(true);
    await settle();
    expect(receiver.taken).toHaveLength(1);
  });

  it.each([
    ['unsigned', () => ({ ...delivery(aPost(1)), headers: { 'Content-Type': 'application/json' } }), 401],
    ['signed with another secret', () => delivery(aPost(1), { secret: otherSecret }), 401],
    ['signed six minutes ago', () => delivery(aPost(1), { at: time - 360_000 }), 401],
    ['signed for six minutes ahead', () => delivery(aPost(1), { at: time + 360_000 }), 401],
    ['changed on the way', () => ({ ...delivery(aPost(1)), body: JSON.stringify(aPost(2)) }), 401],
    ['empty', () => delivery(''), 400],
    ['half', () => delivery('{'), 400],
    ['nested 65 deep', () => delivery(`${'['.repeat(65)}${']'.repeat(65)}`), 400],
    ['nested 100,000 deep', () => delivery('['.repeat(100_000)), 400],
    ['null', () => delivery('null'), 422],
    ['a list', () => delivery('[]'), 422],
    ['of an unknown type', () => delivery({ ...aPost(1), type: 'post.liked' }), 422],
    ['without a thread', () => delivery(aPost(1, { thread: undefined })), 422],
    ['with a number for text', () => delivery(aPost(1, { text: 7 })), 422],
    ['with a time without a zone', () => delivery(aPost(1, { writtenAt: '2026-01-01T10:00:00' })), 422],
    ['with an id of 101 characters', () => delivery(aPost(1, { post: 'p'.repeat(101) })), 422],
    ['with 300,001 characters', () => delivery(aPost(1, { text: 'x'.repeat(300_001) })), 422],
    ['with a file of neither kind', () => delivery(aPost(1, { attachments: [{ name: 'x' }] })), 422],
    [
      'with a picture for a log',
      () => delivery(aPost(1, { attachments: [{ name: 'x', base64: 'iVBORw0AAA==' }] })),
      400,
    ],
    ['with 11 files', () => delivery(aPost(1, { attachments: Array(11).fill({ name: 'x', text: 'y' }) })), 422],
  ])('refuses an event that is %s with a problem, and stores nothing', async (_, make, status) => {
    const answer = await send(make());
    expect(answer).toMatchObject({ status, body: { status, requestId: expect.any(String) } });
    expect(answer.headers.get('content-type')).toBe('application/problem+json');
    expect(await store.counts()).toMatchObject({ waiting: 0, answers: 0 });
  });

  it.each([
    ['a form', 'application/x-www-form-urlencoded'],
    ['text', 'text/plain'],
    ['another charset', 'application/json; charset=utf-16'],
  ])('refuses %s as the wrong type', async (_, type) => {
    const signed = delivery(aPost(1));
    expect((await send({ ...signed, headers: { ...signed.headers, 'Content-Type': type } })).status).toBe(415);
  });

  it('says the same to every wrong signature, and which it was to the log alone', async () => {
    const wrong = [
      { ...delivery(aPost(1)), headers: { 'Content-Type': 'application/json' } },
      delivery(aPost(1), { secret: otherSecret }),
      delivery(aPost(1), { at: time - 360_000 }),
    ];
    const details = new Set<unknown>();
    for (const one of wrong) details.add((await send(one)).body.detail);
    expect(details.size).toBe(1);
    expect(logged.filter((line) => line.includes('refused')).map((line) => JSON.parse(line).because)).toEqual([
      'no-id',
      'wrong-signature',
      'too-old',
    ]);
  });

  it('takes either secret during a rotation, signs with both, and refuses the old one afterwards', async () => {
    app = makeApp([otherSecret, forumSecret]);
    expect((await send(delivery(aPost(1), { secret: forumSecret }))).status).toBe(202);
    expect((await send(delivery(aPost(2), { secret: otherSecret }))).status).toBe(202);
    await settle();
    // The receiver still has the old secret.
    expect(receiver.taken).toHaveLength(2);
    app = makeApp([otherSecret]);
    expect((await send(delivery(aPost(3), { secret: forumSecret }))).status).toBe(401);
  });

  it('takes logs of 5 MiB in all, as text or base64, and refuses more', async () => {
    const log = 'time,rpm\n'.padEnd(5 * 1024 * 1024 - 4, '1,800\n');
    const attachments = [
      { name: 'a.csv', text: log },
      { name: 'b.csv', base64: Buffer.from('1,2\n').toString('base64') },
    ];
    expect((await send(delivery(aPost(1, { attachments })))).status).toBe(202);
    const { postId } = (await store.findPost('forum', 'p1'))!;
    expect((await store.readAttachments(postId)).map((one) => one.text.length)).toEqual([log.length, 4]);
    const more = [...attachments, { name: 'c', text: 'x' }];
    expect((await send(delivery(aPost(2, { attachments: more })))).status).toBe(413);
    expect(await store.findPost('forum', 'p2')).toBeNull();
  });

  it('refuses a body over 8 MiB without waiting for its end', async () => {
    const large = delivery(`{"x":"${'x'.repeat(8 * 1024 * 1024)}"}`);
    const started = performance.now();
    const answer = await send({ ...large, headers: { ...large.headers, 'Content-Length': String(large.body.length) } });
    expect(answer.status).toBe(413);
    expect(performance.now() - started).toBeLessThan(1000);
  });

  it('does not answer programs, nor its own words when the forum hands them back', async () => {
    await send(delivery(aPost(1)));
    await settle();
    const [reply] = receiver.taken;
    expect(await send(delivery(aPost(2, { text: reply!.text, author: 'bot' })))).toMatchObject({
      status: 200,
      body: { state: 'ignored' },
    });
    expect(await send(delivery(aPost(3, { bot: true })))).toMatchObject({ body: { state: 'ignored' } });
    await settle();
    expect(receiver.taken).toHaveLength(1);
  });

  it('answers 429 with Retry-After to one author who floods, and goes on for the others', async () => {
    let refused: Awaited<ReturnType<typeof send>> | null = null;
    for (let number = 0; refused === null && number < 200; number += 1) {
      const answer = await send(delivery(aPost(number, { thread: `t${number}` })));
      if (answer.status === 429) refused = answer;
      else expect(answer.status).toBe(202);
    }
    expect(Number(refused!.headers.get('retry-after'))).toBeGreaterThanOrEqual(1);
    expect((await send(delivery(aPost(900, { author: 'b', thread: 'other' })))).status).toBe(202);
  });

  it('is not there when no secret is set', async () => {
    const off = forum(null, 'FORUM_SECRET is not set', { store, clock: () => time, log: silent, fetch });
    const routes = new Hono().route('/forum', off.platform({} as never).routes);
    routes.onError((error) => new Response(error.message, { status: 404 }));
    expect((await routes.request('/forum/posts', { method: 'POST' })).status).toBe(404);
    expect(off.channel.offBecause).toBe('FORUM_SECRET is not set');
  });

  it('is described in the API', async () => {
    const response = await app.fetch(new Request('http://localhost/api/openapi.json'));
    const { paths } = (await response.json()) as { paths: Record<string, { post: { responses: object } }> };
    expect(Object.keys(paths['/forum/posts']!.post.responses)).toEqual(
      expect.arrayContaining(['200', '202', '400', '401', '409', '413', '415', '422', '429', '503']),
    );
  });
});

describe('edits and deletions', () => {
  const edited = (text: string, editedAt: number, parts = {}) => ({
    type: 'post.edited',
    timestamp: new Date(time).toISOString(),
    data: { post: 'p1', text, editedAt: new Date(editedAt).toISOString(), ...parts },
  });
  const deleted = { type: 'post.deleted', timestamp: new Date(0).toISOString(), data: { post: 'p1' } };

  it('answer the new words alone when the edit comes first', async () => {
    await store.acceptPost(
      { eventId: 'p1', channel: 'forum', conversation: 't', author: 'a', text: 'old', callerId: null, place: 'p1' },
      time,
      0,
    );
    expect((await send(delivery(edited('new words here', time)))).status).toBe(202);
    await settle();
    expect(receiver.shown('t')).toMatchObject([{ text: 'post 1 has 14 characters' }]);
    expect(receiver.taken).toHaveLength(1);
  });

  it('correct the reply in its place when the edit comes later, once for each version', async () => {
    await send(delivery(aPost(1)));
    await settle();
    const second = delivery(edited('other', time + 1));
    expect((await send(second)).status).toBe(202);
    await settle();
    expect((await send(second)).body).toMatchObject({ state: 'repeated' });
    expect((await send(delivery(edited('older still', time)))).body).toMatchObject({ state: 'ignored' });
    expect((await send(delivery(edited('other', time + 9)))).body).toMatchObject({ state: 'ignored' });
    await settle();
    expect(receiver.taken.map((reply) => reply.type)).toEqual(['reply.created', 'reply.corrected']);
    expect(receiver.shown('t')).toMatchObject([{ text: 'post 1 has 5 characters', replaces: receiver.taken[0]!.id }]);
  });

  it('are not lost when they overtake their post', async () => {
    expect((await send(delivery(edited('new', time, { thread: 't', author: 'a' })))).status).toBe(202);
    expect((await send(delivery(aPost(1)))).body).toMatchObject({ state: 'repeated' });
    await settle();
    expect(receiver.shown('t')).toMatchObject([{ text: 'post 1 has 3 characters' }]);
  });

  it('leave nothing of a deleted post: no answer before, a withdrawal after, and no late copy', async () => {
    await send(delivery(aPost(1)));
    await settle();
    expect((await send(delivery(deleted))).status).toBe(202);
    await settle();
    expect(receiver.taken.at(-1)).toMatchObject({
      type: 'reply.withdrawn',
      replaces: receiver.taken[0]!.id,
      post: 'p1',
    });
    expect(receiver.shown('t')).toEqual([]);
    expect((await send(delivery(aPost(1), { id: 'late' }))).body).toMatchObject({ state: 'ignored' });
    await settle();
    expect(receiver.shown('t')).toEqual([]);
  });

  it('refuse a post whose deletion came first', async () => {
    await send(delivery(deleted));
    expect((await send(delivery(aPost(1)))).body).toMatchObject({ state: 'ignored' });
    await settle();
    expect(receiver.taken).toEqual([]);
  });
});

describe('replies', () => {
  it.each([
    ['204', { kind: 'status', status: 204 } as const, 'sent'],
    ['500', { kind: 'status', status: 500 } as const, 'due'],
    ['429', { kind: 'status', status: 429, headers: { 'Retry-After': '30' } } as const, 'due'],
    ['301', { kind: 'status', status: 301, headers: { Location: 'http://127.0.0.1:9/' } } as const, 'due'],
    ['410', { kind: 'status', status: 410 } as const, 'undeliverable'],
    ['404', { kind: 'status', status: 404 } as const, 'undeliverable'],
    ['a reset', { kind: 'reset' } as const, 'due'],
    ['a half body', { kind: 'half-body' } as const, 'sent'],
  ])('after %s: the message is %s', async (_, behaviour, state) => {
    receiver.server.behave = () => behaviour;
    await send(delivery(aPost(1)));
    for (let wait = 0; (await store.counts()).answers === 0 && wait < 200; wait += 1)
      await new Promise((resolve) => setTimeout(resolve, 5));
    await app.sweep();
    await app.stop();
    const { due, undeliverable } = await store.counts();
    expect({ due, undeliverable }).toEqual({
      due: state === 'due' ? 1 : 0,
      undeliverable: state === 'undeliverable' ? 1 : 0,
    });
    if (behaviour.kind === 'status' && behaviour.status === 301)
      expect(receiver.server.calls.length).toBeGreaterThan(0);
  });

  it.each([
    // Retry-After, after; from: RFC 9110, 10.2.3 (seconds or a date), anything else is ignored.
    [null, null],
    ['1', 1000],
    ['30', 30_000],
    ['1000000000', 1e12],
    ['abc', null],
    ['-1', null],
    ['1.5', null],
    ['', null],
    ['Thu, 01 Jan 1970 00:01:00 GMT', 60_000],
    ['Thu, 01 Jan 1970 00:00:00 GMT', null],
  ])('wait for a Retry-After of %s: %s ms', (value, ms) => {
    expect(readRetryAfter(value, 0)).toBe(ms);
  });
});

const silent = { info: () => {}, warn: () => {}, error: () => {} };
