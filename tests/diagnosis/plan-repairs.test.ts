import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/diagnosis/diagnose.ts';
import { expectedCost, orderByProbabilityOverCost } from '../../src/diagnosis/plan-repairs.ts';
import { code, input, knowledge, reading, symptom } from './said.ts';

function permutations<T>(items: readonly T[]): T[][] {
  if (items.length <= 1) return [[...items]];
  return items.flatMap((item, index) =>
    permutations(items.filter((_, other) => other !== index)).map((rest) => [item, ...rest]),
  );
}

describe('the order of steps', () => {
  // from: calculators sheet 12.2 item 8 (Kadane and Simon 1977; Heckerman, Breese and Rommelse 1995).
  const a = { id: 'a', probability: 0.5, cost: 4 };
  const b = { id: 'b', probability: 0.3, cost: 1 };
  const c = { id: 'c', probability: 0.2, cost: 2 };
  it('is b, a, c for the worked example, at expected cost 4.20', () => {
    const order = orderByProbabilityOverCost([a, b, c]);
    expect(order.map((item) => item.id).join('')).toBe('bac');
    expect(expectedCost(order)).toBeCloseTo(4.2, 9);
  });
  it.each([
    ['bca', 4.4],
    ['cba', 4.8],
    ['abc', 4.9],
    ['acb', 5.3],
    ['cab', 5.5],
  ])('%s costs %f as published', (order, cost) => {
    const items = { a, b, c };
    expect(expectedCost([...order].map((id) => items[id as 'a' | 'b' | 'c']))).toBeCloseTo(cost, 9);
  });
  it('is the cheapest of all orders (exhaustive search)', () => {
    const item = fc.record({
      probability: fc.double({ min: 0.01, max: 1, noNaN: true }),
      cost: fc.double({ min: 0.1, max: 9, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.array(item, { minLength: 1, maxLength: 5 }), (raw) => {
        const total = raw.reduce((sum, value) => sum + value.probability, 0);
        const items = raw.map((value) => ({ ...value, probability: value.probability / total }));
        const best = Math.min(...permutations(items).map(expectedCost));
        expect(expectedCost(orderByProbabilityOverCost(items))).toBeCloseTo(best, 9);
      }),
      { numRuns: 60 },
    );
  });
});

describe('the plan', () => {
  const plan = diagnose(
    input([code('P0171'), symptom('rough-idle'), reading('total-trim', 20, { when: 'idle' })]),
    knowledge,
  ).plan;
  it('looks before it replaces, and says who may do each step', () => {
    expect(plan.length).toBeGreaterThan(1);
    expect(plan[0]!.kind).toBe('check');
    for (const step of plan) {
      const fault = knowledge.faults.byId.get(step.fault)!;
      const from = [...fault.checks, fault.repair].find((item) => step.step.startsWith(item.step))!;
      if (step.who === 'owner') expect(knowledge.safety.byId.get(from.safety)!.who).toBe('owner');
      else expect(step.effort).toBe('workshop');
    }
  });
  it('gives an owner the words that the safety table asks for', () => {
    for (const step of plan.filter((item) => item.who === 'owner')) {
      const fault = knowledge.faults.byId.get(step.fault)!;
      const from = [...fault.checks, fault.repair].find((item) => step.step.startsWith(item.step))!;
      expect(step.step.toLowerCase()).toContain(knowledge.safety.byId.get(from.safety)!.mustSay.toLowerCase());
    }
  });
  it('takes work out of an owner’s hands while a stop sign is present', () => {
    const withLeak = diagnose(input([code('P0171'), symptom('rough-idle'), symptom('fuel-leak')]), knowledge).plan;
    for (const step of withLeak) {
      const fault = knowledge.faults.byId.get(step.fault)!;
      const from = [...fault.checks, fault.repair].find((item) => step.step.startsWith(item.step))!;
      if (knowledge.safety.byId.get(from.safety)!.notWith.includes('fuel-leak')) expect(step.who).toBe('workshop');
    }
  });
});
