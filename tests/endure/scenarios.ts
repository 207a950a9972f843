// The faults to survive, each as a function of its size: `npm test` runs them short, `npm run endure` long. Rows are those of the
// acceptance table that the issue names.
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { openSqlStore } from '../../src/store/sql/sql-store.ts';
import { openSqlite } from '../../src/store/sqlite/sqlite-connection.ts';
import { openVault } from '../../src/store/vault.ts';
import { fromBase64 } from '../../src/vocabulary/base64.ts';
import { createdEvent, deliverTo, delivery } from '../fake-platform/forum.ts';
import { testKey } from '../runtime/program.ts';
import {
  type ForumProgram,
  pause,
  quantile,
  seeded,
  shuffled,
  someEvent,
  somePost,
  startForumProgram,
  type Verdict,
  verdictOf,
} from './forum-program.ts';

async function within<Result>(
  environment: Record<string, string>,
  work: (running: ForumProgram) => Promise<Result>,
): Promise<Result> {
  const running = await startForumProgram(environment);
  try {
    return await work(running);
  } finally {
    await running.stop();
  }
}

/** Row 1: `kills` times, an event and a kill up to half a second after its acknowledgement, and a restart. */
export function killAfterAcknowledgement(kills: number, seed = 1): Promise<Verdict & { slowestFirstReplyMs: number }> {
  return within({}, async (running) => {
    const random = seeded(seed);
    const accepted: string[] = [];
    let slowestFirstReplyMs = 0;
    for (let kill = 0; kill < kills; kill += 1) {
      const response = await deliverTo(running.program().address, delivery(someEvent(kill)));
      if (response.status === 202) accepted.push(`post ${kill}`);
      await pause(random() * 500);
      await running.killAndRestart();
      const started = Date.now();
      const post = accepted.at(-1);
      while (!running.forum.shown().some((reply) => reply.post === post) && Date.now() - started < 20_000)
        await pause(10);
      slowestFirstReplyMs = Math.max(slowestFirstReplyMs, Date.now() - started);
    }
    return { ...(await verdictOf(running.forum, accepted)), slowestFirstReplyMs };
  });
}

/** Row 2: the receiver takes a reply, and the program is killed before it hears so. */
export function killAfterReplyWasTaken(kills: number): Promise<Verdict> {
  return within({}, async (running) => {
    const accepted: string[] = [];
    for (let kill = 0; kill < kills; kill += 1) {
      let taken = () => {};
      const reached = new Promise<void>((resolve) => {
        taken = resolve;
      });
      running.forum.server.behave = () => {
        taken();
        return { kind: 'accept-then-hang' };
      };
      const response = await deliverTo(running.program().address, delivery(someEvent(kill)));
      if (response.status === 202) accepted.push(`post ${kill}`);
      await reached;
      running.forum.server.behave = () => undefined;
      await running.killAndRestart();
    }
    return verdictOf(running.forum, accepted);
  });
}

/** Row 3: killed at `kills` moments of its start, on a fresh database each time; then it must come up and be sound. */
export function killWhileStarting(
  kills: number,
  start: (environment: Record<string, string>, afterMs: number) => Promise<void>,
) {
  return within({}, async (running) => {
    await running.program().stop();
    for (let kill = 0; kill < kills; kill += 1)
      await start({ CROSSCOUNT_DATABASE: running.database }, Math.round((kill / kills) * 2500));
    await running.restart();
    return soundness(running.database);
  });
}

