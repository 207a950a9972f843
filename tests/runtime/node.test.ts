// The Node program as its users start it: the main job, and what only a process can show (restart, kill, signals, settings,
// logs, the admin command).
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createdEvent, deliverTo, delivery, fakeForum, forumSecret } from '../fake-platform/forum.ts';
import { forumSuite } from './forum-suite.ts';
import { mainJobSuite } from './main-job-suite.ts';
import { type NodeProgram, projectFolder, runNode, startNodeProgram, temporaryFolder, testKey } from './program.ts';

const folder = temporaryFolder();
afterAll(folder.remove);
let files = 0;
const newDatabase = () => {
  files += 1;
  return join(folder.path, `${files}.sqlite`);
};

mainJobSuite('the main job on Node', () => startNodeProgram({ CROSSCOUNT_DATABASE: newDatabase() }));

forumSuite('a forum on Node', async (settings) => ({
  program: await startNodeProgram({ CROSSCOUNT_DATABASE: newDatabase(), ...settings }),
  sweep: async () => undefined,
  minute: async () => undefined,
}));

const ask = (program: NodeProgram, body: Record<string, string>) =>
  fetch(`${program.address}/api/answers`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify(body),
  });

describe('the Node program', () => {
  it('keeps answers over a restart', async () => {
    const environment = { CROSSCOUNT_DATABASE: newDatabase() };
    const body = { id: 'a', conversation: 'kept', text: 'P0171 and rough idle' };
    const first = await startNodeProgram(environment);
    const answer = await (await ask(first, body)).json();
    await first.stop();
    expect(await first.ended).toBe(0);
    const second = await startNodeProgram(environment);
    expect(await (await ask(second, body)).json()).toEqual(answer);
    await second.stop();
  });

  it('loses no post that it took in, and answers each once, when it is killed in the middle', async () => {
    const environment = { CROSSCOUNT_DATABASE: newDatabase() };
    const bodies = Array.from({ length: 30 }, (_, index) => ({
      id: `p${index}`,
      conversation: `thread ${index % 6}`,
      text: `P0171, post ${index}`,
    }));
    let program = await startNodeProgram(environment);
    for (let round = 0; round < 3; round += 1) {
      const calls = bodies.slice(round * 10, round * 10 + 10).map((body) => ask(program, body).catch(() => null));
      await new Promise((resolve) => setTimeout(resolve, 30 * (round + 1)));
      program.process.kill('SIGKILL');
      await Promise.all(calls);
      await program.ended;
      program = await startNodeProgram(environment);
    }
    for (const body of bodies) {
      let response = await ask(program, body);
      for (let wait = 0; response.status === 503 && wait < 5; wait += 1) response = await ask(program, body);
      expect(response.status).toBe(200);
    }
    const metrics = await (await fetch(`${program.address}/metrics`)).text();
    expect(metrics).toMatch(/^crosscount_answers_stored 30$/m);
    expect(metrics).toMatch(/^crosscount_posts_waiting 0$/m);
    await program.stop();
  }, 60_000);

  it('ends requests that run before it stops on a signal', async () => {
    const program = await startNodeProgram({ CROSSCOUNT_DATABASE: newDatabase() });
    const call = ask(program, { text: 'P0171 and rough idle' });
    await new Promise((resolve) => setTimeout(resolve, 15));
    program.process.kill('SIGTERM');
    const response = await call.catch(() => null);
    // Refused at the door or answered in full, but never cut off half way.
    if (response) expect([200, await response.json()]).toMatchObject([response.status, { id: expect.any(String) }]);
    expect(await program.ended).toBe(0);
    expect(program.printed()).toContain('"stopped"');
  });

  it('writes JSON lines without a word of a post', async () => {
    const program = await startNodeProgram({ CROSSCOUNT_DATABASE: newDatabase() });
    await ask(program, { id: 'ZEBRAID', conversation: 'ZEBRATHREAD', text: 'ZEBRAWORD stalls, P0171' });
    await ask(program, { text: '{"ZEBRA' });
    await program.stop();
    expect(program.printed()).not.toContain('ZEBRA');
    const lines = program
      .printed()
      .trimEnd()
      .split('\n')
      .filter((line) => !line.startsWith('crosscount is at '));
    for (const line of lines)
      expect(JSON.parse(line)).toMatchObject({ time: expect.stringMatching(/Z$/), msg: expect.any(String) });
    expect(lines.some((line) => line.includes('post answered'))).toBe(true);
    expect(program.printed()).not.toContain(testKey);
  });

  it('makes a development key beside the database when none is set, and says so', async () => {
    const database = newDatabase();
    const program = await startNodeProgram({ CROSSCOUNT_DATABASE: database, CROSSCOUNT_KEY: '' });
    await program.stop();
    expect(existsSync(`${database}.key`)).toBe(true);
    expect(program.printed()).toContain('development key in use');
    expect(program.printed()).not.toContain(readFileSync(`${database}.key`, 'utf8').trim());
  });

  it.each([
    ['a wrong port', { PORT: '99999' }, /^PORT is set but does not fit: it must .+\.$/m, 2],
    ['a wrong key', { CROSSCOUNT_KEY: 'short' }, /^CROSSCOUNT_KEY is set but does not fit: it must .+\.$/m, 2],
    ['half a channel', { SLACK_SIGNING_SECRET: 'x'.repeat(32) }, /^SLACK_BOT_TOKEN must be set too/m, 2],
    [
      'a database it may not write',
      { CROSSCOUNT_DATABASE: join(projectFolder, 'package.json', 'x.sqlite') },
      /^crosscount cannot start: the database .+ cannot be opened/m,
      1,
    ],
  ])('ends with one clear line for %s', async (_, environment, line, code) => {
    const program = runNode('src/node.ts', [], {
      PORT: '0',
      CROSSCOUNT_KEY: testKey,
      CROSSCOUNT_DATABASE: newDatabase(),
      ...environment,
    });
    expect(await program.ended).toBe(code);
    expect(program.printed()).toMatch(line);
    expect(program.printed().trimEnd().split('\n')).toHaveLength(1);
  });

  it('says so when the port is taken', async () => {
    const first = await startNodeProgram({ CROSSCOUNT_DATABASE: newDatabase() });
    const second = runNode('src/node.ts', [], {
      PORT: new URL(first.address).port,
      CROSSCOUNT_KEY: testKey,
      CROSSCOUNT_DATABASE: newDatabase(),
    });
    expect(await second.ended).toBe(1);
    expect(second.printed()).toMatch(
      /^crosscount cannot start: cannot listen on .+ \(EADDRINUSE\): set HOST and PORT$/m,
    );
    await first.stop();
  });
});

