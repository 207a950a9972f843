// What the case says at this moment, gathered once for all advice: signs that stand now, codes, readings, work, requests.
// advise.ts builds it; situation.ts and the others read it.
import type { Diagnosis } from '../diagnosis/diagnosis.ts';
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Cause, Derived } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import type { CodeFinding, Finding, RequestFinding, WorkDoneFinding } from '../vocabulary/findings.ts';
import { type EngineProfile, knownEngine } from './known-engine.ts';

export interface CaseView {
  /** Symptoms that stand now on the car asked about; doubtful ones count, since a danger missed costs more than one said. */
  readonly symptoms: ReadonlySet<string>;
  readonly codes: readonly CodeFinding[];
  /** Readings, and calculators' results under the calculator's name, in the quantity's own unit. */
  readonly readings: ReadonlyArray<{ readonly quantity: string; readonly value: number }>;
  readonly causes: readonly Cause[];
  /** Requests of the post that is being answered. */
  readonly requests: readonly RequestFinding[];
  /** Requests of earlier posts, latest first. */
  readonly earlierRequests: readonly RequestFinding[];
  readonly work: readonly WorkDoneFinding[];
  /** Latest answer to each question that the bot put. */
  readonly answers: ReadonlyMap<string, string>;
  readonly engine: EngineProfile;
}

/** Gathers what stands now. Findings about other cars, of the past, or denied are left out. */
export function viewCase(
  current: Case,
  diagnosis: Diagnosis,
  derived: readonly Derived[],
  knowledge: Knowledge,
): CaseView {
  const post = current.posts - 1;
  const ours = current.findings.filter((finding) => finding.car === 0);
  const stands = ours.filter((finding) => finding.time === 'now' && finding.stated !== 'denied');
  const requests = ours.filter(
    (finding): finding is RequestFinding => finding.kind === 'request' && finding.stated !== 'denied',
  );
  return {
    symptoms: standingSymptoms(ours, knowledge),
    codes: stands.filter((finding): finding is CodeFinding => finding.kind === 'code'),
    readings: [
      ...stands.flatMap((finding) =>
        finding.kind === 'reading' ? [{ quantity: finding.quantity, value: finding.value }] : [],
      ),
      ...derived.flatMap((result) =>
        result.valid && result.result !== null
          ? [{ quantity: quantityOf(result.calculator), value: result.result }]
          : [],
      ),
    ],
    causes: diagnosis.causes,
    requests: withoutHelp(requests.filter((request) => request.post === post)),
    earlierRequests: requests.filter((request) => request.post < post).reverse(),
    work: ours.filter(
      (finding): finding is WorkDoneFinding => finding.kind === 'work-done' && finding.stated !== 'denied',
    ),
    answers: new Map(
      ours.flatMap((finding) =>
        finding.kind === 'question-answer' ? [[finding.question, finding.answer] as const] : [],
      ),
    ),
    engine: knownEngine(ours),
  };
}

/** A post that wants an emission part fooled gets no help with where the part is or how to reach it. */
function withoutHelp(requests: readonly RequestFinding[]): RequestFinding[] {
  const tampers = requests.some((request) => request.about === 'tampering');
  return requests.filter((request) => !tampers || (request.about !== 'location' && request.about !== 'how-to'));
}

/** Calculators bear the name of the quantity that they work out, but for this one. */
function quantityOf(calculator: string): string {
  return calculator === 'lambda-from-gas' ? 'lambda' : calculator;
}

/**
 * Symptoms that stand, by the latest word on each. A denial lifts a sign only when it comes in a later post and is not about
 * another condition: "no smell on the motorway" does not lift a fuel smell at idle.
 */
function standingSymptoms(findings: readonly Finding[], knowledge: Knowledge): ReadonlySet<string> {
  const standing = new Map<string, { post: number; when: string | null }>();
  for (const finding of [...findings].sort((a, b) => a.post - b.post)) {
    const said = saidSymptom(finding, knowledge);
    if (!said || finding.time !== 'now') continue;
    const before = standing.get(said.symptom);
    if (said.present) {
      standing.set(said.symptom, { post: finding.post, when: said.when });
    } else if (before && finding.post > before.post && (said.when === null || said.when === before.when)) {
      standing.delete(said.symptom);
    }
  }
  return new Set(standing.keys());
}

/** What a finding says of a symptom: said or denied in words, or by the answer to a question about it. */
function saidSymptom(
  finding: Finding,
  knowledge: Knowledge,
): { symptom: string; present: boolean; when: string | null } | null {
  if (finding.kind === 'symptom') {
    return { symptom: finding.symptom, present: finding.stated !== 'denied', when: finding.when };
  }
  if (finding.kind !== 'question-answer') return null;
  const question = knowledge.questions.byId.get(finding.question);
  if (question?.model.by !== 'symptom') return null;
  const place = question.answers.findIndex((answer) => answer.id === finding.answer);
  return place === 0 || place === 1 ? { symptom: question.model.symptom, present: place === 0, when: null } : null;
}
