// What all gases say together, each pattern by an ordinary reading and by the law behind it.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { combustionEfficiency } from '../../src/calculators/combustion-efficiency.ts';
import { correctedCo } from '../../src/calculators/corrected-co.ts';
import { gasDilution } from '../../src/calculators/gas-dilution.ts';
import { gasFromLambda } from '../../src/calculators/gas-from-lambda.ts';
import { gasPattern } from '../../src/calculators/gas-pattern.ts';
import { lambdaFromOxygen } from '../../src/calculators/lambda-from-oxygen.ts';

describe('the pattern of the gases', () => {
  it.each([
    ['clean', { co: 0.05, co2: 15.1, o2: 0.1, hc: 15 }],
    ['rich', { co: 3, co2: 12.6, o2: 0.3, hc: 250 }],
    ['rich-and-misfire', { co: 4, co2: 10.5, o2: 2.2, hc: 1500 }],
    ['misfire', { co: 0.3, co2: 12.5, o2: 3.2, hc: 1200 }],
    ['air-in-exhaust', { co: 0.2, co2: 12, o2: 4.2, hc: 60 }],
    ['lean-or-air', { co: 0.1, co2: 14, o2: 1.9, hc: 60 }],
    ['weak-catalyst', { co: 0.8, co2: 14.3, o2: 0.8, hc: 220 }],
    ['nox-only', { co: 0.1, co2: 14.9, o2: 0.2, hc: 30, nox: 1800 }],
  ] as const)('is %s for an ordinary reading of that kind (common practice)', (pattern, gas) => {
    const result = gasPattern(gas);
    expect(result.valid && result.value).toBe(pattern);
  });

  it('is refused where lambda is', () => {
    expect(gasPattern({ co: 0.1, co2: 3, o2: 16, hc: 20 }).valid).toBe(false);
  });
});

describe('gas made at a lambda', () => {
  it('holds atoms in balance and sums to 100', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.7, max: 1.8, noNaN: true }), (lambda) => {
        const gas = gasFromLambda(lambda);
        if (!gas.valid) return;
        const { co, co2, h2, o2, n2 } = gas.value;
        expect(co + co2 + h2 + o2 + n2).toBeCloseTo(100, 9);
        expect(Math.min(co, co2, h2, o2, n2)).toBeGreaterThanOrEqual(0);
        // Oxygen that came with the nitrogen of the air is all in the products; water carries what the dry gas does not show.
        const water = 0.925 * (co + co2) - h2;
        expect(2 * (n2 / 3.773)).toBeCloseTo(2 * co2 + co + 2 * o2 + water, 9);
      }),
    );
  });

  it('has CO fall and oxygen rise with lambda, and CO2 highest at 1', () => {
    const at = (lambda: number) => {
      const gas = gasFromLambda(lambda);
      if (!gas.valid) throw new Error(gas.because);
      return gas.value;
    };
    for (let lambda = 0.75; lambda < 1.4; lambda += 0.05) {
      expect(at(lambda + 0.05).co).toBeLessThanOrEqual(at(lambda).co);
      expect(at(lambda + 0.05).o2).toBeGreaterThanOrEqual(at(lambda).o2);
      expect(at(1).co2).toBeGreaterThanOrEqual(at(lambda).co2);
    }
  });

  it('is refused for fuel that so little air cannot even gasify', () => {
    expect(gasFromLambda(0.59).valid).toBe(false);
    expect(gasFromLambda(Number.NaN).valid).toBe(false);
  });
});

describe('false air', () => {
  it('leaves corrected CO as it was, however much air is added', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 5, noNaN: true }),
        fc.double({ min: 0, max: 0.5, noNaN: true }),
        (co, share) => {
          const plain = correctedCo(co, 15 - co);
          const thinned = correctedCo(co * (1 - share), (15 - co) * (1 - share));
          expect(plain.valid && thinned.valid && Math.abs(plain.value - thinned.value)).toBeLessThan(1e-9);
        },
      ),
    );
  });

  it('corrects at 14.99 and not at 15 (UN R83)', () => {
    const below = correctedCo(1, 13.99);
    const at = correctedCo(1, 14);
    expect(below.valid && below.corrected).toBe(true);
    expect(at.valid && at.corrected).toBe(false);
  });

  it('is found again when it is taken out', () => {
    const result = gasDilution({ co: 0.2, co2: 12, o2: 4.2, hc: 60 });
    expect(result.valid && result.undiluted.co2).toBeCloseTo(12 / (1 - 4.2 / 20.946), 9);
    expect(result.valid && result.suspect).toBe(true);
  });
});

describe('lambda from oxygen alone', () => {
  it('is 1 without oxygen and rises with it', () => {
    let last = 0;
    for (let o2 = 0; o2 <= 18; o2 += 0.5) {
      const result = lambdaFromOxygen(o2);
      if (!result.valid) throw new Error(result.because);
      expect(result.value).toBeGreaterThan(last);
      last = result.value;
    }
    expect(lambdaFromOxygen(0)).toEqual({ valid: true, value: 1 });
    expect(lambdaFromOxygen(18.1).valid).toBe(false);
  });
});

describe('combustion efficiency', () => {
  it('falls as more CO and HC are left', () => {
    const at = (co: number, hc: number) => {
      const result = combustionEfficiency({ co, co2: 13, o2: 0.5, hc });
      return result.valid ? result.value : Number.NaN;
    };
    expect(at(0, 0)).toBe(100);
    expect(at(1, 0)).toBeLessThan(at(0.5, 0));
    expect(at(1, 500)).toBeLessThan(at(1, 100));
  });
});
