import { describe, expect, it } from 'vitest';
import { addTailpipeGas, balancedGas, gasOrder } from '../../src/diagnosis/gas.ts';

describe('exhaust gas', () => {
  // from: calculators sheet 3.2, water-gas balance of CH1.85 with K = 3.5, recomputed there independently of this code.
  it.each([
    [0.75, 9.05, 9.63, 4.03, 0],
    [0.8, 10.33, 7.61, 2.88, 0],
    [0.9, 12.88, 3.69, 1.16, 0],
    [0.97, 14.62, 1.08, 0.3, 0],
    [1, 15.34, 0, 0, 0],
    [1.03, 14.86, 0, 0, 0.65],
    [1.1, 13.86, 0, 0, 2.03],
    [1.2, 12.64, 0, 0, 3.7],
  ])('at lambda %f holds the dry percentages of the balance', (lambda, co2, co, h2, o2) => {
    const gas = balancedGas(lambda);
    expect(gas.co2).toBeCloseTo(co2, 1);
    expect(gas.co).toBeCloseTo(co, 1);
    expect(gas.h2).toBeCloseTo(h2, 1);
    expect(gas.o2).toBeCloseTo(o2, 1);
  });

  const tail = (
    more: Partial<{ lambda: number; firing: number; before: number; behind: number; catalyst: number }>,
  ) => {
    const { lambda = 1, firing = 1, before = 0, behind = 0, catalyst = 0.97 } = more;
    const out = new Float64Array(5);
    addTailpipeGas(out, 0, lambda, firing, before, behind, catalyst, 0, 1, 0.1, 1);
    return {
      co: out[gasOrder.co]!,
      co2: out[gasOrder.co2]!,
      o2: out[gasOrder.o2]!,
      hc: out[gasOrder.hc]!,
      nox: out[gasOrder.nox]!,
    };
  };

  it('is clean behind a hot catalyst: CO to 0.1 %, HC to 30 ppm, CO2 14.5 to 15.4 % (common practice)', () => {
    const gas = tail({});
    expect(gas.co).toBeLessThan(0.1);
    expect(gas.hc).toBeLessThan(30);
    expect(gas.co2).toBeGreaterThan(14.5);
    expect(gas.co2).toBeLessThan(15.4);
    expect(gas.o2).toBeLessThan(0.3);
  });

  it('ahead of the catalyst holds 0.4 to 0.8 % CO, 80 to 250 ppm HC, 0.3 to 0.8 % O2 at lambda 1 (common practice)', () => {
    const gas = tail({ catalyst: 0 });
    expect(gas.co).toBeGreaterThan(0.3);
    expect(gas.co).toBeLessThan(0.8);
    expect(gas.hc).toBeGreaterThan(80);
    expect(gas.hc).toBeLessThan(250);
    expect(gas.o2).toBeGreaterThan(0.2);
    expect(gas.o2).toBeLessThan(0.8);
  });

  // from: faults sheet 2.2 (CO behind a perfect hot catalyst at lambda 0.90 and 0.80; lean O2).
  it.each([
    [0.9, 'co', 3.7],
    [0.8, 'co', 7.6],
    [1.1, 'o2', 2.0],
    [1.2, 'o2', 3.7],
  ] as const)('at lambda %d the tailpipe shows %s at %d %%', (lambda, which, value) => {
    expect(tail({ lambda })[which]).toBeCloseTo(value, 0);
  });

  it('shows one dead cylinder of four with about 5,400 ppm HC, 5.4 % O2 and 11 % CO2 (faults sheet 2.2)', () => {
    const gas = tail({ firing: 0.75, catalyst: 0 });
    expect(gas.hc).toBeGreaterThan(4800);
    expect(gas.hc).toBeLessThan(6000);
    expect(gas.o2).toBeCloseTo(5.4, 0);
    expect(gas.co2).toBeCloseTo(11.2, 0);
  });

  // from: calculators sheet 1.5, air added to gas of lambda 1: 10 % gives CO2 13.81 and O2 2.10 (of ideal gas).
  it('is diluted by air behind the catalyst', () => {
    const gas = tail({ behind: 0.1, catalyst: 1 });
    expect(gas.co2).toBeCloseTo(13.8, 0);
    expect(gas.o2).toBeCloseTo(2.1, 0);
  });

  it('never holds less than nothing', () => {
    for (let lambda = 0.5; lambda <= 2; lambda += 0.05) {
      for (const firing of [1, 0.9, 0.5]) {
        for (const value of Object.values(tail({ lambda, firing }))) expect(value).toBeGreaterThanOrEqual(0);
      }
    }
  });
});
