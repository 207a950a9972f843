// The next question: expected gain over effort, among what an owner may safely do, has not answered and was not asked, and as
// long as an answer can still change what is done next.
import type { QuestionEntry } from '../knowledge/schema/question.ts';
import type { Effort, Question } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import type { Finding } from '../vocabulary/findings.ts';
import { answersByFault, hypothesisWeights, posteriorsAfterFigures } from './answer-prediction.ts';
import type { CaseModel } from './case-model.ts';
import { entropy, informationGain } from './information-gain.ts';
import { nextFault, searchCost } from './plan-repairs.ts';

/** What an answer costs the owner, relative to something remembered. Source: questions sheet (judgement). */
const effortDivisor: Readonly<Record<Effort, number>> = { none: 1, minutes: 2, tools: 5, workshop: 15 };

/** The same in hours, to be set against what an answer saves on the way to the fault (judgement). */
const effortHours: Readonly<Record<Effort, number>> = { none: 0.01, minutes: 0.05, tools: 0.15, workshop: 1 };

/** Least gain worth asking for [bits]. */
const leastGain = 0.03;

/** Least probability of an answer for which a change of plan counts. */
const leastAnswer = 0.03;

/** Most questions listed. */
const most = 8;

/** Above this a cause is settled: a question must be able to change the plan to be asked. */
const settledProbability = 0.5;

/** A question that may be asked, and what its answer is worth. */
export interface RankedQuestion {
  readonly question: QuestionEntry;
  /** Expected fall in entropy of the causes [bits]. */
  readonly gain: number;
  /** True when an answer can change what is done first and saves more on the way to the fault than it takes to give. */
  readonly changesPlan: boolean;
}

/**
 * Every question that an owner may safely answer and has not, best gain over effort first.
 *
 * @param least gain below which a question is left out [bits]
 */
export function rankQuestions(model: CaseModel, asked: Case['asked'], least: number = leastGain): RankedQuestion[] {
  const world = model.worlds[0]!;
  const weights = hypothesisWeights(model, world);
  const probability = model.attributed.probability;
  const before = entropy(probability);
  const planned = nextFault(model.faults, probability);
  const cost = searchCost(model.faults, probability);
  return model.knowledge.questions
    .filter((question) => mayAsk(question, model, asked))
    .map((question): RankedQuestion => {
      const rows = answersByFault(model, world, weights, question, model.knowledge);
      const outcomes = rows
        ? rows.map((row) => after(probability, row))
        : posteriorsAfterFigures(model, world, weights, question);
      const gain = rows
        ? informationGain(probability, rows)
        : outcomes.length === 0
          ? 0
          : Math.max(0, before - outcomes.reduce((sum, item) => sum + item.probability * entropy(item.faults), 0));
      if (gain < least) return { question, gain, changesPlan: false };
      const turns = outcomes.some(
        (item) => item.probability >= leastAnswer && nextFault(model.faults, item.faults) !== planned,
      );
      const saved = turns
        ? cost - outcomes.reduce((sum, item) => sum + item.probability * searchCost(model.faults, item.faults), 0)
        : 0;
      return { question, gain, changesPlan: saved > effortHours[question.effort] };
    })
    .filter((item, _index, all) => item.gain >= least && !all.some((other) => asksMore(other.question, item.question)))
    .sort((a, b) => worth(b) - worth(a) || (a.question.id < b.question.id ? -1 : 1));
}

/** What is worth asking: nothing more once a cause is settled and no answer can change the plan for the better. */
export function chooseQuestions(model: CaseModel, asked: Case['asked']): Question[] {
  const settled = model.attributed.probability.some((value) => value >= settledProbability);
  return rankQuestions(model, asked)
    .filter((item) => !settled || item.changesPlan)
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

/** True when one question of figures asks for all that another does, and more, for the same effort. */
function asksMore(one: QuestionEntry, other: QuestionEntry): boolean {
  if (one === other || one.effort !== other.effort) return false;
  if (one.model.by !== 'readings' || other.model.by !== 'readings') return false;
  const wanted = new Set(one.model.readings.map(keyOfReading));
  return (
    one.model.readings.length > other.model.readings.length &&
    other.model.readings.every((item) => wanted.has(keyOfReading(item)))
  );
}

function keyOfReading(reading: { quantity: string; when?: string | undefined; sensor?: number | undefined }): string {
  return `${reading.quantity} ${reading.when} ${reading.sensor}`;
}

function worth({ question, gain }: RankedQuestion): number {
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
