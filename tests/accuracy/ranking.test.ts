import { describe, expect, it } from 'vitest';
import {
  brierScore,
  expectedCalibrationError,
  firstPlaces,
  hitRate,
  isValidation,
  type Judged,
  logLoss,
  maximumCalibrationError,
  reliability,
} from './ranking.ts';

function judged(probabilities: readonly number[], truth: number, acceptable: readonly number[] = []): Judged {
  return {
    id: 'x',
    probability: new Map(probabilities.map((probability, index) => [`c${index + 1}`, probability])),
    truth: `c${truth}`,
    acceptable: acceptable.map((index) => `c${index}`),
  };
}

describe('scores of a ranking', () => {
  // from: calculators sheet 12.2 item 2 (recomputed there).
  const three = [judged([0.7, 0.2, 0.1], 1), judged([0.3, 0.4, 0.3], 1), judged([0.1, 0.1, 0.8], 3)];
  it('give the worked many-class Brier score and log loss', () => {
    expect(three.map((item) => brierScore([item]))).toEqual([
      expect.closeTo(0.14, 6),
      expect.closeTo(0.74, 6),
      expect.closeTo(0.06, 6),
    ]);
    expect(brierScore(three)).toBeCloseTo(0.313333, 6);
    expect(logLoss(three)).toBeCloseTo(0.594597, 6);
  });
  // from: item 3.
  it.each([
    [2, 0.5, Math.LN2],
    [4, 0.75, 1.3863],
    [42, 0.9762, 3.7377],
  ])('of a uniform guess among %i are as published', (count, brier, nats) => {
    const guess = judged(
      Array.from({ length: count }, () => 1 / count),
      1,
    );
    expect(brierScore([guess])).toBeCloseTo(brier, 4);
    expect(logLoss([guess])).toBeCloseTo(nats, 4);
  });
  // from: item 4.
  it('give the worked calibration errors', () => {
    const confidence = [0.95, 0.92, 0.88, 0.85, 0.75, 0.72, 0.65, 0.62, 0.55, 0.52];
    const correct = [1, 1, 1, 0, 1, 1, 0, 1, 1, 0];
    const bins = reliability(
      confidence.map((probability, index) => ({ probability, right: correct[index] === 1 })),
      [0.5, 0.6, 0.7, 0.8, 0.9, 1],
    );
    expect(bins.map((bin) => bin.accuracy)).toEqual([0.5, 0.5, 1, 0.5, 1]);
    expect(bins.map((bin) => bin.confidence)).toEqual(
      [0.535, 0.635, 0.735, 0.865, 0.935].map((value) => expect.closeTo(value, 9)),
    );
    expect(expectedCalibrationError(bins)).toBeCloseTo(0.173, 6);
    expect(maximumCalibrationError(bins)).toBeCloseTo(0.365, 6);
  });
  it('count a truth in the first place, in the first three, and what is acceptable when asked', () => {
    const cases = [
      judged([0.5, 0.3, 0.1, 0.1], 1),
      judged([0.5, 0.3, 0.1, 0.1], 2, [1]),
      judged([0.5, 0.3, 0.15, 0.05], 4),
    ];
    expect(hitRate(cases, 1)).toBeCloseTo(1 / 3, 9);
    expect(hitRate(cases, 3)).toBeCloseTo(2 / 3, 9);
    expect(hitRate(cases, 1, true)).toBeCloseTo(2 / 3, 9);
    expect(firstPlaces(cases).map((item) => item.right)).toEqual([true, false, false]);
  });
  it('clip a cause that was not listed', () => {
    expect(logLoss([judged([1], 2)])).toBeCloseTo(-Math.log(1e-4), 9);
    expect(brierScore([judged([1], 2)])).toBe(2);
  });
  it('set a third aside for validation, the same third always', () => {
    const ids = Array.from({ length: 300 }, (_, index) => `d${index}`);
    const aside = ids.filter(isValidation);
    expect(aside.length).toBeGreaterThan(70);
    expect(aside.length).toBeLessThan(130);
    expect(ids.filter(isValidation)).toEqual(aside);
  });
});
