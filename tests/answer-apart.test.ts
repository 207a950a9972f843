// Answers in a thread of their own: the same answers, and a post that hangs or crashes costs nobody else anything.
import { afterEach, describe, expect, it } from 'vitest';
import { answerPost } from '../src/answer.ts';
import { type AnswerApart, answerApart } from '../src/answer-apart.ts';
import { loadKnowledgeFolder } from '../src/knowledge/load-folder.ts';

let apart: AnswerApart | null = null;
afterEach(() => apart?.stop());

const odd = (timeoutMs?: number) => {
  apart = answerApart({
    file: new URL('threads/odd-thread.ts', import.meta.url),
    ...(timeoutMs === undefined ? {} : { timeoutMs }),
  });
  return (text: string) => apart!.answer({ id: 'x', text }, null);
};

describe('answers apart', () => {
  it('are the same as at once, for the first post and for the next of its case', async () => {
    apart = answerApart();
    const knowledge = loadKnowledgeFolder();
    const first = { id: 'a', text: 'P0171, rough idle, long-term trim +18 at idle, +3 at 2500' };
    const second = { id: 'b', text: 'it is a 2.0 inline four' };
    const one = await apart.answer(first, null);
    expect(one).toEqual(answerPost(first, null, knowledge));
    expect(await apart.answer(second, one.next)).toEqual(answerPost(second, one.next, knowledge));
  });

  it('leave the program free while they are computed', async () => {
    const answer = odd(2000);
    await answer('ready');
    const hanging = answer('hang').catch((error: Error) => error.message);
    const started = performance.now();
    await new Promise((resolve) => setTimeout(resolve, 50));
    expect(performance.now() - started).toBeLessThan(1000);
    expect(await hanging).toContain('too long');
  });

  it.each([
    ['hangs', 'hang'],
    ['ends', 'exit'],
    ['crashes', 'throw'],
  ])('go on after a thread that %s', async (_, text) => {
    const answer = odd(3000);
    await answer('ready');
    const [lost, next] = await Promise.allSettled([answer(text), answer('next')]);
    expect(lost.status).toBe('rejected');
    expect(next).toEqual({ status: 'fulfilled', value: 'next' });
  });

  it('fail with the name and place of an error, never with its words', async () => {
    const answer = odd();
    await expect(answer('fail')).rejects.toMatchObject({ name: 'TypeError', message: 'the answer failed' });
  });

  it('are made at once where no thread can be started', async () => {
    apart = answerApart({
      file: new URL('threads/no-such-thread.ts', import.meta.url),
      atOnce: ((post: { text: string }) => `at once ${post.text}`) as never,
    });
    expect(await apart.answer({ id: 'x', text: 'one' }, null)).toBe('at once one');
    expect(await apart.answer({ id: 'x', text: 'two' }, null)).toBe('at once two');
  });

  it('are not begun once it stops', async () => {
    const answer = odd();
    await answer('ready');
    const waiting = [answer('hang'), answer('never')];
    const settled = Promise.allSettled(waiting);
    await apart!.stop();
    expect((await settled).map(({ status }) => status)).toEqual(['rejected', 'rejected']);
  });
});
