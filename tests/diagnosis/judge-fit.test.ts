import { describe, expect, it } from 'vitest';
import { modelCase } from '../../src/diagnosis/case-model.ts';
import { gammaTail, judgeFit, surpriseOf } from '../../src/diagnosis/judge-fit.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { code, inlineTwoLitre, knowledge, reading } from './said.ts';

const fitOf = (findings: readonly Finding[]) => judgeFit(modelCase(findings, knowledge), []);

describe('the tail of a gamma distribution', () => {
  // from: the printed table of chi-squared at 5 and 1 %, a gamma distribution of mean k and variance 2 k.
  it.each([
    [2, 5.991, 0.05],
    [4, 9.488, 0.05],
    [10, 18.307, 0.05],
    [30, 43.773, 0.05],
    [4, 13.277, 0.01],
    [10, 23.209, 0.01],
  ])('with %i degrees of freedom lies beyond %f with probability %f', (degrees, value, tail) => {
    expect(gammaTail(value, degrees, 2 * degrees)).toBeCloseTo(tail, 2);
  });
});

describe('surprise', () => {
  it('is 0 where a case falls short no more than usual and rises with every nat', () => {
    expect(surpriseOf(0, 4, 2)).toBe(0);
    let before = 0;
    for (let loss = 0; loss < 40; loss += 0.5) {
      const now = surpriseOf(loss, 4, 2);
      expect(now).toBeGreaterThanOrEqual(before);
      before = now;
    }
    expect(before).toBeGreaterThan(0.99);
    expect(surpriseOf(9, 10, 4)).toBeLessThan(surpriseOf(9, 2, 1));
  });

  it('names the pair that clashes, not the figures beside it', () => {
    const lean = reading('total-trim', 30, { when: 'idle' });
    const rich = reading('total-trim', -28, { when: '2500rpm' });
    const beside = [
      reading('coolant-temperature', 90, { when: 'idle' }),
      reading('engine-speed', 760, { when: 'idle' }),
    ];
    const fit = fitOf([inlineTwoLitre, lean, rich, ...beside, reading('total-trim', -27, { when: 'cruise' })]);
    expect(fit.clash).toContain(lean.id);
    expect(fit.clash.slice(0, 3)).toContain(rich.id);
    for (const { id } of beside) expect(fit.clash).not.toContain(id);
  });
});

describe('a third fault', () => {
  const leak = [reading('total-trim', 26, { when: 'idle' }), reading('total-trim', 7, { when: '2500rpm' })];
  const cold = [code('P0128'), reading('coolant-temperature', 58, { when: 'cruise' })];
  const heater = [code('P0135'), reading('heater-resistance', 90_000, { sensor: 1 })];
  const worn = [reading('compression', 500), code('P0507')];

  it('is named where two leave much over and three do not, and the case goes to a helper', () => {
    const { handOver } = fitOf([inlineTwoLitre, ...leak, ...cold, ...heater, ...worn]);
    expect(handOver.wanted).toBe(true);
    expect(handOver.because).toMatch(/three at once would/);
    for (const name of ['a vacuum leak', 'thermostat', 'heater']) expect(handOver.because).toContain(name);
  });

  it('is not brought up where one or two explain everything', () => {
    expect(fitOf([inlineTwoLitre, ...leak]).handOver.wanted).toBe(false);
    expect(fitOf([inlineTwoLitre, ...leak, ...cold]).handOver.because ?? '').not.toMatch(/three at once/);
  });
});
