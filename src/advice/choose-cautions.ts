// Chooses what must be said where work or driving can hurt someone: by the post, by the causes that rank first, and by the
// step and the question that the reply is about to show. advise.ts calls it; which two are shown is the reply's choice.
import type { Diagnosis } from '../diagnosis/diagnosis.ts';
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { CautionEntry } from '../knowledge/schema/caution.ts';
import type { Caution, DrivingAdvice } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import { nextStep } from '../vocabulary/next-step.ts';
import type { CaseView } from './case-view.ts';
import { holds } from './situation.ts';

/**
 * All cautions that apply, most dangerous first, `shown` false.
 *
 * @param driving the driving advice; `stop` always brings `do-not-drive`, with the advice's own reason
 */
export function chooseCautions(
  view: CaseView,
  diagnosis: Diagnosis,
  current: Case,
  driving: { readonly advice: DrivingAdvice; readonly because: string },
  knowledge: Knowledge,
): Caution[] {
  const withSteps = cautionsOfSteps(diagnosis, current, view);
  return knowledge.cautions
    .filter((entry) =>
      entry.id === 'do-not-drive'
        ? driving.advice === 'stop'
        : isCalledFor(entry, view) || isBrought(entry, withSteps, view),
    )
    .sort((a, b) => b.danger - a.danger || (a.id < b.id ? -1 : 1))
    .map((entry) => ({
      id: entry.id,
      text: entry.text,
      because: entry.id === 'do-not-drive' ? driving.because : entry.because,
      shown: false,
    }));
}

function isCalledFor(entry: CautionEntry, view: CaseView): boolean {
  return (
    entry.symptoms.some((id) => view.symptoms.has(id)) ||
    entry.requests.some((about) => view.requests.some((request) => request.about === about)) ||
    entry.when.some((situation) => holds(situation, view))
  );
}

function isBrought(entry: CautionEntry, withSteps: ReadonlySet<string>, view: CaseView): boolean {
  if (!withSteps.has(entry.id) || entry.fromSteps === 'never') return false;
  return entry.fromSteps === 'always' || entry.fromSteps.some((situation) => holds(situation, view));
}

/**
 * Cautions of the first question and of the next step not yet put to the owner: what this turn is about to ask for. What a
 * workshop does brings none, unless the post asks how to do it.
 */
function cautionsOfSteps(diagnosis: Diagnosis, current: Case, view: CaseView): ReadonlySet<string> {
  // A complaint of another trade gets neither question nor step.
  const likeliest = diagnosis.causes[0];
  if (likeliest?.fault === 'outside-the-trade' && likeliest.probability >= 0.5) return new Set();
  const step = nextStep(diagnosis.plan, current);
  const wantsToDoIt = view.requests.some((request) => request.about === 'how-to');
  const fromStep = step && (step.who === 'owner' || wantsToDoIt) ? step.caution : [];
  return new Set([...fromStep, ...(diagnosis.questions[0]?.caution ?? [])]);
}
