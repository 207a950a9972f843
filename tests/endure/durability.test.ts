// What a 2xx promises: the event is on the disk. Shown by tracing system calls, by writes that fail one after the other, by a full
// disk, a locked and a read-only database, and by clocks that jump; against the started program.
import { execFileSync, spawn } from 'node:child_process';
import { chmodSync, mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, describe, expect, it } from 'vitest';
import { deliverTo, delivery, type FakeForum, fakeForum, forumSecret } from '../fake-platform/forum.ts';
import { type NodeProgram, runNode, startNodeProgram, temporaryFolder, testKey } from '../runtime/program.ts';
import { pause, someEvent, verdictOf } from './forum-program.ts';
import { canTrace, soundness } from './scenarios.ts';

const long = 240_000;
const cleaning: Array<() => Promise<unknown> | unknown> = [];
afterEach(async () => {
  for (const clean of cleaning.splice(0).reverse()) await clean();
});

interface Run {
  readonly forum: FakeForum;
  readonly folder: string;
  readonly settings: Record<string, string>;
}

async function prepare(inFolder?: string): Promise<Run> {
  const forum = await fakeForum();
  cleaning.push(() => forum.stop());
  const made = temporaryFolder();
  cleaning.push(made.remove);
  const folder = inFolder ?? made.path;
  const settings = {
    CROSSCOUNT_DATABASE: join(folder, 'durable.sqlite'),
    FORUM_SECRET: forumSecret,
    FORUM_REPLY_URL: forum.replyUrl,
  };
  return { forum, folder, settings };
}

async function started(settings: Record<string, string>): Promise<NodeProgram> {
  const program = await startNodeProgram(settings);
  cleaning.push(() => program.stop());
  return program;
}

/** Attaches the tracer to a running program. @returns ends it */
async function trace(pid: number, words: readonly string[]): Promise<() => Promise<void>> {
  const tracer = spawn('strace', ['-f', ...words, '-p', String(pid)], { stdio: ['ignore', 'ignore', 'pipe'] });
  await new Promise<void>((resolve) =>
    tracer.stderr.on('data', (chunk: Buffer) => String(chunk).includes('attached') && resolve()),
  );
  const stop = async () => {
    const ended = new Promise((resolve) => tracer.once('close', resolve));
    tracer.kill('SIGINT');
    await ended;
  };
  return stop;
}

describe.skipIf(!canTrace())('under the tracer', () => {
  it(
    'syncs the log of the database between reading an event and writing its 202, for every event',
    async () => {
      const { settings, folder } = await prepare();
      const program = await started(settings);
      // The first event makes the answering thread busy elsewhere.
      await deliverTo(program.address, delivery(someEvent(1000)));
      await pause(3000);
      const file = join(folder, 'trace.txt');
      const stop = await trace(program.process.pid!, [
        '-e',
        'trace=read,write,writev,fdatasync,fsync',
        '-s',
        '48',
        '-o',
        file,
      ]);
      for (let number = 0; number < 20; number += 1) {
        const response = await deliverTo(program.address, delivery(someEvent(number)));
        expect(response.status).toBe(202);
      }
      await stop();
      let synced = false;
      let kept = 0;
      let broken = 0;
      for (const line of readFileSync(file, 'utf8').split('\n')) {
        if (line.includes('POST /forum/posts')) synced = false;
        else if (/\bf(?:data)?sync\(\d+\)\s+= 0/.test(line) || /f(?:data)?sync resumed.*= 0/.test(line)) synced = true;
        else if (line.includes('HTTP/1.1 202')) {
          if (synced) kept += 1;
          else broken += 1;
        }
      }
      expect({ kept, broken }).toEqual({ kept: 20, broken: 0 });
    },
    long,
  );

  it.each([
    ['fdatasync', 'EIO'],
    ['pwrite64', 'ENOSPC'],
  ])(
    'answers 503 when the n-th %s fails with %s, and loses nothing that it accepted',
    async (call, error) => {
      const { settings, forum } = await prepare();
      const program = await started(settings);
      const accepted: string[] = [];
      const statuses = new Set<number>();
      for (let n = 1; n <= 6; n += 1) {
        const stop = await trace(program.process.pid!, [
          '-e',
          `trace=${call}`,
          '-e',
          `inject=${call}:error=${error}:when=${n}`,
          '-o',
          '/dev/null',
        ]);
        for (let number = 0; number < 3; number += 1) {
          const response = await deliverTo(program.address, delivery(someEvent(n * 10 + number)));
          statuses.add(response.status);
          if (response.status === 202) accepted.push(`post ${n * 10 + number}`);
        }
        await stop();
      }
      expect([...statuses].filter((status) => status !== 202 && status !== 503)).toEqual([]);
      const { lost, twice } = await verdictOf(forum, accepted);
      expect({ lost, twice }).toEqual({ lost: [], twice: [] });
      await program.stop();
      expect(soundness(settings.CROSSCOUNT_DATABASE!)).toBe('ok');
    },
    long,
  );
});

const canMount = process.getuid?.() === 0 && process.platform === 'linux';

