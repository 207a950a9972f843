// Which step of the plan this turn puts to the owner. The reply shows it and the cautions follow it, so both ask here.
import type { PlanStep } from './answer-document.ts';
import type { Case } from './case.ts';

/** Steps are remembered by their first words [UTF-16 units]. */
export const rememberedStepLength = 400;

/**
 * The first step of the plan; when the owner has had it before, the first check not yet put to them. A repair never moves up
 * only because the check before it was mentioned once.
 */
export function nextStep(plan: readonly PlanStep[], current: Pick<Case, 'stepsShown'>): PlanStep | null {
  const isNew = (step: PlanStep) => !current.stepsShown.includes(step.step.slice(0, rememberedStepLength));
  const first = plan[0];
  if (!first || isNew(first)) return first ?? null;
  return plan.find((step) => step.kind === 'check' && isNew(step)) ?? first;
}
