// Everything that is said around the ranking, in the order of the answer: where parts are, what was asked about, whether to
// drive and what to take care of. answer.ts calls it after the diagnosis.
import type { Diagnosis } from '../diagnosis/diagnosis.ts';
import type { PostReading } from '../intake/reading.ts';
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import type { Advice } from './advice.ts';
import { adviseDriving } from './advise-driving.ts';
import { viewCase } from './case-view.ts';
import { chooseCautions } from './choose-cautions.ts';
import { choosePictures } from './choose-pictures.ts';
import { explain } from './explain.ts';
import { locate } from './locate.ts';

/**
 * @param input.current   the case with this post's findings
 * @param input.reading   what this post alone said
 * @param input.diagnosis the ranking, questions and plan
 * @param input.derived   the calculators' results
 * @returns locations, explanations, cautions (most dangerous first, none shown yet) and driving advice
 */
export function advise(
  input: {
    readonly current: Case;
    readonly reading: PostReading;
    readonly diagnosis: Diagnosis;
    readonly derived: readonly Derived[];
  },
  knowledge: Knowledge,
): Advice {
  const view = viewCase(input.current, input.diagnosis, input.derived, knowledge);
  const driving = adviseDriving(view, knowledge);
  if (input.reading.offTopic && input.current.findings.length === 0) {
    return {
      where: [],
      explanations: [],
      pictures: [],
      cautions: [],
      driving: driving.advice,
      drivingBecause: driving.because,
    };
  }
  const where = locate(view, knowledge);
  return {
    where,
    pictures: choosePictures(
      {
        where,
        derived: input.derived,
        causes: input.diagnosis.causes,
        findings: input.current.findings,
        post: input.current.posts - 1,
      },
      knowledge,
    ),
    explanations: explain(view, knowledge),
    cautions: chooseCautions(view, input.diagnosis, input.current, driving, knowledge),
    driving: driving.advice,
    drivingBecause: driving.because,
  };
}
