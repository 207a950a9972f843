import { describe, expect, it } from 'vitest';
import { type ContextCondition, conditionsThatHold, contextConditions } from '../../src/diagnosis/context.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { answer, code, engine, knowledge, reading, symptom, work } from './said.ts';

describe('conditions of a case', () => {
  it.each<[ContextCondition, readonly Finding[], boolean]>([
    ['odometer-over-200000-km', [reading('distance', 200_001)], true],
    ['odometer-over-200000-km', [reading('distance', 200_000)], false],
    ['age-under-5-years', [reading('distance', 59_999)], true],
    ['age-under-5-years', [reading('distance', 60_000)], false],
    ['boosted', [engine({ induction: 'boosted' })], true],
    ['air-meter-metering', [reading('air-flow', 3)], true],
    ['air-meter-metering', [code('P0101')], true],
    ['manifold-pressure-metering', [engine({ airMetering: 'manifold-pressure' })], true],
    ['only-economy-complaint', [symptom('poor-fuel-economy')], true],
    ['only-economy-complaint', [symptom('poor-fuel-economy'), symptom('rough-idle')], false],
    ['only-economy-complaint', [symptom('poor-fuel-economy'), code('P0171')], false],
    ['healthy-readings', [reading('long-term-trim', 6), reading('short-term-trim', -6)], true],
    ['healthy-readings', [reading('long-term-trim', 6.1), reading('short-term-trim', 0)], false],
    ['after-refuelling', [symptom('hard-start', { when: 'after-refuelling' })], true],
    ['exhaust-recently-worked-on', [work('exhaust-pipe', 'replaced')], true],
    ['exhaust-recently-worked-on', [work('exhaust-pipe', 'tested')], false],
    ['uses-oil', [reading('oil-consumption', 0.41)], true],
    ['uses-oil', [reading('oil-consumption', 0.4)], false],
    ['loses-coolant', [symptom('coolant-loss')], true],
    ['loses-coolant', [symptom('coolant-loss', { stated: 'denied' })], false],
    ['loses-coolant', [symptom('coolant-loss', { car: 1 })], false],
    ['short-trips', [answer('trips', 'short')], true],
    ['carburettor', [engine({ year: 1984 })], true],
    ['carburettor', [engine({ year: 1985 })], false],
  ])('%s from %j is as said', (condition, findings, expected) => {
    expect(conditionsThatHold(findings, null).has(condition)).toBe(expected);
  });

  it('are the only ones that fault files name', () => {
    const used = new Set(knowledge.faults.flatMap((fault) => fault.prior.when.map((item) => item.is)));
    for (const condition of used) expect(Object.keys(contextConditions)).toContain(condition);
  });
});
