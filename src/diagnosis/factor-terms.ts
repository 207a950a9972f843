// Work done and answers to questions with a table: evidence that acts on faults directly, one factor a fault.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Part } from '../knowledge/schema/part.ts';
import type { Finding, QuestionAnswerFinding, WorkDoneFinding } from '../vocabulary/findings.ts';
import type { Hypotheses } from './hypotheses.ts';
import { strengthOf } from './strength.ts';
import type { FactorTerm, Term, YesNoTerm } from './terms.ts';

/** Answers that say nothing. */
const noAnswer: ReadonlySet<string> = new Set(['cannot-check', 'do-not-know', 'unsure']);

export function factorTerms(
  findings: readonly Finding[],
  hypotheses: Hypotheses,
  knowledge: Knowledge,
  symptomTermOf: (symptom: string, finding: QuestionAnswerFinding) => YesNoTerm,
): Term[] {
  return findings.flatMap((finding): Term[] => {
    if (finding.kind === 'work-done') return workTerm(finding, hypotheses, knowledge);
    if (finding.kind === 'question-answer') return answerTerm(finding, hypotheses, knowledge, symptomTermOf);
    return [];
  });
}

/** A replaced or tested part makes its faults less likely; trouble that began with the work points at what it disturbs. */
function workTerm(finding: WorkDoneFinding, hypotheses: Hypotheses, knowledge: Knowledge): FactorTerm[] {
  const part = knowledge.parts.byId.get(finding.part);
  if (!part || finding.stated === 'denied') return [];
  const byFault = workFactors(finding, part);
  if (byFault.size === 0) return [];
  return [
    {
      kind: 'factor',
      findings: [finding.id],
      strength: strengthOf(finding),
      about: { work: part.name, action: finding.action },
      factor: Float64Array.from(hypotheses.singles, (single) => {
        const factor = byFault.get(hypotheses.faults[single.fault]!.id) ?? 1;
        // Work on one bank leaves the other bank's part as it was.
        const otherBank =
          finding.bank !== null && single.bank !== null && single.bank !== Math.min(2, finding.bank) - 1;
        return otherBank && factor < 1 ? 1 : factor;
      }),
    },
  ];
}

function workFactors(finding: WorkDoneFinding, part: Part): Map<string, number> {
  const byFault = new Map<string, number>();
  const { action, result } = finding;
  if (result === 'started-trouble') {
    for (const item of part.disturbs) byFault.set(item.fault, item.times);
    return byFault;
  }
  if (result === 'found-bad') {
    for (const item of part.clears) byFault.set(item.fault, Math.min(12, 1.5 / item.tested));
    return byFault;
  }
  if (action === 'disconnected' || action === 'reset') return byFault;
  if (result === 'helped') {
    // It got better for a time: the part was near the trouble, though the trouble is back.
    for (const item of part.clears) byFault.set(item.fault, helpedFactor);
    return byFault;
  }
  for (const item of part.clears) {
    const tested = action === 'tested' || action === 'swapped' || result === 'found-good';
    const full = tested ? item.tested : item.replaced;
    // Cleaning clears half as surely as a new part, on the scale of odds.
    byFault.set(item.fault, action === 'cleaned' ? Math.sqrt(full) : full);
  }
  // Any work may leave something behind; it counts in part when the writer does not tie the trouble to it.
  if (action === 'replaced' || action === 'repaired' || action === 'swapped') {
    for (const item of part.disturbs) {
      if (!byFault.has(item.fault)) byFault.set(item.fault, item.times ** 0.3);
    }
  }
  return byFault;
}

const helpedFactor = 1.3;

function answerTerm(
  finding: QuestionAnswerFinding,
  hypotheses: Hypotheses,
  knowledge: Knowledge,
  symptomTermOf: (symptom: string, finding: QuestionAnswerFinding) => YesNoTerm,
): Term[] {
  const question = knowledge.questions.byId.get(finding.question);
  if (!question || noAnswer.has(finding.answer)) return [];
  const { model } = question;
  const place = question.answers.findIndex((answer) => answer.id === finding.answer);
  if (place < 0 || model.by === 'readings') return [];
  if (model.by === 'symptom') {
    if (place > 1) return [];
    return [{ ...symptomTermOf(model.symptom, finding), present: place === 0 }];
  }
  const otherwise = Math.max(tableFloor, model.otherwise[finding.answer] ?? 0);
  return [
    {
      kind: 'factor',
      findings: [finding.id],
      strength: strengthOf(finding),
      about: { question: question.text, answer: question.answers[place]!.text },
      factor: Float64Array.from(hypotheses.singles, (single) => {
        const row = model.faults[hypotheses.faults[single.fault]!.id];
        return row ? Math.max(tableFloor, row[finding.answer] ?? 0) / otherwise : 1;
      }),
    },
  ];
}

/** No answer is impossible: people misread questions (judgement). */
export const tableFloor = 0.01;
