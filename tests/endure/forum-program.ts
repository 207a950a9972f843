// The started program with a forum on loopback around it: what the endurance scenarios drive, kill and restart. A scenario ends with
// a verdict: what was accepted must have been answered exactly once.
import { join } from 'node:path';
import { createdEvent, type FakeForum, type ForumPost, fakeForum, forumSecret } from '../fake-platform/forum.ts';
import { type NodeProgram, startNodeProgram, temporaryFolder } from '../runtime/program.ts';

export interface ForumProgram {
  readonly forum: FakeForum;
  readonly database: string;
  /** The running program; another one after `restart`. */
  readonly program: () => NodeProgram;
  /** Kills it at once and starts it again on the same database. */
  readonly killAndRestart: () => Promise<void>;
  readonly restart: (environment?: Record<string, string>) => Promise<void>;
  readonly stop: () => Promise<void>;
}

export async function startForumProgram(environment: Record<string, string> = {}): Promise<ForumProgram> {
  const forum = await fakeForum();
  const folder = temporaryFolder();
  const database = join(folder.path, 'endure.sqlite');
  const start = (more: Record<string, string> = {}) =>
    startNodeProgram({
      CROSSCOUNT_DATABASE: database,
      FORUM_SECRET: forumSecret,
      FORUM_REPLY_URL: forum.replyUrl,
      ...environment,
      ...more,
    });
  let running = await start();
  return {
    forum,
    database,
    program: () => running,
    async killAndRestart() {
      running.process.kill('SIGKILL');
      await running.ended;
      running = await start();
    },
    async restart(more) {
      await running.stop();
      running = await start(more);
    },
    async stop() {
      await running.stop();
      await forum.stop();
      folder.remove();
    },
  };
}

const words = [
  'rough idle',
  'stalls when warm',
  'smells of petrol',
  'hesitates',
  'check engine light',
  'hiss near the intake',
];

/** A post unlike the others, with figures to work on. */
export function somePost(number: number, thread = `thread ${number}`): ForumPost {
  return {
    post: `post ${number}`,
    thread,
    author: `author ${thread}`,
    text: `P017${1 + (number % 2) * 3}, ${words[number % words.length]}, long-term trim ${(number % 31) - 5} % at idle, number ${number}`,
  };
}

export const someEvent = (number: number, thread?: string) => createdEvent(somePost(number, thread));

export interface Verdict {
  readonly accepted: number;
  /** Accepted, and no reply shown after the settle time. */
  readonly lost: string[];
  /** Answered more than once. */
  readonly twice: string[];
}

/** Waits until every accepted post has its reply, or until no new reply has come for `patienceMs`: a slow machine loses nothing. */
export async function verdictOf(forum: FakeForum, accepted: readonly string[], patienceMs = 90_000): Promise<Verdict> {
  const countOf = () => {
    const counts = new Map<string, number>();
    for (const reply of forum.shown())
      if (reply.post !== null) counts.set(reply.post, (counts.get(reply.post) ?? 0) + 1);
    return counts;
  };
  let until = Date.now() + patienceMs;
  let shown = 0;
  while (Date.now() < until && accepted.some((post) => !countOf().has(post))) {
    await pause(50);
    if (countOf().size > shown) until = Date.now() + patienceMs;
    shown = countOf().size;
  }
  // Long enough for a second reply to show up.
  await pause(500);
  const counts = countOf();
  return {
    accepted: accepted.length,
    lost: accepted.filter((post) => !counts.has(post)),
    twice: [...counts].filter(([, count]) => count > 1).map(([post]) => post),
  };
}

export const pause = (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms));

/** A stream of numbers in [0, 1) that is the same at every run: a failing run can be repeated. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    // From: common practice (the 32-bit generator "mulberry32").
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

export function shuffled<Item>(items: readonly Item[], random: () => number): Item[] {
  const list = [...items];
  for (let at = list.length - 1; at > 0; at -= 1) {
    const other = Math.floor(random() * (at + 1));
    [list[at], list[other]] = [list[other]!, list[at]!];
  }
  return list;
}

/** The value below which `share` of the others lie. */
export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? Number.NaN;
}
