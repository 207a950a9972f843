// The answer document is a contract: this full example must always parse, and what breaks it must not.
import { describe, expect, it } from 'vitest';
import packageFile from '../../package.json' with { type: 'json' };
import { answerDocument } from '../../src/vocabulary/answer-document.ts';
import { quantities } from '../../src/vocabulary/quantities.ts';
import { programVersion } from '../../src/vocabulary/version.ts';
import example from './full-answer.json' with { type: 'json' };

describe('the answer document', () => {
  it('takes the full example, every field of it', () => {
    const parsed = answerDocument.parse(example);
    expect(parsed).toEqual(example);
  });

  it('holds every field that the contract names', () => {
    const fields = [
      'id',
      'findings',
      'conflicts',
      'derived',
      'causes',
      'together',
      'questions',
      'plan',
      'where',
      'fit',
      'explanations',
      'cautions',
      'driving',
      'drivingBecause',
      'reply',
      'model',
    ];
    expect(Object.keys(example)).toEqual(expect.arrayContaining(fields));
  });

  it('has one finding of every kind in the example', () => {
    const kinds = new Set(example.findings.map((finding) => finding.kind));
    expect([...kinds].sort()).toEqual(
      ['code', 'code-list', 'engine', 'question-answer', 'reading', 'request', 'symptom', 'work-done'].sort(),
    );
  });

  it.each([
    ['a reply over 1,800 characters', { reply: { text: 'x'.repeat(1801), markdown: '' } }],
    ['a driving advice of another word', { driving: 'safe' }],
    ['a probability above 1', { causes: [{ ...example.causes[0], probability: 1.01 }] }],
    ['a fault id with capitals', { causes: [{ ...example.causes[0], fault: 'Vacuum-Leak' }] }],
    ['a finding of an unknown kind', { findings: [{ ...example.findings[0], kind: 'rumour' }] }],
    [
      'a quantity outside the vocabulary',
      { findings: [{ ...example.findings[1], kind: 'reading', quantity: 'boost' }] },
    ],
  ])('refuses %s', (_, change) => {
    expect(answerDocument.safeParse({ ...example, ...change }).success).toBe(false);
  });

  it('carries the version of package.json', () => {
    expect(programVersion).toBe(packageFile.version);
  });
});

describe('the quantities', () => {
  it('have the units of the vocabulary', () => {
    // from: the project's vocabulary, "Quantities"
    const units = Object.fromEntries(Object.entries(quantities).map(([id, quantity]) => [id, quantity.unit]));
    expect(units).toMatchObject({
      'short-term-trim': '%',
      'long-term-trim': '%',
      'total-trim': '%',
      'sensor-voltage': 'V',
      'pump-current': 'mA',
      lambda: '1',
      'air-fuel-ratio': 'kg/kg',
      'gas-co': '% vol',
      'gas-co2': '% vol',
      'gas-o2': '% vol',
      'gas-hc': 'ppm vol',
      'gas-nox': 'ppm vol',
      'air-flow': 'g/s',
      'manifold-pressure': 'kPa',
      'engine-speed': '1/min',
      'vehicle-speed': 'km/h',
      'coolant-temperature': 'degC',
      'intake-temperature': 'degC',
      'engine-load': '%',
      'throttle-position': '%',
      'fuel-pressure': 'kPa',
      'heater-resistance': 'ohm',
      'battery-voltage': 'V',
      'fuel-consumption': 'L/100 km',
      distance: 'km',
      'catalyst-temperature': 'degC',
      'ignition-advance': 'deg',
      switches: '1/s',
      'oil-consumption': 'L/1000 km',
      displacement: 'L',
      compression: 'kPa',
      'back-pressure': 'kPa',
      'edge-time': 'ms',
      'misfire-count': '1',
      'gas-mass': 'g/km',
    });
  });

  it('allow a range that is not empty', () => {
    for (const quantity of Object.values(quantities)) expect(quantity.possible[0]).toBeLessThan(quantity.possible[1]);
  });
});
