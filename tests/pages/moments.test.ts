// Moments and waits as the pages write them.
import { describe, expect, it } from 'vitest';
import { isoMoment, writeMoment, writeWait } from '../../src/pages/moments.ts';

describe('a moment', () => {
  it('is written in UTC', () => {
    // From: RFC 3339, 5.8: 1985-04-12T23:20:50.52Z; the seconds since 1970 by `date -u -d @482196050`.
    expect(writeMoment(482_196_050_520)).toBe('1985-04-12 23:20 UTC');
    expect(isoMoment(482_196_050_520)).toBe('1985-04-12T23:20:50.520Z');
  });

  it('never fails, however far', () => {
    // From: ECMAScript, 21.4.1.1: a date holds 8.64e15 ms either way.
    expect(isoMoment(1e300)).toBe(new Date(8.64e15).toISOString());
    expect(isoMoment(-1e300)).toBe(new Date(-8.64e15).toISOString());
  });
});

describe('a wait', () => {
  it.each([
    [-5, 'under a minute'],
    [59_999, 'under a minute'],
    [60_000, '1 min'],
    [3_599_999, '59 min'],
    [3_600_000, '1 h'],
    [3_660_000, '1 h 1 min'],
    [86_399_999, '23 h 59 min'],
    [86_400_000, '1 d'],
    [90_000_000, '1 d 1 h'],
  ])('of %i ms is %s', (ms, words) => {
    expect(writeWait(ms)).toBe(words);
  });
});
