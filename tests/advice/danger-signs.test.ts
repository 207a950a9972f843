// From text to driving advice: every danger sign is caught, and the same words in another sense stop nobody. The ranking is left
// out, so that only reading and advice are tried.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { readPost } from '../../src/intake/read-post.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';
import { advised, knowledge } from './build.ts';

const posts = parse(readFileSync(new URL('danger-signs.yaml', import.meta.url), 'utf8')) as {
  withSign: Array<{ sign: string; post: string }>;
  harmless: string[];
};

const drivingOf = (post: string) => advised([...readPost(post, emptyCase, knowledge).findings]).driving;

describe('danger signs', () => {
  it('are a hundred posts, beside a hundred harmless ones', () => {
    expect([posts.withSign.length, posts.harmless.length]).toEqual([100, 100]);
  });

  // What reading reaches today; it may only improve. Misses and false alarms are named by the failing assertion.
  it('are caught in at least 96 of 100', () => {
    const missed = posts.withSign
      .filter(({ post }) => drivingOf(post) !== 'stop')
      .map(({ sign, post }) => `${sign}: ${post}`);
    expect(missed.length, missed.join('\n')).toBeLessThanOrEqual(4);
  });

  it('are seen in at most 11 of 100 harmless posts', () => {
    const alarms = posts.harmless.filter((post) => drivingOf(post) === 'stop');
    expect(alarms.length, alarms.join('\n')).toBeLessThanOrEqual(11);
  });
});
