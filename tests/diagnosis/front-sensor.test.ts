import { describe, expect, it } from 'vitest';
import { modelCase } from '../../src/diagnosis/case-model.ts';
import { frontSensors } from '../../src/diagnosis/front-sensor.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { code, engine, inlineTwoLitre, knowledge, reading } from './said.ts';

function probabilityOf(findings: readonly Finding[], ...faults: string[]): number {
  const model = modelCase(findings, knowledge);
  return model.faults.reduce(
    (sum, fault, index) => sum + (faults.includes(fault.id) ? model.attributed.probability[index]! : 0),
    0,
  );
}
function wideShare(findings: readonly Finding[]): number {
  return modelCase(findings, knowledge).worlds.reduce((sum, world) => sum + (world.wide ? world.weight : 0), 0);
}
const volts = (value: number) => reading('sensor-voltage', value, { sensor: 1, bank: 1, when: '2500rpm' });
const goodTrims = [
  reading('total-trim', 1, { when: 'idle', bank: 1 }),
  reading('total-trim', -1, { when: '2500rpm', bank: 1 }),
];

describe('the kind of front sensor', () => {
  it('is left open only where a figure depends on it', () => {
    expect(frontSensors([code('P0171')], null)).toEqual([{ wide: false, weight: 1 }]);
    expect(frontSensors([volts(0.7)], null)).toHaveLength(2);
    expect(frontSensors([reading('sensor-voltage', 0.7, { sensor: 2 })], null)).toHaveLength(1);
  });

  it('follows from the family and its year, from a pump-cell code, and from volts that only one kind shows', () => {
    const wideOf = (findings: Finding[], family: string | null) =>
      frontSensors(findings, family).find((kind) => kind.wide)?.weight ?? 0;
    expect(wideOf([volts(0.7)], 'narrowband')).toBeLessThan(0.1);
    expect(wideOf([volts(0.7)], 'wideband')).toBeGreaterThan(0.9);
    const changed = 'narrowband to about 2002, wideband after';
    expect(wideOf([volts(0.7), engine({ year: 1998 })], changed)).toBeLessThan(0.1);
    expect(wideOf([volts(0.7), engine({ year: 2009 })], changed)).toBeGreaterThan(0.85);
    expect(wideOf([volts(0.7), code('P2237')], null)).toBeGreaterThan(0.9);
    expect(wideOf([volts(3.3)], null)).toBe(1);
    expect(wideOf([reading('pump-current', 0.02, { sensor: 1 })], null)).toBe(1);
  });

  // from: calculators sheet 5.2: one maker's reader shows 3.3 V divided by five, 0.66 V, at lambda 1.
  it('is told by the figures themselves: 0.66 V beside good corrections is a wide-range sensor, a wide swing is a two-point one', () => {
    expect(wideShare([inlineTwoLitre, ...goodTrims, volts(0.66)])).toBeGreaterThan(0.7);
    const swing = reading('sensor-voltage', 0.45, { sensor: 1, bank: 1, when: '2500rpm', range: [0.1, 0.85] });
    expect(wideShare([inlineTwoLitre, ...goodTrims, swing])).toBeLessThan(0.05);
  });

  it('turns the meaning of a voltage round: above 3.3 V is lean, not rich', () => {
    const lean = [inlineTwoLitre, reading('total-trim', 45, { when: 'load', bank: 1 })];
    const fuel = ['fuel-delivery-weak', 'injector-clogged', 'air-meter-reads-low'];
    const high = { sensor: 1, bank: 1, when: 'load' } as const;
    expect(probabilityOf([...lean, reading('sensor-voltage', 3.9, high)], ...fuel)).toBeGreaterThan(
      probabilityOf([...lean, reading('sensor-voltage', 2.6, high)], ...fuel),
    );
  });

  it('reads the sign of a pump current: negative is rich', () => {
    const base = [inlineTwoLitre, reading('total-trim', -42, { when: 'idle', bank: 1 })];
    const current = (value: number) => reading('pump-current', value, { sensor: 1, bank: 1, when: 'idle' });
    const rich = ['injector-leaking', 'purge-valve-stuck-open', 'fuel-pressure-high'];
    expect(probabilityOf([...base, current(-0.9)], ...rich)).toBeGreaterThan(
      probabilityOf([...base, current(0.7)], ...rich),
    );
  });

  it('leaves the sums over its worlds at 1', () => {
    const { worlds, attributed } = modelCase([volts(0.7), code('P0171')], knowledge);
    expect(worlds.length).toBe(4);
    expect(worlds.reduce((sum, world) => sum + world.weight, 0)).toBeCloseTo(1, 12);
    expect(attributed.probability.reduce((sum, value) => sum + value, 0)).toBeCloseTo(1, 12);
  });
});
