import { describe, expect, it } from 'vitest';
import { gatherReadings } from '../../src/diagnosis/gather-readings.ts';
import type { ReadingFinding } from '../../src/vocabulary/findings.ts';
import { reading } from './said.ts';

function gather(readings: readonly ReadingFinding[], banks = 1) {
  return gatherReadings(readings, banks, 2, () => 1);
}

describe('readings that belong together', () => {
  // from: calculators sheet 7.1, product form of short and long term.
  it.each([
    [8, 12, 20.96],
    [5, 10, 15.5],
    [-10, -15, -23.5],
    [25, 25, 56.25],
  ])('short %f and long %f are one total of %f', (short, long, total) => {
    const [term, ...rest] = gather([
      reading('short-term-trim', short, { when: 'idle', bank: 1 }),
      reading('long-term-trim', long, { when: 'idle', bank: 1 }),
    ]);
    expect(rest).toEqual([]);
    expect(term!.value).toBeCloseTo(total, 9);
    expect(term!.findings).toHaveLength(2);
  });
  it('a total stands for itself, and repeats become one', () => {
    expect(
      gather([reading('total-trim', 18, { when: 'idle' }), reading('total-trim', 20, { when: 'idle' })])[0]!.value,
    ).toBe(19);
  });
  it('figures of one kind far apart are of two banks or conditions that nobody named', () => {
    const terms = gather([reading('long-term-trim', 30), reading('long-term-trim', -30)], 2);
    expect(terms.map((term) => term.value)).toEqual([-30, 30]);
    for (const term of terms)
      expect(new Set(term.alternatives.map((item) => item.observable.bank))).toEqual(new Set([0, 1]));
  });
  it('99 % on a bank that the engine lacks is left out, 97 % is not', () => {
    expect(gather([reading('long-term-trim', 99.2, { bank: 2 })])).toEqual([]);
    expect(gather([reading('long-term-trim', 97)])).toHaveLength(1);
  });
  it('without a condition it is averaged over the points, with weights that sum to 1', () => {
    const [term] = gather([reading('long-term-trim', 12)]);
    expect(term!.alternatives.length).toBe(4);
    expect(term!.alternatives.reduce((sum, item) => sum + item.weight, 0)).toBeCloseTo(1, 12);
  });
  it('a range of volts is the swing of its sensor; a narrow one is a level', () => {
    const wide = gather([reading('sensor-voltage', 0.5, { sensor: 2, range: [0.1, 0.9] })]);
    expect(wide[0]!.alternatives[0]!.observable.name).toBe('rear-swing');
    expect(wide[0]!.value).toBeCloseTo(0.8, 9);
    const narrow = gather([reading('sensor-voltage', 0.65, { sensor: 2, range: [0.6, 0.7] })]);
    expect(narrow[0]!.alternatives[0]!.observable.name).toBe('rear-voltage');
  });
  it.each([
    ['volts beyond any sensor', reading('sensor-voltage', 5.1, { sensor: 1 })],
    ['coolant before the start', reading('coolant-temperature', 12, { when: 'cold' })],
    ['rail pressure of direct injection', reading('fuel-pressure', 12_000, { when: 'idle' })],
    ['speed while driving', reading('engine-speed', 2500, { when: 'cruise' })],
    ['anything on the overrun', reading('sensor-voltage', 0.05, { sensor: 1, when: 'overrun' })],
  ])('%s is not weighed', (_name, finding) => {
    expect(gather([finding])).toEqual([]);
  });
  it('lambda beside gas is the analyser’s', () => {
    const terms = gather([
      reading('gas-co', 1, { when: 'idle' }),
      reading('lambda', 0.97, { when: 'idle', sensor: 1 }),
    ]);
    expect(terms.map((term) => term.alternatives[0]!.observable.name)).toContain('tail-lambda');
  });
});
