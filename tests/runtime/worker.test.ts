// The worker in its real local runtime with D1: the main job, the scheduled sweep, and a worker that is not set up.
import { describe, expect, it } from 'vitest';
import { mainJobSuite } from './main-job-suite.ts';
import { startWorker } from './program.ts';

mainJobSuite('the main job on the Workers runtime', () => startWorker());

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
});
