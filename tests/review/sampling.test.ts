// Which answers are to be looked at: limits on both sides, and a share of the rest that is spread evenly.
import { describe, expect, it } from 'vitest';
import { reasonToLook } from '../../src/review/sampling.ts';
import type { AnswerSummary } from '../../src/store/store.ts';

const summary = (parts: Partial<AnswerSummary>): AnswerSummary => ({
  answerId: 1,
  channel: 'web',
  createdAt: 0,
  excerpt: '',
  danger: 0,
  surprise: 0,
  firstCause: null,
  firstProbability: null,
  driving: 'ok',
  helper: 'none',
  review: 'unreviewed',
  ...parts,
});
const ids = Array.from({ length: 10_000 }, (_, index) => index + 1);
const unsampled = ids.find((answerId) => reasonToLook(summary({ answerId })) === null)!;

describe('an answer', () => {
  it.each<[Partial<AnswerSummary>, string | null]>([
    [{ danger: 100 }, null],
    [{ driving: 'limit' }, 'danger'],
    [{ driving: 'stop' }, 'danger'],
    [{ surprise: 0.69 }, null],
    [{ surprise: 0.7 }, 'surprise'],
    [{ surprise: 0.9, driving: 'stop' }, 'danger'],
    [{ driving: 'stop', review: 'standing' }, null],
    [{ driving: 'stop', review: 'withdrawn' }, null],
  ])('with %o is looked at because of %s', (parts, reason) => {
    expect(reasonToLook(summary({ answerId: unsampled, ...parts }))).toBe(reason);
  });

  it('of the rest is looked at one time in ten, and in no rhythm', () => {
    const sampled = ids.filter((answerId) => reasonToLook(summary({ answerId })) === 'sample');
    expect(sampled.length).toBeGreaterThan(900);
    expect(sampled.length).toBeLessThan(1100);
    // No longer stretch without one than chance would give once in 10,000 times: 0.9^88 is 0.0001.
    const gaps = sampled.map((id, index) => id - (sampled[index - 1] ?? 0));
    expect(Math.max(...gaps)).toBeLessThan(88);
  });
});
