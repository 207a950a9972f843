// What a finding is said to be: every kind, every particular, and all findings of the example document.
import { describe, expect, it } from 'vitest';
import { describeFinding } from '../../src/review/describe-finding.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { exampleDocument, smallKnowledge } from '../an-answer.ts';

const shared = {
  id: 'f',
  source: 'owner',
  time: 'now',
  car: 0,
  span: null,
  quote: '',
  stated: 'present',
  post: 0,
} as const;
const reading = {
  ...shared,
  kind: 'reading',
  quantity: 'gas-co',
  value: 2.054,
  bank: null,
  sensor: null,
  when: null,
  range: null,
  limit: null,
  unitAssumed: false,
  original: { value: '', unit: '' },
} as const;

describe('a finding in words', () => {
  it.each<[string, Finding]>([
    ['CO 2.05 % vol', reading],
    ['lambda 0.975, idle', { ...reading, quantity: 'lambda', value: 0.975, when: 'idle' }],
    [
      'sensor voltage 0.1 to 0.85 V, bank 1 sensor 2',
      { ...reading, quantity: 'sensor-voltage', value: 0.475, range: [0.1, 0.85], bank: 1, sensor: 2 },
    ],
    [
      'long-term fuel trim at least 25 %, unit assumed',
      { ...reading, quantity: 'long-term-trim', value: 25, limit: 'at-least', unitAssumed: true },
    ],
    [
      'P0171, bank 1, stored',
      { ...shared, kind: 'code', code: 'P0171', bank: 1, sensor: null, standard: true, status: 'stored' },
    ],
    [
      'X99, not a code of the standard',
      { ...shared, kind: 'code', code: 'X99', bank: null, sensor: null, standard: false, status: null },
    ],
    ['all codes given, no others', { ...shared, kind: 'code-list', complete: true }],
    ['some codes, perhaps more', { ...shared, kind: 'code-list', complete: false }],
    ['rough idle, cold, denied', { ...shared, kind: 'symptom', symptom: 'rough-idle', when: 'cold', stated: 'denied' }],
    [
      'rough idle, another car (1), earlier, heard from others',
      { ...shared, kind: 'symptom', symptom: 'rough-idle', when: null, car: 1, time: 'before', source: 'hearsay' },
    ],
    ['asks: code meaning (P0420)', { ...shared, kind: 'request', about: 'code-meaning', item: 'P0420' }],
    [
      'replaced: a thing of theirs, bank 2 sensor 1, no change',
      {
        ...shared,
        kind: 'work-done',
        action: 'replaced',
        part: 'a thing of theirs',
        bank: 2,
        sensor: 1,
        result: 'no-change',
      },
    ],
  ])('reads %s', (words, finding) => {
    expect(describeFinding(finding, smallKnowledge)).toBe(words);
  });

  it('is never empty', () => {
    for (const finding of exampleDocument.findings)
      expect(describeFinding(finding, smallKnowledge).length).toBeGreaterThan(3);
  });
});