describe.skipIf(!canMount)('on a full disk', () => {
  it(
    'answers 503, says so in its log, and goes on once there is room, without a restart',
    async () => {
      const place = temporaryFolder();
      const disk = join(place.path, 'disk');
      mkdirSync(disk);
      try {
        execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=4m', 'tmpfs', disk], { stdio: 'ignore' });
      } catch {
        place.remove();
        return;
      }
      cleaning.push(() => {
        execFileSync('umount', ['-l', disk]);
        place.remove();
      });
      const { settings, forum } = await prepare(disk);
      const program = await started(settings);
      const accepted: string[] = [];
      const send = async (number: number) => {
        const response = await deliverTo(program.address, delivery(someEvent(number)));
        if (response.status === 202) accepted.push(`post ${number}`);
        return response.status;
      };
      expect(await send(0)).toBe(202);
      fill(join(disk, 'filler'));
      let status = 202;
      for (let number = 1; status === 202 && number < 400; number += 1) status = await send(number);
      expect(status).toBe(503);
      // The log is written a moment later.
      for (let wait = 0; !program.printed().includes('request refused') && wait < 100; wait += 1) await pause(50);
      expect(program.printed()).toContain('request refused');
      rmSync(join(disk, 'filler'));
      const freed = Date.now();
      while ((await send(1000 + (Date.now() - freed))) !== 202 && Date.now() - freed < 20_000) await pause(100);
      expect(Date.now() - freed).toBeLessThan(10_000);
      const { lost, twice } = await verdictOf(forum, accepted);
      expect({ lost, twice }).toEqual({ lost: [], twice: [] });
      await program.stop();
      expect(soundness(settings.CROSSCOUNT_DATABASE!)).toBe('ok');
    },
    long,
  );
});

/** Takes what room is left. */
function fill(file: string): void {
  let size = 1024 * 1024;
  while (size >= 1024) {
    try {
      writeFileSync(file, Buffer.alloc(size), { flag: 'a' });
    } catch {
      size /= 2;
    }
  }
  expect(statSync(file).size).toBeGreaterThan(0);
}

describe('with a database that others hold', () => {
  it.each([
    [1000, [202]],
    [5000, [503]],
  ])(
    'for %d ms: answers before a platform gives up, and takes the event in later',
    async (heldMs, statuses) => {
      const { settings, forum } = await prepare();
      const program = await started(settings);
      await deliverTo(program.address, delivery(someEvent(1)));
      await verdictOf(forum, ['post 1']);
      const other = new Database(settings.CROSSCOUNT_DATABASE!);
      other.exec('BEGIN IMMEDIATE');
      setTimeout(() => {
        other.exec('ROLLBACK');
        other.close();
      }, heldMs);
      const from = performance.now();
      const one = delivery(someEvent(2));
      const response = await deliverTo(program.address, one);
      expect(performance.now() - from).toBeLessThan(3000);
      expect(statuses).toContain(response.status);
      if (response.status === 503) expect(response.headers.get('retry-after')).toMatch(/^\d+$/);
      // The sender repeats.
      await pause(heldMs);
      let status = response.status;
      while (status === 503) {
        await pause(300);
        ({ status } = await deliverTo(program.address, one));
      }
      expect(await verdictOf(forum, ['post 2'])).toMatchObject({ lost: [], twice: [] });
    },
    long,
  );
});

describe('with a database that cannot be written', () => {
  it(
    'ends with one clear line when the file is no database',
    async () => {
      const { settings } = await prepare();
      writeFileSync(settings.CROSSCOUNT_DATABASE!, 'this is no database, whatever its name says'.repeat(100));
      const program = runNode('src/node.ts', [], { PORT: '0', CROSSCOUNT_KEY: testKey, ...settings });
      expect(await program.ended).not.toBe(0);
      expect(program.printed().trim().split('\n')).toHaveLength(1);
    },
    long,
  );

  // Root may write whatever the mode says.
  it.skipIf(process.getuid?.() === 0)(
    'ends with one clear line when the file may only be read',
    async () => {
      const { settings } = await prepare();
      await (await startNodeProgram(settings)).stop();
      chmodSync(settings.CROSSCOUNT_DATABASE!, 0o400);
      const program = runNode('src/node.ts', [], { PORT: '0', CROSSCOUNT_KEY: testKey, ...settings });
      expect(await program.ended).not.toBe(0);
      expect(program.printed().trim().split('\n')).toHaveLength(1);
    },
    long,
  );
});

describe('with another clock', () => {
  it(
    'takes what is four minutes away by its own clock and refuses what is six, before and after',
    async () => {
      const { settings } = await prepare();
      const hour = 60 * 60_000;
      const program = await started({ ...settings, CROSSCOUNT_NOW: String(hour) });
      const statuses: number[] = [];
      for (const [number, minutes] of [-6, -4, 4, 6].entries()) {
        const event = delivery(someEvent(number), { at: Date.now() + hour + minutes * 60_000 });
        statuses.push((await deliverTo(program.address, event)).status);
      }
      expect(statuses).toEqual([401, 202, 202, 401]);
    },
    long,
  );

  it(
    'leaves nothing stuck when it is set back an hour while posts and replies wait',
    async () => {
      const { settings, forum } = await prepare();
      const hour = 60 * 60_000;
      const ahead = await startNodeProgram({ ...settings, CROSSCOUNT_NOW: String(hour) });
      forum.server.behave = () => ({ kind: 'status', status: 503 });
      const accepted: string[] = [];
      for (let number = 0; number < 6; number += 1) {
        const event = delivery(someEvent(number), { at: Date.now() + hour });
        if ((await deliverTo(ahead.address, event)).status === 202) accepted.push(`post ${number}`);
      }
      await pause(2500);
      ahead.process.kill('SIGKILL');
      await ahead.ended;
      forum.server.behave = () => undefined;
      await started(settings);
      expect(await verdictOf(forum, accepted)).toEqual({ accepted: 6, lost: [], twice: [] });
    },
    long,
  );
});