/** Row 10: every event `copies` times, together and with changed headers. */
export function duplicates(events: number, copies: number): Promise<Verdict & { refused: number }> {
  return within({}, async ({ program, forum }) => {
    const { address } = program();
    let refused = 0;
    const accepted: string[] = [];
    for (let from = 0; from < events; from += 20) {
      const batch = Array.from({ length: Math.min(20, events - from) }, (_, index) => from + index);
      await Promise.all(
        batch.map(async (number) => {
          const event = someEvent(number);
          const id = `msg_${number}`;
          const answers = await Promise.all(
            Array.from({ length: copies }, (_, copy) =>
              // The same event again as a sender repeats it: a new time and signature; one copy even under a new id.
              deliverTo(
                address,
                delivery(event, { id: copy === copies - 1 ? `${id}-again` : id, at: Date.now() + copy * 1000 }),
              ),
            ),
          );
          refused += answers.filter(({ status }) => status !== 200 && status !== 202).length;
          if (answers.some(({ status }) => status === 202)) accepted.push(`post ${number}`);
        }),
      );
    }
    return { ...(await verdictOf(forum, accepted)), refused };
  });
}

/** Row 11: conversations whose posts come shuffled within two seconds end as if they had come in order. */
export async function reorder(threads: number, posts: number, seed = 2) {
  const run = (order: 'shuffled' | 'as written') =>
    within({}, async ({ program, forum, database }) => {
      const random = seeded(seed);
      const from = Date.parse('2026-01-01T10:00:00Z');
      const all = Array.from({ length: threads * posts }, (_, index) => {
        const thread = `thread ${index % threads}`;
        const place = Math.floor(index / threads);
        const writtenAt = new Date(from + place * 60_000).toISOString();
        return createdEvent({ ...somePost(index, thread), writtenAt });
      });
      const sent = order === 'shuffled' ? shuffled(all, random) : all;
      let sending: Array<Promise<Response>> = [];
      const statuses: number[] = [];
      for (const event of sent) {
        sending.push(deliverTo(program().address, delivery(event)));
        // In order they must also arrive in order.
        if (order === 'as written' || sending.length >= 40) {
          statuses.push(...(await Promise.all(sending)).map(({ status }) => status));
          sending = [];
        } else await pause(2000 / all.length);
      }
      statuses.push(...(await Promise.all(sending)).map(({ status }) => status));
      const verdict = await verdictOf(
        forum,
        all.map(({ data }) => data.post),
      );
      const replies = new Map<string, string[]>();
      for (const reply of forum.taken) replies.set(reply.thread, [...(replies.get(reply.thread) ?? []), reply.id]);
      return {
        verdict,
        refused: statuses.filter((status) => status !== 202).length,
        cases: await casesOf(database, threads),
      };
    });
  const [late, right] = [await run('shuffled'), await run('as written')];
  const different = late.cases.flatMap((one, thread) => (one === right.cases[thread] ? [] : [`thread ${thread}`]));
  return { ...late.verdict, refused: late.refused + right.refused, different };
}

/** What a case holds of the car, as text: what was said and how it is ranked, without what was shown to whom. */
async function casesOf(database: string, threads: number): Promise<string[]> {
  const store = await openSqlStore(openSqlite(database), await openVault(fromBase64(testKey)));
  try {
    const cases: string[] = [];
    for (let thread = 0; thread < threads; thread += 1) {
      const { state } = await store.loadCase('forum', `thread ${thread}`);
      cases.push(JSON.stringify([state?.posts, state?.findings, state?.replaced, state?.conflicts]));
    }
    return cases;
  } finally {
    await store.close();
  }
}

/** Row 15: an outage of every kind while `posts` wait, then health: all are delivered, in order, without a storm. */
export function outage(posts: number, seconds: number): Promise<Verdict & { callsPerItem: number; drainMs: number }> {
  return within({}, async ({ program, forum }) => {
    const kinds = [
      { kind: 'status', status: 500 },
      { kind: 'status', status: 502 },
      { kind: 'status', status: 504 },
      { kind: 'reset' },
      { kind: 'accept-then-drop' },
      { kind: 'half-body' },
    ] as const;
    forum.server.behave = (_, number) => kinds[number % kinds.length];
    const accepted: string[] = [];
    for (let number = 0; number < posts; number += 1) {
      const response = await deliverTo(program().address, delivery(someEvent(number, `thread ${number % 50}`)));
      if (response.status === 202) accepted.push(`post ${number}`);
    }
    await pause(seconds * 1000);
    const calls = forum.server.calls.length;
    forum.server.behave = () => undefined;
    const started = Date.now();
    const verdict = await verdictOf(forum, accepted);
    return { ...verdict, callsPerItem: calls / posts, drainMs: Date.now() - started };
  });
}

