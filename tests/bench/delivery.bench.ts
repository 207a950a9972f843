// How fast events are taken in: acknowledgements at 50 events a second, and signed events to stored replies as a fraction of what a
// bare server does that makes the same two durable commits, in one run. `npm run bench -- delivery` calls it.
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { type ServerType, serve } from '@hono/node-server';
import Database from 'better-sqlite3';
import { Hono } from 'hono';
import type { answerPost } from '../../src/answer.ts';
import { createApp } from '../../src/app.ts';
import { forum } from '../../src/channels/forum/forum.ts';
import { makeLog } from '../../src/serving/log.ts';
import { openStore } from '../../src/store/sqlite/open-store.ts';
import { anAnswer, smallKnowledge } from '../an-answer.ts';
import { load } from '../endure/scenarios.ts';
import { createdEvent, deliverTo, delivery, forumSecret } from '../fake-platform/forum.ts';
import { temporaryFolder, testKey } from '../runtime/program.ts';

const atOnce = 20;

/** @param seconds of the run at 50 events a second @param events of each run of the comparison */
export async function benchDelivery(print: (line: string) => void, seconds = 60, events = 1000): Promise<void> {
  const { acknowledgementP50Ms, acknowledgementP99Ms, replyP95Ms, statuses, lost, twice } = await load(50, seconds);
  const ms = (value: number) => `${value.toFixed(0)} ms`;
  print(
    `acknowledgement at 50 events/s for ${seconds} s                 median ${ms(acknowledgementP50Ms)}, 99 % within ${ms(acknowledgementP99Ms)}; ` +
      `reply 95 % within ${ms(replyP95Ms)}; statuses ${JSON.stringify(statuses)}, lost ${lost.length}, twice ${twice.length}`,
  );
  const rates: Array<{ ours: number; bare: number }> = [];
  // Turn by turn, so that a machine that slows down does so for both.
  for (let round = 0; round < 3; round += 1) rates.push({ bare: await bareRate(events), ours: await ourRate(events) });
  const middle = (list: number[]) => [...list].sort((a, b) => a - b)[1]!;
  const [ours, bare] = [middle(rates.map((rate) => rate.ours)), middle(rates.map((rate) => rate.bare))];
  print(
    `signed event to stored reply, without the answer's own time    ${ours.toFixed(0)} /s = ${((100 * ours) / bare).toFixed(0)} % of ` +
      `${bare.toFixed(0)} /s of a bare server with the same two durable commits`,
  );
}

/** Events a second until every reply stands in the outbox; the answer is that of the tests, which takes no time. */
async function ourRate(events: number): Promise<number> {
  const folder = temporaryFolder();
  const { store } = await openStore(join(folder.path, 'ours.sqlite'), testKey);
  const log = makeLog('silent');
  // Nothing is sent: the reply counts once it is stored.
  const parts = forum({ secrets: [forumSecret], replyUrl: 'http://127.0.0.1:9/', address: null }, null, {
    store,
    clock: Date.now,
    log,
    fetch,
  });
  const app = createApp({
    store,
    knowledge: smallKnowledge,
    answer: anAnswer as typeof answerPost,
    clock: Date.now,
    newId: () => crypto.randomUUID(),
    random: Math.random,
    sleep: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
    log,
    channels: [{ ...parts.channel, offBecause: 'a bench' }],
    platforms: (inbox) => [parts.platform(inbox)],
    pages: { chat: () => new Hono(), bay: () => new Hono() },
    secureCookies: false,
    renderPng: async () => new Uint8Array(),
    isStopping: () => false,
  });
  const rate = await measure(
    (request) => app.fetch(request),
    events,
    async () => (await store.counts()).answers >= events,
  );
  await app.stop();
  await store.close();
  folder.remove();
  return rate;
}

/** Checks nothing, seals nothing, answers nothing: stores the event durably, answers 202, and stores a reply durably. */
async function bareRate(events: number): Promise<number> {
  const folder = temporaryFolder();
  const file = join(folder.path, 'bare.sqlite');
  const database = new Database(file);
  database.pragma('journal_mode = WAL');
  database.pragma('synchronous = FULL');
  database.exec(
    'CREATE TABLE events (id INTEGER PRIMARY KEY, body TEXT); CREATE TABLE replies (event INTEGER, body TEXT)',
  );
  const take = database.prepare('INSERT INTO events (body) VALUES (?)');
  const reply = database.prepare('INSERT INTO replies (event, body) VALUES (?, ?)');
  const count = database.prepare('SELECT COUNT(*) FROM replies').pluck();
  const app = new Hono().post('/forum/posts', async (context) => {
    const { lastInsertRowid } = take.run(await context.req.text());
    setImmediate(() => reply.run(lastInsertRowid, 'a reply'));
    return context.json({}, 202);
  });
  const rate = await measure(
    async (request) => app.fetch(request),
    events,
    async () => Number(count.get()) >= events,
  );
  database.close();
  folder.remove();
  rmSync(file, { force: true });
  return rate;
}

async function measure(
  fetch: (request: Request) => Promise<Response>,
  events: number,
  isDone: () => Promise<boolean>,
): Promise<number> {
  const server = await new Promise<{ close: ServerType['close']; port: number }>((resolve) => {
    const made = serve({ fetch, hostname: '127.0.0.1', port: 0 }, ({ port }) =>
      resolve({ close: made.close.bind(made), port }),
    );
  });
  const address = `http://127.0.0.1:${server.port}`;
  const deliveries = Array.from({ length: events }, (_, number) =>
    delivery(
      createdEvent({ post: `p${number}`, thread: `t${number}`, author: `a${number}`, text: `rough idle ${number}` }),
    ),
  );
  const started = performance.now();
  let next = 0;
  await Promise.all(
    Array.from({ length: atOnce }, async () => {
      for (let own = deliveries[next++]; own; own = deliveries[next++]) {
        const response = await deliverTo(address, own);
        if (response.status !== 202) throw new Error(`an event was answered ${response.status}`);
        await response.body?.cancel();
      }
    }),
  );
  while (!(await isDone())) await new Promise((resolve) => setTimeout(resolve, 2));
  const rate = (events * 1000) / (performance.now() - started);
  server.close();
  return rate;
}
