// The short form of the fuzz of the reader: `npm run endure` throws a million posts at it.
import { describe, expect, it } from 'vitest';
import { run } from './fuzz-intake.ts';

describe('the reader', () => {
  it('never throws, misquotes or reads the impossible over broken posts', () => {
    const { problems, findings } = run({ count: 600, seed: 20 });
    expect(problems.filter(({ what }) => !what.startsWith('took'))).toEqual([]);
    // The posts say something: about a finding each.
    expect(findings).toBeGreaterThan(600);
  }, 60_000);

  it('gives the same posts for the same seed', () => {
    const [one, two] = [run({ count: 50, seed: 3 }), run({ count: 50, seed: 3 })];
    expect([one.findings, one.conflicts]).toEqual([two.findings, two.conflicts]);
  }, 60_000);
});
