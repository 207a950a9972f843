// A thread in place of the answering one that does what the post's text tells it: the tests of answer-apart.ts start it.
import { parentPort } from 'node:worker_threads';

parentPort?.on('message', ({ number, post }: { number: number; post: { text: string } }) => {
  if (post.text === 'hang') for (;;);
  if (post.text === 'exit') process.exit(1);
  if (post.text === 'throw') throw new Error('SECRET WORDS');
  if (post.text === 'fail') parentPort?.postMessage({ number, error: 'TypeError', frames: 'at x' });
  else parentPort?.postMessage({ number, result: post.text });
});

parentPort?.postMessage({ number: null });
