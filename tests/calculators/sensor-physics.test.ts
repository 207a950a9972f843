// Laws that the sensor, heater, air and consumption calculators must keep, and figures that they must refuse.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { airMeterVerdict } from '../../src/calculators/air-meter-verdict.ts';
import { blendFuel } from '../../src/calculators/blend-fuel.ts';
import { catalystEfficiency } from '../../src/calculators/catalyst-efficiency.ts';
import { consumptionLoss } from '../../src/calculators/consumption-loss.ts';
import { convertUnit, unitIds } from '../../src/calculators/convert-unit.ts';
import { expectedAirFlow } from '../../src/calculators/expected-air-flow.ts';
import { heaterPower, heaterResistance } from '../../src/calculators/heater.ts';
import { leakFlow, leakHole } from '../../src/calculators/leak-hole.ts';
import { manifoldPressure } from '../../src/calculators/manifold-pressure.ts';
import { lambdaThatExplains, mixturePenalty } from '../../src/calculators/mixture-penalty.ts';
import { lambdaFromEquivalence, lambdaFromRatio, mixtureFromLambda } from '../../src/calculators/mixture-ratio.ts';
import { nernstVoltage, voltageFromLambda } from '../../src/calculators/nernst-voltage.ts';
import type { Result } from '../../src/calculators/result.ts';
import { speedDensityFlow, volumetricEfficiency } from '../../src/calculators/speed-density-flow.ts';
import { lambdaFromPumpCurrent, pumpCurrentFromLambda } from '../../src/calculators/wide-range-lambda.ts';

function take<Value>(result: Result<Value, unknown>): Value {
  if (!result.valid) throw new Error(result.because);
  return result.value;
}
const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe('zirconia voltage', () => {
  it('falls as lambda rises, and steps over 0.45 V within 0.002 of 1', () => {
    for (const temperature of [350, 500, 700, 900]) {
      let last = Number.POSITIVE_INFINITY;
      for (let lambda = 0.8; lambda < 1.3; lambda += 0.0071) {
        const voltage = voltageFromLambda(lambda, temperature);
        if (!voltage.valid) continue;
        expect(voltage.value).toBeLessThan(last);
        last = voltage.value;
      }
      expect(take(voltageFromLambda(0.999, temperature))).toBeGreaterThan(0.45);
      expect(take(voltageFromLambda(1.001, temperature))).toBeLessThan(0.45);
    }
  });

  it('falls on the rich side and rises on the lean side as the element gets hotter', () => {
    for (let temperature = 400; temperature < 900; temperature += 50) {
      expect(take(voltageFromLambda(0.95, temperature + 50))).toBeLessThan(take(voltageFromLambda(0.95, temperature)));
      expect(take(voltageFromLambda(1.05, temperature + 50))).toBeGreaterThan(
        take(voltageFromLambda(1.05, temperature)),
      );
    }
  });

  it('is zero with air on both sides', () => {
    expect(take(nernstVoltage(0.209, 600))).toBe(0);
  });

  it.each([
    [0.97, 250],
    [1, 700],
    [0.5, 700],
    [Number.NaN, 700],
  ])('is refused for lambda %d at %d degC', (lambda, temperature) => {
    expect(voltageFromLambda(lambda, temperature).valid).toBe(false);
  });
});

describe('pump current', () => {
  it('goes to lambda and back', () => {
    fc.assert(
      fc.property(real(-2, 2.25), (current) => {
        const lambda = take(lambdaFromPumpCurrent(current, 'lsu-4.9'));
        expect(take(pumpCurrentFromLambda(lambda))).toBeCloseTo(current, 9);
      }),
    );
  });

  it.each([
    [-2, true],
    [-2.001, false],
    [2.25, true],
    [2.251, false],
    [Number.NaN, false],
  ])('of %d mA is on the sheet: %s', (current, isThere) => {
    expect(lambdaFromPumpCurrent(current, 'lsu-4.9').valid).toBe(isThere);
  });

  it('means nothing without the kind of sensor', () => {
    const result = lambdaFromPumpCurrent(0.3, 'unknown');
    expect(!result.valid && result.because).toContain('kind of sensor');
  });
});

describe('a heater', () => {
  it.each([
    [0.99, 'short'],
    [1, 'low'],
    [1.99, 'low'],
    [2, 'plausible'],
    [20, 'plausible'],
    [20.1, 'high'],
    [100, 'high'],
    [100.1, 'open'],
    [10_000_000, 'open'],
  ] as const)('of %d ohm, kind unknown, cold, is %s', (resistance, verdict) => {
    const result = heaterResistance(resistance);
    expect(result.valid && result.verdict).toBe(verdict);
  });

  it('reads more when it is hot', () => {
    expect(take(heaterResistance(20, 'any', 600))).toBeLessThan(take(heaterResistance(20, 'any', 20)));
  });

  it('draws nothing without voltage, and is refused where it would be a short', () => {
    expect(take(heaterPower(0, 9))).toBe(0);
    expect(heaterPower(13.5, 0.1).valid).toBe(false);
    expect(heaterPower(13.5, 9, 30).valid).toBe(false);
  });
});

