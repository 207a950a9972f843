// Answers in a thread of their own: requests are acknowledged while a post is computed, and a post that takes too long or brings its
// thread down costs that thread alone. node.ts makes one; on Workers the runtime keeps requests apart.
import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import type { answerPost } from './answer.ts';
import type { AnswerDone, AnswerJob } from './answer-thread.ts';
import { Problem } from './vocabulary/problems.ts';

type Answered = ReturnType<typeof answerPost>;

export interface AnswerApart {
  readonly answer: (
    post: Parameters<typeof answerPost>[0],
    previous: Parameters<typeof answerPost>[1],
  ) => Promise<Answered>;
  /** Ends the thread; what it was at fails. */
  readonly stop: () => Promise<void>;
}

/** Longest time for one answer [ms]: a hundred times a usual one, and below the patience of who waits for it. */
export const answerTimeoutMs = 10_000;
/** Longest time until a thread is up [ms]. */
const startTimeoutMs = 60_000;
/** The thread's own memory [MiB]; the knowledge and its tables take about 200. */
const memoryLimitMiB = 1024;

/** A thread does not inherit the loader of TypeScript files, so it begins by loading that. */
const loader = pathToFileURL(
  createRequire(import.meta.url)
    .resolve('tsx/esm/api')
    .replace(/\.cjs$/, '.mjs'),
);
const beginThread = `const { loader, file } = require('node:worker_threads').workerData;
  import(loader).then(({ register }) => { register(); return import(file); });`;

interface Waiting {
  readonly job: AnswerJob;
  readonly resolve: (answered: Answered | Promise<Answered>) => void;
  readonly reject: (error: unknown) => void;
}

export interface AnswerApartOptions {
  /** The thread's own file; the tests give another. */
  readonly file?: URL;
  readonly timeoutMs?: number;
  /** Takes over for good when no thread has ever come up. */
  readonly atOnce?: AnswerApart['answer'] | ((...given: Parameters<AnswerApart['answer']>) => Answered);
}

export function answerApart(options: AnswerApartOptions = {}): AnswerApart {
  const file = options.file ?? new URL('./answer-thread.ts', import.meta.url);
  const { atOnce } = options;
  const timeoutMs = options.timeoutMs ?? answerTimeoutMs;
  let cameUp = false;
  /** The present thread is up. */
  let up = false;
  let worker: Worker | null = null;
  let numbers = 0;
  let stopped = false;
  const queue: Waiting[] = [];
  let current: Waiting | null = null;
  let timer: ReturnType<typeof setTimeout> | undefined;

  function start(): Worker {
    const made = new Worker(beginThread, {
      eval: true,
      workerData: { loader: loader.href, file: file.href },
      resourceLimits: { maxOldGenerationSizeMb: memoryLimitMiB },
    });
    made.unref();
    made.on('message', (done: AnswerDone) => {
      if (done.number === null) {
        cameUp = true;
        up = worker === made;
        if (current !== null) limit(made, timeoutMs);
        return;
      }
      if (done.number !== current?.job.number) return;
      if ('result' in done) finish((waiting) => waiting.resolve(done.result));
      else
        finish((waiting) =>
          waiting.reject(Object.assign(new Error('the answer failed'), { name: done.error, stack: done.frames })),
        );
    });
    made.on('error', (error) => fail(made, error));
    made.on('exit', () => fail(made, new Problem('internal', 'the thread that answers went down')));
    return made;
  }

  function fail(made: Worker, error: unknown): void {
    if (worker !== made) return;
    worker = null;
    up = false;
    finish((waiting) => {
      if (cameUp || !atOnce) waiting.reject(error);
      else waiting.resolve(atOnce(waiting.job.post, waiting.job.previous));
    });
  }

  function finish(settle: (waiting: Waiting) => void): void {
    clearTimeout(timer);
    const waiting = current;
    current = null;
    if (waiting) settle(waiting);
    next();
  }

  function limit(running: Worker, ms: number): void {
    clearTimeout(timer);
    timer = setTimeout(() => {
      worker = null;
      up = false;
      void running.terminate();
      finish((late) => late.reject(new Problem('internal', 'the answer took too long')));
    }, ms);
  }

  function next(): void {
    if (current !== null) return;
    const waiting = queue.shift();
    if (!waiting) return;
    if (stopped) {
      waiting.reject(new Problem('unavailable', 'the program is stopping'));
      next();
      return;
    }
    const running = worker ?? start();
    worker = running;
    current = waiting;
    limit(running, up ? timeoutMs : startTimeoutMs);
    running.postMessage(waiting.job);
  }

  return {
    answer: (post, previous) =>
      new Promise((resolve, reject) => {
        numbers += 1;
        queue.push({ job: { number: numbers, post, previous }, resolve, reject });
        next();
      }),
    async stop() {
      stopped = true;
      const running = worker;
      worker = null;
      await running?.terminate();
      finish((waiting) => waiting.reject(new Problem('unavailable', 'the program is stopping')));
    },
  };
}