/** Row 17: stopped and started `times` times under load. */
export function restartStorm(times: number): Promise<Verdict & { slowestStopMs: number }> {
  return within({}, async (running) => {
    const accepted: string[] = [];
    let number = 0;
    let slowestStopMs = 0;
    for (let time = 0; time < times; time += 1) {
      const { address } = running.program();
      const sending = Array.from({ length: 15 }, async () => {
        const own = number;
        number += 1;
        await pause(Math.random() * 100);
        const response = await deliverTo(address, delivery(someEvent(own))).catch(() => null);
        if (response?.status === 202) accepted.push(`post ${own}`);
      });
      await pause(60);
      const stopping = Date.now();
      running.program().process.kill('SIGTERM');
      await running.program().ended;
      slowestStopMs = Math.max(slowestStopMs, Date.now() - stopping);
      await Promise.all(sending);
      await running.restart();
    }
    return { ...(await verdictOf(running.forum, accepted)), slowestStopMs };
  });
}

/** Rows 19 and 20: `perSecond` events a second for `seconds`. */
export function load(perSecond: number, seconds: number) {
  return within({}, async ({ program, forum }) => {
    const { address, process } = program();
    const accepted: string[] = [];
    const acknowledgements: number[] = [];
    const sentAt = new Map<string, number>();
    const statuses = new Map<number, number>();
    const memory: number[] = [];
    const started = performance.now();
    const sending: Array<Promise<void>> = [];
    for (let number = 0; number < perSecond * seconds; number += 1) {
      const ahead = started + (number * 1000) / perSecond - performance.now();
      if (ahead > 1) await pause(ahead);
      if (number % perSecond === 0) memory.push(residentMiB(process.pid!));
      sending.push(
        (async () => {
          const from = performance.now();
          const response = await deliverTo(address, delivery(someEvent(number))).catch(() => null);
          acknowledgements.push(performance.now() - from);
          const status = response?.status ?? 0;
          statuses.set(status, (statuses.get(status) ?? 0) + 1);
          if (status !== 202) return;
          accepted.push(`post ${number}`);
          sentAt.set(`post ${number}`, Date.now());
        })(),
      );
    }
    await Promise.all(sending);
    const verdict = await verdictOf(forum, accepted);
    const replyMs = forum.server.calls.flatMap((call) => {
      const sent = sentAt.get((JSON.parse(call.body) as { data: { post: string } }).data.post);
      return sent === undefined ? [] : [call.at - sent];
    });
    const warm = memory[Math.floor(memory.length / 4)] ?? 0;
    return {
      ...verdict,
      statuses: Object.fromEntries(statuses),
      acknowledgementP50Ms: quantile(acknowledgements, 0.5),
      acknowledgementP99Ms: quantile(acknowledgements, 0.99),
      replyP95Ms: quantile(replyMs, 0.95),
      memoryGrowth: warm === 0 ? 0 : residentMiB(process.pid!) / warm - 1,
    };
  });
}

/** Memory that a process holds [MiB]; 0 where the system does not tell. */
function residentMiB(pid: number): number {
  try {
    const kib = /^VmRSS:\s+(\d{1,12}) kB$/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1];
    return Number(kib ?? 0) / 1024;
  } catch {
    return 0;
  }
}

/** What SQLite itself says of the file. */
export function soundness(database: string): string {
  const connection = openSqlite(database);
  try {
    return String(connection.database.pragma('integrity_check', { simple: true }));
  } finally {
    connection.database.close();
  }
}

/** Whether system calls can be traced here. */
export function canTrace(): boolean {
  try {
    execFileSync('strace', ['-o', '/dev/null', 'true'], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
}
