// Work done and answers to questions with a table: evidence that acts on faults directly, one factor a fault.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Part } from '../knowledge/schema/part.ts';
import type { Finding, QuestionAnswerFinding, RequestFinding, WorkDoneFinding } from '../vocabulary/findings.ts';
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
  const work = new Map<string, WorkDoneFinding[]>();
  for (const finding of findings) {
    if (finding.kind !== 'work-done' || finding.stated === 'denied') continue;
    const key = `${finding.part} ${finding.bank}`;
    work.set(key, [...(work.get(key) ?? []), finding]);
  }
  return [
    ...suspectTerms(findings, hypotheses, knowledge),
    ...[...work.values()].flatMap((group) => workTerm(group, hypotheses, knowledge)),
    ...findings.flatMap((finding) =>
      finding.kind === 'question-answer' ? answerTerm(finding, hypotheses, knowledge, symptomTermOf) : [],
    ),
  ];
}

/**
 * Parts that the post names or asks about. Who names an air meter or a thermostat has been told or has seen something, so its
 * faults are likelier; a list of many parts says less of each.
 */
function suspectTerms(findings: readonly Finding[], hypotheses: Hypotheses, knowledge: Knowledge): FactorTerm[] {
  const byPart = new Map<string, RequestFinding[]>();
  for (const finding of findings) {
    if (finding.kind !== 'request' || finding.about !== 'diagnosis' || finding.item === null) continue;
    if ((knowledge.parts.byId.get(finding.item)?.named ?? 1) <= 1) continue;
    byPart.set(finding.item, [...(byPart.get(finding.item) ?? []), finding]);
  }
  return [...byPart].map(([id, group]): FactorTerm => {
    const part = knowledge.parts.byId.get(id)!;
    const cleared = new Set(part.clears.map((item) => item.fault));
    const isDenied = group.every((finding) => finding.stated === 'denied');
    const isDoubted = group.every((finding) => finding.stated !== 'present');
    const factor = isDenied ? part.named ** -deniedShare : part.named;
    return {
      kind: 'factor',
      findings: group.map((finding) => finding.id),
      strength: (isDoubted && !isDenied ? doubtedShare : 1) / Math.sqrt(byPart.size),
      about: { suspect: part.name },
      factor: Float64Array.from(hypotheses.singles, (single) =>
        cleared.has(hypotheses.faults[single.fault]!.id) ? factor : 1,
      ),
    };
  });
}

/** Who says that a part is not to blame is right a little more often than not (judgement). */
const deniedShare = 0.5;
/** "Maybe it is the coil" names it nearly as well (judgement). */
const doubtedShare = 0.8;

/**
 * A replaced or tested part makes its faults less likely; trouble that began with the work points at what it disturbs. All that
 * was done to one part is one term: testing what was replaced clears it no further.
 */
function workTerm(group: readonly WorkDoneFinding[], hypotheses: Hypotheses, knowledge: Knowledge): FactorTerm[] {
  const first = group[0]!;
  const part = knowledge.parts.byId.get(first.part);
  if (!part) return [];
  const byFault = new Map<string, number>();
  for (const finding of group) {
    for (const [fault, factor] of workFactors(finding, part)) {
      const known = byFault.get(fault) ?? 1;
      byFault.set(fault, factor > 1 ? Math.max(known, factor) : Math.min(known, factor));
    }
  }
  if (byFault.size === 0) return [];
  return [
    {
      kind: 'factor',
      findings: group.map((finding) => finding.id),
      strength: workStrength * Math.max(...group.map(strengthOf)),
      about: { work: part.name, action: first.action },
      factor: Float64Array.from(hypotheses.singles, (single) => {
        const factor = byFault.get(hypotheses.faults[single.fault]!.id) ?? 1;
        // Work on one bank leaves the other bank's part as it was.
        const otherBank = first.bank !== null && single.bank !== null && single.bank !== Math.min(2, first.bank) - 1;
        return otherBank && factor < 1 ? 1 : factor;
      }),
    },
  ];
}

/**
 * Damping of what owners say they did: parts are fitted that are bad or wrong, tests are made by eye. Source: questions sheet F
 * (exponent 0.7 for what is looked at, 1 for a figure from a tool).
 */
const workStrength = 0.8;

function workFactors(finding: WorkDoneFinding, part: Part): Map<string, number> {
  const byFault = new Map<string, number>();
  const { action, result } = finding;
  if (result === 'started-trouble') {
    for (const item of part.disturbs) byFault.set(item.fault, item.times);
    return byFault;
  }
  if (result === 'found-bad') {
    // What a new part hardly clears is not that part's fault: a pressure test clears a high pressure, a weak pump is none.
    for (const item of part.clears)
      if (item.replaced < 0.8) byFault.set(item.fault, Math.min(12, Math.max(part.named, 1.5 / item.tested)));
    // A sensor that tests bad may be a good sensor on a bad lead.
    if (/sensor|meter/.test(part.id)) byFault.set('sensor-wiring', badLead);
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
    // A part fitted years ago, or on the engine before, is no longer new.
    const aged = finding.time === 'before' && action === 'replaced' ? full ** agedShare : full;
    // Cleaning clears half as surely as a new part, on the scale of odds.
    byFault.set(item.fault, action === 'cleaned' ? Math.sqrt(aged) : aged);
  }
  // Any work may leave something behind; it counts in part when the writer does not tie the trouble to it.
  if (action === 'replaced' || action === 'repaired' || action === 'swapped') {
    for (const item of part.disturbs) {
      if (!byFault.has(item.fault)) byFault.set(item.fault, item.times ** 0.3);
    }
  }
  // A new sensor that changed nothing points away from the sensor, and first at its lead.
  if (action === 'replaced' && result === 'no-change' && /sensor/.test(part.id))
    byFault.set('sensor-wiring', Math.max(byFault.get('sensor-wiring') ?? 1, badLead));
  return byFault;
}

const helpedFactor = 1.3;

/** Factor on the odds of a wiring fault where its sensor was found bad (judgement). */
const badLead = 2.5;

/** What is left of a new part's clearing after it has served for years (judgement). */
const agedShare = 0.35;

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
