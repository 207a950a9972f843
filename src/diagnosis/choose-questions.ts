// The next question: expected gain over effort, among what an owner may safely do, has not answered and was not asked, and as
// long as an answer can still change what is done next.
import type { QuestionEntry } from '../knowledge/schema/question.ts';
import type { Effort, Question } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import type { Finding } from '../vocabulary/findings.ts';
import { answersByFault, hypothesisWeights, posteriorsAfterFigures } from './answer-prediction.ts';
import type { CaseModel } from './case-model.ts';
import { entropy, informationGain } from './information-gain.ts';
import { nextFault } from './plan-repairs.ts';

/** What an answer costs the owner, relative to something remembered. Source: questions sheet (judgement). */
const effortDivisor: Readonly<Record<Effort, number>> = { none: 1, minutes: 2, tools: 5, workshop: 15 };

/** Least gain worth asking for [bits]. */
const leastGain = 0.03;

/** Least probability of an answer for which a change of plan counts. */
const leastAnswer = 0.03;

/** Most questions listed. */
const most = 8;

export function chooseQuestions(model: CaseModel, asked: Case['asked']): Question[] {
  const world = model.worlds[0]!;
  const weights = hypothesisWeights(model, world);
  const probability = model.attributed.probability;
  const before = entropy(probability);
  const planned = nextFault(model.faults, probability);
  const candidates = model.knowledge.questions.filter((question) => mayAsk(question, model, asked));
  return candidates
    .flatMap((question) => {
      const rows = answersByFault(model, world, weights, question, model.knowledge);
      let gain: number;
      let outcomes: Array<{ probability: number; faults: Float64Array }>;
      if (rows) {
        gain = informationGain(probability, rows);
        outcomes = rows.map((row) => after(probability, row));
      } else {
        outcomes = posteriorsAfterFigures(model, world, weights, question);
        gain = Math.max(0, before - outcomes.reduce((sum, item) => sum + item.probability * entropy(item.faults), 0));
        if (outcomes.length === 0) gain = 0;
      }
      if (gain < leastGain) return [];
      const changes = outcomes.some(
        (item) => item.probability >= leastAnswer && nextFault(model.faults, item.faults) !== planned,
      );
      return changes || probability.every((value) => value < settledProbability) ? [{ question, gain }] : [];
    })
    .sort((a, b) => worth(b) - worth(a) || (a.question.id < b.question.id ? -1 : 1))
    .slice(0, most)
    .map(({ question, gain }) => ({
      id: question.id,
      text: question.text,
      answers: question.answers.map(({ id, text }) => ({ id, text })),
      gain: Math.round(gain * 1000) / 1000,
      effort: question.effort,
      caution: [...(model.knowledge.safety.byId.get(question.safety)?.cautions ?? [])],
      decides: question.decides,
    }));
}

/** Above this a cause is settled: a question must be able to change the plan to be asked. */
const settledProbability = 0.5;

function worth({ question, gain }: { question: QuestionEntry; gain: number }): number {
  return gain / effortDivisor[question.effort];
}

function after(prior: Float64Array, row: Float64Array): { probability: number; faults: Float64Array } {
  const faults = prior.map((value, fault) => value * row[fault]!);
  const probability = faults.reduce((sum, value) => sum + value, 0);
  return { probability, faults: probability > 0 ? faults.map((value) => value / probability) : faults };
}

/** Safe for an owner, not yet answered, not yet asked, and about an engine of this kind. */
function mayAsk(question: QuestionEntry, model: CaseModel, asked: Case['asked']): boolean {
  const rule = model.knowledge.safety.byId.get(question.safety);
  if (rule?.who !== 'owner') return false;
  if (rule.notWith.some((sign) => hasSymptom(model.findings, sign))) return false;
  if (asked.some((item) => item.question === question.id)) return false;
  const { onlyFor } = question;
  if (onlyFor?.banks !== undefined && model.engine.banksKnown && model.engine.banks !== Math.min(2, onlyFor.banks))
    return false;
  if (onlyFor?.airMetering && !model.engine.metering.some((item) => item.metering === onlyFor.airMetering))
    return false;
  return !model.findings.some((finding) => finding.car === 0 && answers(finding, question));
}

function hasSymptom(findings: readonly Finding[], symptom: string): boolean {
  return findings.some(
    (finding) =>
      finding.kind === 'symptom' &&
      finding.symptom === symptom &&
      finding.car === 0 &&
      finding.time === 'now' &&
      finding.stated !== 'denied',
  );
}

/** True when a finding already says what the question would. */
function answers(finding: Finding, question: QuestionEntry): boolean {
  if (finding.kind === 'question-answer' && finding.question === question.id) return true;
  if (
    question.model.by === 'symptom' &&
    finding.kind === 'symptom' &&
    finding.symptom === question.model.symptom &&
    finding.time === 'now'
  ) {
    return true;
  }
  return question.answeredBy.some((by) => {
    if ('quantity' in by) {
      return (
        finding.kind === 'reading' &&
        finding.quantity === by.quantity &&
        finding.time === 'now' &&
        (by.when === undefined || finding.when === by.when) &&
        (by.sensor === undefined || finding.sensor === by.sensor)
      );
    }
    if ('symptom' in by) return finding.kind === 'symptom' && finding.symptom === by.symptom && finding.time === 'now';
    if ('codeList' in by) return finding.kind === 'code-list' && finding.complete;
    if ('code' in by) return finding.kind === 'code';
    if ('engine' in by) return finding.kind === 'engine' && finding[by.engine] !== null;
    return finding.kind === 'work-done' && finding.part === by.work;
  });
}