describe('air', () => {
  it('flow and filling are each other’s inverse', () => {
    fc.assert(
      fc.property(
        real(0.6, 5),
        real(500, 7000),
        real(20, 110),
        real(-20, 80),
        real(0.2, 1.3),
        (displacement, speed, pressure, temperature, filling) => {
          const intake = { displacement, speed, pressure, temperature };
          expect(take(volumetricEfficiency(take(speedDensityFlow(intake, filling)), intake))).toBeCloseTo(
            100 * filling,
            6,
          );
        },
      ),
    );
  });

  it('through a hole leads back to the hole', () => {
    fc.assert(
      fc.property(real(0.5, 20), real(15, 95), (diameter, manifold) => {
        expect(take(leakHole(take(leakFlow(diameter, manifold)), manifold))).toBeCloseTo(diameter, 9);
      }),
    );
    expect(leakHole(0.5, 101.325).valid).toBe(false);
  });

  it('through a hole grows with the pressure difference until it chokes', () => {
    let last = Number.POSITIVE_INFINITY;
    for (let manifold = 10; manifold <= 100; manifold += 5) {
      const flow = take(leakFlow(2, manifold));
      expect(flow).toBeLessThanOrEqual(last + 1e-12);
      last = flow;
    }
    expect(take(leakFlow(2, 101.325))).toBe(0);
    expect(leakFlow(2, 120).valid).toBe(false);
  });

  it.each([
    ['displacement in cm3', expectedAirFlow(1998, 'idle')],
    ['no displacement', expectedAirFlow(0, 'idle')],
    [
      'flow of a hundred times the engine',
      volumetricEfficiency(400, { displacement: 1, speed: 800, pressure: 100, temperature: 20 }),
    ],
    ['more vacuum than there is air', manifoldPressure(-104)],
    ['NaN', airMeterVerdict(Number.NaN, 2, 'idle')],
  ])('is refused for %s', (_name, result) => {
    expect(result.valid).toBe(false);
  });
});

describe('mixture and consumption', () => {
  it('turn lambda into a ratio and an equivalence ratio and back', () => {
    fc.assert(
      fc.property(real(0.4, 5), real(6, 34), (lambda, stoichiometric) => {
        const mixture = mixtureFromLambda(lambda, stoichiometric);
        if (!mixture.valid) throw new Error(mixture.because);
        expect(take(lambdaFromEquivalence(mixture.equivalence))).toBeCloseTo(lambda, 9);
        if (mixture.ratio >= 3) expect(take(lambdaFromRatio(mixture.ratio, stoichiometric))).toBeCloseTo(lambda, 9);
      }),
    );
  });

  it('find the lambda that a loss would need, and the loss again', () => {
    fc.assert(
      fc.property(real(0, 100), (loss) => {
        expect(take(mixturePenalty(take(lambdaThatExplains(loss))))).toBeCloseTo(loss, 6);
      }),
    );
  });

  it('never blame 40 % on lambda 0.97', () => {
    expect(take(mixturePenalty(0.97))).toBeLessThan(4);
    const needed = lambdaThatExplains(40);
    expect(needed.valid && needed.plausible).toBe(false);
  });

  it('are lean free of charge', () => {
    expect(take(mixturePenalty(1.2))).toBe(0);
  });

  it('ask more fuel with more ethanol', () => {
    let last = -1;
    for (let share = 0; share <= 100; share += 5) {
      const blend = blendFuel(share);
      if (!blend.valid) throw new Error(blend.because);
      expect(blend.extraVolume).toBeGreaterThan(last);
      last = blend.extraVolume;
    }
    expect(blendFuel(101).valid).toBe(false);
  });

  it.each([
    ['miles a gallon of 0', convertUnit(0, 'mpg US', 'L/100 km')],
    ['litres turned into kilometres', convertUnit(3, 'L', 'km')],
    ['no number', convertUnit(Number.NaN, 'psi', 'kPa')],
    ['a consumption of 500', consumptionLoss(8, 500)],
    [
      'a catalyst that makes CO',
      catalystEfficiency({ co: 0.5, co2: 14.5, o2: 0.5, hc: 100 }, { co: 2, co2: 13, o2: 0.2, hc: 100 }),
    ],
    [
      'a catalyst with nothing to do',
      catalystEfficiency({ co: 0.1, co2: 14.9, o2: 0.2, hc: 10 }, { co: 0, co2: 15, o2: 0.1, hc: 0 }),
    ],
  ])('are refused for %s', (_name, result) => {
    expect(result.valid).toBe(false);
    expect(!result.valid && result.because).toMatch(/^[A-Z].*\.$/);
  });
});

describe('units', () => {
  it('go there and back, each to each of its kind', () => {
    for (const from of unitIds) {
      for (const to of unitIds) {
        const there = convertUnit(7.25, from, to);
        if (!there.valid) continue;
        expect(take(convertUnit(there.value, to, from))).toBeCloseTo(7.25, 9);
      }
    }
  });
});
