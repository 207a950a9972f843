import { describe, expect, it } from 'vitest';
import {
  type Control,
  correction,
  meteredAir,
  seenBias,
  stoichiometricRatio,
  trueLambda,
  usualControl,
} from '../../src/diagnosis/closed-loop.ts';
import { effectsOf, noEffects } from '../../src/diagnosis/effects.ts';
import { airTaken, cellOf } from '../../src/diagnosis/operating-points.ts';
import { compose, newState, rowsOf, settleCell } from '../../src/diagnosis/state.ts';
import type { FaultEffects } from '../../src/knowledge/schema/fault.ts';

/** Nothing held back by limits or by the rear sensor: the formula alone. */
const open: Control = { ...usualControl, lowest: -0.99, highest: 9, rearAuthority: 0 };

/** Total corrections of all banks at idle, 2500 rpm, cruise and load [%], and true lambda at idle. */
function settled(effects: FaultEffects, banks = 1, shares: readonly [number, number] = [1, 0], control = open) {
  const state = newState(banks, airTaken(2));
  compose(state, rowsOf([effectsOf(effects, banks, shares, 'air-meter'), noEffects()]), 0, 1);
  for (let cell = 0; cell < banks * 4; cell += 1) settleCell(state, cell, control);
  return {
    trim: (bank: number) => [0, 1, 2, 3].map((point) => 100 * state.trim[cellOf(bank, point)]!),
    lambda: state.lambda[0]!,
  };
}