describe('the demo', () => {
  it('puts its scenario in once, however often it starts', async () => {
    const environment = { CROSSCOUNT_DATABASE: newDatabase() };
    const stored: string[] = [];
    for (let start = 0; start < 2; start += 1) {
      const program = await startNodeProgram(environment, ['--demo']);
      const deadline = Date.now() + 40_000;
      while (!program.printed().includes('the demo scenario is in') && Date.now() < deadline)
        await new Promise((resolve) => setTimeout(resolve, 100));
      expect(program.printed()).toMatch(/the demo scenario is in: \d+ conversations/);
      const metrics = await (await fetch(`${program.address}/metrics`)).text();
      stored.push(/^crosscount_answers_stored (\d+)$/m.exec(metrics)![1]!);
      expect(metrics).toMatch(/^crosscount_posts_failed 0$/m);
      await program.stop();
    }
    expect(Number(stored[0])).toBeGreaterThanOrEqual(12);
    expect(stored[1]).toBe(stored[0]);
  }, 90_000);
});

describe('npm run admin', () => {
  let program: NodeProgram;
  const environment = { CROSSCOUNT_DATABASE: newDatabase(), CROSSCOUNT_KEY: testKey };
  const admin = async (...words: string[]) => {
    const run = runNode('src/admin.ts', words, environment);
    return { code: await run.ended, printed: run.printed() };
  };
  beforeAll(async () => {
    program = await startNodeProgram(environment);
    await ask(program, { id: 'a', conversation: 'erase me', text: 'P0171 ZEBRAWORD\u001b[31m\nsecond line' });
  });
  afterAll(() => program.stop());

  it('lists posts without their words unless asked, one line each', async () => {
    const short = await admin('inbox', '--state', 'answered');
    expect(short.code).toBe(0);
    expect(short.printed).toMatch(/^1 {2}\d{4}-.+Z {2}api {2}attempts 1\n$/);
    const long = await admin('inbox', '--state', 'answered', '--words');
    expect(long.printed).toContain('ZEBRAWORD');
    expect(long.printed).not.toContain('\u001b');
    expect(long.printed.trimEnd().split('\n')).toHaveLength(1);
    expect((await admin('undeliverable')).printed).toBe('nothing\n');
  });

  it('prints a sign-in link to the bay', async () => {
    const { printed } = await admin('sign-in', 'Ana', '--role', 'helper');
    expect(printed).toMatch(
      /^http:\/\/127\.0\.0\.1:8787\/bay\/sign-in\?token=[\w-]{43}\nfor Ana as helper; works once/,
    );
  });

  it('lets people in through the issuer, works reviewed cases again, and checks the audit log', async () => {
    const subject = 'https://issuer.test ida';
    expect((await admin('allow', subject)).code).toBe(2);
    await admin('allow', subject, 'Ida', '--role', 'helper', '--community', 'web');
    expect((await admin('disallow', subject)).printed).toContain('taken back');
    expect((await admin('rerun')).printed).toContain('first cause changed in 0 of 0');
    const { printed } = await admin('audit');
    const acts = printed.split('\n').filter((text) => text.includes('(command line)'));
    expect(acts.map((text) => text.split('  ')[3])).toEqual(['allow', 'disallow', 'rerun']);
    expect(printed).toMatch(/\d+ entries, from 1 on, each following from the one before\nnote this down/);
    const [, noted] = /database: (\d+:[\w-]{43})/.exec(printed)!;
    expect((await admin('audit', '--known', noted!)).code).toBe(0);
    const wrong = await admin('audit', '--known', `1:${'x'.repeat(43)}`);
    expect([wrong.code, wrong.printed.includes('does not hold together')]).toEqual([1, true]);
  }, 90_000);

  it('copies the database while the program runs, and the copy can be used', async () => {
    const copy = newDatabase();
    expect((await admin('backup', copy)).code).toBe(0);
    expect(await admin('backup', copy)).toMatchObject({ code: 2, printed: expect.stringContaining('exists already') });
    const restored = await startNodeProgram({ CROSSCOUNT_DATABASE: copy });
    expect(await (await fetch(`${restored.address}/metrics`)).text()).toMatch(/^crosscount_answers_stored 1$/m);
    await restored.stop();
  });

  it('puts a copy back only while the program is stopped', async () => {
    const copy = newDatabase();
    await admin('backup', copy);
    expect(await admin('restore', copy)).toMatchObject({
      code: 1,
      printed: expect.stringContaining('stop the server'),
    });
    await program.stop();
    expect((await admin('restore', copy)).printed).toMatch(/^restored 1 answer\(s\); the database from before is /);
    program = await startNodeProgram(environment);
    expect(await (await fetch(`${program.address}/metrics`)).text()).toMatch(/^crosscount_answers_stored 1$/m);
  });

  it('erases a conversation while the program runs', async () => {
    const { printed } = await admin('erase', '--channel', 'api', '--conversation', 'erase me');
    expect(printed).toMatch(/^erased 1 post/);
    expect((await ask(program, { id: 'a', conversation: 'erase me', text: 'again' })).status).toBe(409);
    expect((await admin('inbox', '--state', 'answered')).printed).toBe('nothing\n');
  });

  it.each([
    [[]],
    [['dance']],
    [['erase', '--channel', 'api']],
    [['inbox', '--state', 'x']],
    [['sign-in']],
    [['--no-such-option']],
  ])('explains itself after %j', async (words) => {
    const { code, printed } = await admin(...words);
    expect(code).toBe(2);
    expect(printed).toContain('npm run admin -- inbox');
  });

  it('lists what could not be delivered with the reason, and takes it back into the outbox', async () => {
    const database = newDatabase();
    const forum = await fakeForum();
    forum.server.behave = () => ({ kind: 'status', status: 410 });
    const settings = { CROSSCOUNT_DATABASE: database, FORUM_SECRET: forumSecret, FORUM_REPLY_URL: forum.replyUrl };
    const program = await startNodeProgram(settings);
    const event = createdEvent({ post: 'p', thread: 't', author: 'a', text: 'P0171' });
    expect((await deliverTo(program.address, delivery(event))).status).toBe(202);
    for (let wait = 0; forum.server.calls.length === 0 && wait < 1000; wait += 1)
      await new Promise((resolve) => setTimeout(resolve, 50));
    await new Promise((resolve) => setTimeout(resolve, 500));
    const admin = async (...words: string[]) => {
      const run = runNode('src/admin.ts', words, { ...settings, CROSSCOUNT_KEY: testKey });
      return { code: await run.ended, printed: run.printed() };
    };
    const listed = await admin('undeliverable');
    expect(listed.printed).toContain('the receiver answered 410');
    forum.server.behave = () => undefined;
    expect((await admin('redeliver', '999')).printed).toContain('no such message');
    expect((await admin('redeliver', listed.printed.split(' ')[0]!)).printed).toContain('due again');
    for (let wait = 0; forum.taken.length === 0 && wait < 1000; wait += 1)
      await new Promise((resolve) => setTimeout(resolve, 50));
    expect(forum.shown('t')).toHaveLength(1);
    // Permanent: one call, and none again by itself.
    expect(forum.server.calls).toHaveLength(2);
    await program.stop();
    await forum.stop();
  }, 120_000);
});
