import { describe, expect, it } from 'vitest';
import type { PlanStep } from '../../src/vocabulary/answer-document.ts';
import { nextStep } from '../../src/vocabulary/next-step.ts';

const step = (name: string, kind: PlanStep['kind']): PlanStep => ({
  step: name,
  fault: 'vacuum-leak',
  effort: 'minutes',
  who: 'owner',
  expect: 'x',
  caution: [],
  kind,
  probability: 0.5,
  cost: 1,
});
const look = step('look', 'check');
const replace = step('replace', 'repair');
const smoke = step('smoke', 'check');

describe('the next step', () => {
  it.each([
    ['is the first of the plan', [look, replace, smoke], [], 'look'],
    ['is a check not yet put, not the repair behind the first', [look, replace, smoke], ['look'], 'smoke'],
    ['is the first again when every check was put', [look, replace, smoke], ['look', 'smoke'], 'look'],
    ['is a repair when the plan puts it first', [replace, look], [], 'replace'],
    ['is nothing without a plan', [], ['look'], undefined],
  ])('%s', (_, plan, stepsShown, wanted) => {
    expect(nextStep(plan, { stepsShown })?.step).toBe(wanted);
  });
});
