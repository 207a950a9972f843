// The thread that answers posts on Node, so that requests are taken in while one is computed. answer-apart.ts starts it.
import { parentPort } from 'node:worker_threads';
import { answerPost } from './answer.ts';
import { loadKnowledgeFolder } from './knowledge/load-folder.ts';

/** One job; the answer comes back under the same number. */
export interface AnswerJob {
  readonly number: number;
  readonly post: Parameters<typeof answerPost>[0];
  readonly previous: Parameters<typeof answerPost>[1];
}
export type AnswerDone =
  /** The thread is up; time for an answer counts from here. */
  | { readonly number: null }
  | { readonly number: number; readonly result: ReturnType<typeof answerPost> }
  /** Name and place of the error, never its message: that may quote the post. */
  | { readonly number: number; readonly error: string; readonly frames: string };

const knowledge = loadKnowledgeFolder();

parentPort?.on('message', ({ number, post, previous }: AnswerJob) => {
  let done: AnswerDone;
  try {
    done = { number, result: answerPost(post, previous, knowledge) };
  } catch (error) {
    const known = error instanceof Error ? error : new Error();
    const frames = (known.stack ?? '').split('\n').filter((line) => line.trimStart().startsWith('at '));
    done = { number, error: known.name, frames: frames.slice(0, 8).join('\n') };
  }
  parentPort?.postMessage(done);
});

parentPort?.postMessage({ number: null } satisfies AnswerDone);
