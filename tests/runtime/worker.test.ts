// The worker in its real local runtime with D1: the main job, the scheduled sweep, and a worker that is not set up.
import { describe, expect, it } from 'vitest';
import { createdEvent, deliverTo, delivery, fakeForum, forumSecret } from '../fake-platform/forum.ts';
import { forumSuite } from './forum-suite.ts';
import { mainJobSuite } from './main-job-suite.ts';
import { startWorker } from './program.ts';

mainJobSuite('the main job on the Workers runtime', () => startWorker());

/** The forum of the test, the only outside there is. */
const outside = async ({ url, method, headers, body }: Request) =>
  fetch(url, { method, headers: [...headers], body: body === null ? null : await new Response(body).arrayBuffer() });

forumSuite('a forum on the Workers runtime, through the queue', async (settings) => {
  const program = await startWorker(settings, { queues: true, outside });
  return { program, sweep: async () => undefined, minute: program.runSchedule };
});

forumSuite('a forum on the Workers runtime, by the sweep alone', async (settings) => {
  const program = await startWorker(settings, { outside });
  return { program, sweep: program.runSchedule, minute: program.runSchedule };
});

describe('the worker', () => {
  it('answers in its scheduled sweep what was left waiting', async () => {
    const worker = await startWorker();
    const { postId } = await worker.store.acceptPost(
      { eventId: 'left', channel: 'api', conversation: 'c', author: 'a', text: 'P0171, rough idle', callerId: null },
      Date.now(),
      0,
    );
    expect(await worker.runSchedule()).toBe('ok');
    expect((await worker.store.readPost(postId!))?.state).toBe('answered');
    expect(await worker.store.counts()).toMatchObject({ waiting: 0, due: 0, answers: 1 });
    await worker.stop();
  });

  it('says that it is not set up, and not what is missing, to the outside', async () => {
    const worker = await startWorker({ CROSSCOUNT_KEY: '' });
    const response = await fetch(`${worker.address}/healthz`);
    expect(response.status).toBe(503);
    expect(await response.text()).not.toContain('CROSSCOUNT_KEY');
    await worker.stop();
  });

  it('goes on when the queue gave a message up: the post waits for the sweep', async () => {
    const forum = await fakeForum();
    // A reply address that fails makes nothing fail but the sending; a conversation that nobody can claim is worked in vain.
    const worker = await startWorker(
      { FORUM_SECRET: forumSecret, FORUM_REPLY_URL: forum.replyUrl },
      { queues: true, outside },
    );
    const response = await deliverTo(
      worker.address,
      delivery(createdEvent({ post: 'p', thread: 't', author: 'a', text: 'P0171' })),
    );
    expect(response.status).toBe(202);
    for (let wait = 0; forum.taken.length === 0 && wait < 1000; wait += 1)
      await new Promise((resolve) => setTimeout(resolve, 50));
    expect(forum.taken).toHaveLength(1);
    expect(await worker.runSchedule()).toBe('ok');
    expect(forum.taken).toHaveLength(1);
    await worker.stop();
    await forum.stop();
  });

  it('asks for the token of a conversation that somebody else began', async () => {
    const worker = await startWorker({ CROSSCOUNT_ADDRESS: 'https://cars.example' });
    const ask = (text: string, authorization?: string) =>
      fetch(`${worker.address}/api/answers`, {
        method: 'POST',
        headers: {
          'Content-Type': 'application/json',
          ...(authorization === undefined ? {} : { Authorization: authorization }),
        },
        body: JSON.stringify({ text, conversation: 'mine' }),
      });
    const first = await ask('P0171');
    const token = first.headers.get('conversation-token');
    expect([first.status, token]).toEqual([200, expect.stringMatching(/^[\w-]{43}$/)]);
    expect((await ask('rough idle')).status).toBe(401);
    expect((await ask('rough idle', `Bearer ${token}`)).status).toBe(200);
    await worker.stop();
  });
});