describe('the closed loop', () => {
  // design: AFR 14.7, one bank, 3 / 9 / 15 g/s at idle / 2500 rpm / cruise.
  it.each<[string, FaultEffects, number[], string]>([
    ['a leak of 0.6 g/s', { unmeteredAir: 0.6 }, [25, 7.1, 4.2], 'design'],
    ['an air meter 12 % low', { airMeterError: -0.12 }, [13.6, 13.6, 13.6], 'design'],
    ['a duct leak of 10 %', { ductLeak: 0.1 }, [11.1, 11.1, 11.1], 'design'],
    ['extra fuel of 0.05 g/s', { extraFuel: 0.05 }, [-24.5, -8.2, -4.9], 'design'],
    ['fuel 10 % short', { fuelError: -0.1 }, [11.1, 11.1, 11.1], 'design'],
    ['a sensor 0.08 lambda lean', { sensorBias: 0.08 }, [8, 8, 8], 'design'],
    ['misfire of 8 % of the firings', { misfireShare: 0.08 }, [4.2, 4.2, 4.2], 'design (about +4)'],
    [
      'petrol with 85 % ethanol in a car for E0',
      { fuelError: 1 / 1.416 - 1 },
      [41.6, 41.6, 41.6],
      'calculators sheet 2.2, volume of E85 against E0',
    ],
    [
      'fuel pressure 20 % low',
      { fuelError: Math.sqrt(0.8) - 1 },
      [11.8, 11.8, 11.8],
      'square root of pressure; calculators sheet 7.3',
    ],
    [
      'a round hole of 1 mm',
      { unmeteredAir: 0.149 },
      [5, 1.7, 1],
      'faults sheet 2.4 with the choked-hole flow of calculators sheet 8.2',
    ],
    [
      'a round hole of 2 mm',
      { unmeteredAir: 0.596 },
      [25, 7, 4],
      'faults sheet 2.4 with the choked-hole flow of calculators sheet 8.2',
    ],
  ])('%s gives the correction published', (_name, effects, expected) => {
    const trim = settled(effects).trim(0);
    // A tenth where the tables print a tenth, half a point where they print whole numbers.
    for (const [point, value] of expected.entries())
      expect(trim[point]).toBeCloseTo(value, Number.isInteger(value) ? 0 : 0.5);
  });

  it('splits an uneven leak into +39 and +14 % on two banks (design)', () => {
    const both = settled({ unmeteredAir: 0.6 }, 2, [0.7, 0.3]);
    expect(both.trim(0)[0]).toBeCloseTo(39, 0);
    expect(both.trim(1)[0]).toBeCloseTo(14, 0);
  });

  it('drives the engine to 1 / (1 + bias) within its authority (design: 0.926 and 0.930)', () => {
    expect(settled({ sensorBias: 0.08 }).lambda).toBeCloseTo(0.926, 3);
    const falseAir = settled({ exhaustAirAtSensor: 0.03, exhaustAirLocality: 2.5 });
    expect(falseAir.trim(0)[0]).toBeCloseTo(7.5, 6);
    expect(falseAir.lambda).toBeCloseTo(0.93, 3);
  });

  it.each([
    [0.01, 1, 1, 0.99, 1.0],
    [0.01, 2.5, 2.5, 0.976, 0.985],
    [0.03, 2.5, 7.5, 0.93, 0.958],
    [0.05, 2.5, 12.5, 0.889, 0.933],
    [0.08, 2.5, 20, 0.833, 0.9],
  ])(
    'false air %f seen %f-fold: correction, engine and tailpipe lambda as in faults sheet 2.3',
    (air, locality, trim, engine, tailpipe) => {
      const result = settled({ exhaustAirAtSensor: air, exhaustAirLocality: locality });
      expect(result.trim(0)[0]).toBeCloseTo(trim, 1);
      expect(result.lambda).toBeCloseTo(engine, 2);
      expect(result.lambda * (1 + air)).toBeCloseTo(tailpipe, 2);
    },
  );

  it('stops at its limits and leaves the rest in the engine', () => {
    const inside = settled({ fuelError: 1 / 1.55 - 1 }, 1, [1, 0], usualControl);
    expect(inside.trim(0)[0]).toBeCloseTo(55, 6);
    expect(inside.lambda).toBeCloseTo(1, 6);
    const outside = settled({ fuelError: 1 / 1.6 - 1 }, 1, [1, 0], usualControl);
    expect(outside.trim(0)[0]).toBeCloseTo(56.25, 6);
    expect(outside.lambda).toBeCloseTo(1.6 / 1.5625, 6);
  });

  it('lets the rear sensor hide a small bias and no more than its authority of a large one', () => {
    expect(settled({ sensorBias: 0.008 }, 1, [1, 0], usualControl).trim(0)[0]).toBeCloseTo(0, 6);
    expect(settled({ sensorBias: 0.05 }, 1, [1, 0], usualControl).trim(0)[0]).toBeCloseTo(4, 6);
  });

  it('holds still with a dead sensor and runs at what is left', () => {
    const dead = settled({ sensorDead: 1, fuelError: 0.05 });
    expect(dead.trim(0)).toEqual([0, 0, 0, 0]);
    expect(dead.lambda).toBeCloseTo(1 / 1.05, 6);
  });

  it('drives crossed banks apart to opposite limits', () => {
    const crossed = settled({ sensorsSwapped: 1 }, 2, [0.5, 0.5], usualControl);
    expect(crossed.trim(0)[0]).toBeGreaterThan(15);
    expect(crossed.trim(1)[0]).toBeCloseTo(-crossed.trim(0)[0]!, 6);
    expect(crossed.lambda).toBeLessThan(0.9);
  });

  it('measures a leak on an engine with manifold-pressure metering and takes recirculated gas for air', () => {
    const at = (effects: FaultEffects) => {
      const state = newState(1, airTaken(2));
      compose(state, rowsOf([effectsOf(effects, 1, [1, 0], 'manifold-pressure'), noEffects()]), 0, 1);
      settleCell(state, 0, open);
      return 100 * state.trim[0]!;
    };
    // faults sheet 1.5: within about 5 % for a leak; negative for gas that is not air.
    expect(Math.abs(at({ unmeteredAir: 0.6 }))).toBeLessThan(5);
    expect(at({ exhaustGasRecirculated: 0.2 })).toBeCloseTo(100 * (1 / 1.2 - 1), 6);
    expect(at({ airMeterError: -0.2 })).toBeCloseTo(0, 6);
  });

  it('adds up for two faults at once: a leak and a low meter', () => {
    const state = newState(1, airTaken(2));
    const rows = rowsOf([
      effectsOf({ unmeteredAir: 0.6 }, 1, [1, 0], 'air-meter'),
      effectsOf({ airMeterError: -0.12 }, 1, [1, 0], 'air-meter'),
    ]);
    compose(state, rows, 0, 1);
    settleCell(state, 0, open);
    expect(state.trim[0]).toBeCloseTo(3 / (2.4 * 0.88) - 1, 9);
  });

  it('keeps fuel and air in balance: lambda from the pieces is lambda from the whole', () => {
    const metered = meteredAir(3, 0.95, 0.2, 1.03);
    const bias = seenBias(0.04, 0.97, open);
    const trim = correction(3, bias, metered, 0.93, 0.01, open);
    const fuel = (metered / stoichiometricRatio) * (1 + trim) * 0.93 + 0.01;
    expect(trueLambda(3, metered, trim, 0.93, 0.01)).toBeCloseTo(3 / (stoichiometricRatio * fuel), 12);
    expect(trueLambda(3, metered, trim, 0.93, 0.01) * (1 + bias)).toBeCloseTo(1, 12);
  });
});
