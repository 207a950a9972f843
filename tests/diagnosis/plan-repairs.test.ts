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

describe('a troubleshooting problem of a textbook', () => {
  // from: F. V. Jensen and T. D. Nielsen, Bayesian Networks and Decision Graphs, 2nd ed. 2007, example 9.2: a program, a virus or the
  // hardware (0.8, 0.15, 0.05); restart, clean, reinstall, replace at 1, 2, 25 and 500. What each mends is given by cause.
  const causes = [0.8, 0.15, 0.05];
  const actions = [
    { id: 'restart', cost: 1, mends: [1, 0, 0] },
    { id: 'clean', cost: 2, mends: [0, 0.95, 0] },
    { id: 'reinstall', cost: 25, mends: [0.99, 0.99, 0] },
    { id: 'replace', cost: 500, mends: [1, 1, 1] },
  ];
  /** Expected cost over the joint distribution, cause by cause. */
  const costOf = (order: typeof actions) =>
    causes.reduce((sum, probability, cause) => {
      let left = 1;
      let cost = 0;
      for (const action of order) {
        cost += left * action.cost;
        left *= 1 - action.mends[cause]!;
      }
      return sum + probability * cost;
    }, 0);

  it('is ordered as the exhaustive search over all orders finds best', () => {
    const items = actions.map((action) => ({
      ...action,
      probability: causes.reduce((sum, probability, cause) => sum + probability * action.mends[cause]!, 0),
    }));
    const best = permutations(actions).reduce((a, b) => (costOf(b) < costOf(a) ? b : a));
    const order = orderByProbabilityOverCost(items).map((item) => item.id);
    expect(order).toEqual(best.map((action) => action.id));
    expect(order).toEqual(['restart', 'clean', 'reinstall', 'replace']);
    // By hand: 1 + 0.2 x 2 + 0.0575 x 25 + (0.05 + 0.0075 x 0.01) x 500.
    expect(costOf(best)).toBeCloseTo(27.875, 9);
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
  it('costs no more on the way than any other order of its checks (exhaustive search)', () => {
    for (const findings of [
      [code('P0171')],
      [code('P0172'), symptom('black-smoke')],
      [code('P0420'), symptom('poor-fuel-economy')],
      [symptom('rough-idle'), symptom('stall')],
    ]) {
      const checks = diagnose(input(findings), knowledge)
        .plan.filter((step) => step.kind === 'check')
        .slice(0, 6)
        .map((step) => {
          const fault = knowledge.faults.byId.get(step.fault)!;
          const check = fault.checks.find((item) => step.step.startsWith(item.step))!;
          return {
            probability: step.probability * ((check.guilty ?? 0.5) - (check.innocent ?? 0)),
            cost: Math.max(0.1, check.cost),
          };
        });
      expect(checks.length).toBeGreaterThan(1);
      const best = Math.min(...permutations(checks).map(expectedCost));
      expect(expectedCost(checks)).toBeCloseTo(best, 6);
    }
  });
});
