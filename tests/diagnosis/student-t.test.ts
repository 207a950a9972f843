import { describe, expect, it } from 'vitest';
import { smoothStep } from '../../src/diagnosis/smooth-step.ts';
import { cumulative, relativeDensity } from '../../src/diagnosis/student-t.ts';

describe("Student's t with three degrees of freedom", () => {
  // from: the printed table of the t distribution, three degrees of freedom.
  it.each([
    [0, 0.5],
    [0.765, 0.75],
    [1.638, 0.9],
    [2.353, 0.95],
    [3.182, 0.975],
    [5.841, 0.995],
  ])('stands at %f for probability %f', (t, probability) => {
    expect(cumulative(t, 0, 1)).toBeCloseTo(probability, 3);
    expect(cumulative(10 - 4 * t, 10, 4)).toBeCloseTo(1 - probability, 3);
  });

  it('has a density that is the slope of its distribution', () => {
    for (const x of [-7, -1.5, 0, 0.3, 2, 11]) {
      const slope = (cumulative(x + 1e-5, 1, 2.5) - cumulative(x - 1e-5, 1, 2.5)) / 2e-5;
      expect((relativeDensity(x, 1, 2.5) * 2) / (Math.PI * Math.sqrt(3))).toBeCloseTo(slope, 7);
    }
  });
});

describe('the smooth step', () => {
  it('is a half at its limit and lies within 0 and 1 everywhere', () => {
    expect(smoothStep(3, 3, 0.1)).toBe(0.5);
    for (const value of [-1e9, -1, 0, 2.9, 3.1, 1e9]) {
      expect(smoothStep(value, 3, 0.1)).toBeGreaterThanOrEqual(0);
      expect(smoothStep(value, 3, 0.1)).toBeLessThanOrEqual(1);
    }
  });
});
