// Findings of a case -> ranked causes with their evidence, the questions worth asking, a plan, and an honest word on how well it
// all fits. answer.ts calls it once a post. Pure; everything but the order of the work is in the files that it names.
import type { Knowledge } from '../knowledge/knowledge.ts';
import { modelCase } from './case-model.ts';
import { chooseQuestions } from './choose-questions.ts';
import type { Diagnosis, DiagnosisInput } from './diagnosis.ts';
import { judgeFit } from './judge-fit.ts';
import { listCauses, listTogether } from './list-causes.ts';
import { planRepairs } from './plan-repairs.ts';

/**
 * Holds the findings against a physical model of every fault and every pair of faults.
 *
 * @param input findings about several cars and times: only those of the car asked about (0), as it is now, are weighed; work done
 *              counts whenever it was
 * @returns causes that sum to 1 in millionths; the same input and knowledge give the same result to the last digit
 */
export function diagnose(input: DiagnosisInput, knowledge: Knowledge): Diagnosis {
  const model = modelCase(input.findings, knowledge, input.derived, input.mentions);
  return {
    causes: listCauses(model),
    together: listTogether(model),
    questions: chooseQuestions(model, input.asked),
    plan: planRepairs(model),
    fit: judgeFit(model, input.conflicts),
  };
}
