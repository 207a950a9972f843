// Findings for the tests of this folder, as intake would give them.
import type { EngineFinding, ReadingFinding, RequestFinding } from '../../src/vocabulary/findings.ts';
import type { Quantity } from '../../src/vocabulary/quantities.ts';

let count = 0;

function nextId(): string {
  count += 1;
  return `f${count}`;
}

const shared = () => ({
  id: nextId(),
  source: 'owner' as const,
  time: 'now' as const,
  car: 0,
  span: null,
  quote: 'as typed',
  stated: 'present' as const,
  post: 0,
});

export function aReading(quantity: Quantity, value: number, rest: Partial<ReadingFinding> = {}): ReadingFinding {
  return {
    ...shared(),
    kind: 'reading',
    quantity,
    value,
    bank: null,
    sensor: null,
    when: null,
    range: null,
    limit: null,
    unitAssumed: false,
    original: { value: String(value), unit: '' },
    ...rest,
  };
}

export function anEngine(rest: Partial<EngineFinding> = {}): EngineFinding {
  return {
    ...shared(),
    kind: 'engine',
    layout: null,
    cylinders: null,
    displacement: null,
    mounting: null,
    fuel: null,
    vehicle: null,
    year: null,
    airMetering: null,
    induction: null,
    ...rest,
  };
}

export function aRequest(quote: string): RequestFinding {
  return { ...shared(), kind: 'request', about: 'limits', item: null, quote };
}
