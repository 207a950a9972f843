// How well the example cases of knowledge/cases are read and ranked, as a handful of figures. accuracy.ts prints and accepts them,
// ratchet.test.ts holds them against those that were accepted.
import { answerPost } from '../../src/answer.ts';
import type { Knowledge } from '../../src/knowledge/knowledge.ts';
import type { ExampleCase } from '../../src/knowledge/schema/example-case.ts';
import type { AnswerDocument } from '../../src/vocabulary/answer-document.ts';
import type { Case } from '../../src/vocabulary/case.ts';
import {
  brierScore,
  expectedCalibrationError,
  firstPlaces,
  hitRate,
  type Judged,
  logLoss,
  reliability,
} from './ranking.ts';

/** Shares 0..1 but for the last three; `cases` have an expected ranking. */
export interface ExampleFigures {
  readonly cases: number;
  /** Expected codes, readings, symptoms and denials that were read. */
  readonly read: number;
  readonly first: number;
  readonly inThree: number;
  /** [nats] */
  readonly logLoss: number;
  readonly brier: number;
  readonly calibrationError: number;
}

/** Figures of which more is better; of the others less is. */
export const moreIsBetter: ReadonlySet<keyof ExampleFigures> = new Set(['cases', 'read', 'first', 'inThree']);

/** What a figure may be off without being worse: a change elsewhere moves every probability a little. */
export const slack: Readonly<Record<keyof ExampleFigures, number>> = {
  cases: 0,
  read: 0.005,
  first: 0.005,
  inThree: 0.005,
  logLoss: 0.02,
  brier: 0.02,
  calibrationError: 0.03,
};

/** Figures that are worse than those accepted, each as one line; empty when none is. */
export function worse(now: ExampleFigures, accepted: ExampleFigures): string[] {
  return (Object.keys(slack) as Array<keyof ExampleFigures>).flatMap((name) => {
    const loss = moreIsBetter.has(name) ? accepted[name] - now[name] : now[name] - accepted[name];
    return loss > slack[name] ? [`${name}: ${now[name].toFixed(4)}, accepted ${accepted[name].toFixed(4)}`] : [];
  });
}

export interface JudgedExamples {
  readonly figures: ExampleFigures;
  /** Each case with the causes accepted as first taken together under the name of the first of them. */
  readonly judged: readonly Judged[];
}

/** Answers every example case as a user's conversation would be. */
export function judgeExamples(knowledge: Knowledge): JudgedExamples {
  const judged: Judged[] = [];
  let expected = 0;
  let read = 0;
  for (const example of knowledge.cases) {
    const answer = answerLast(example, knowledge);
    const [wanted, met] = countRead(example, answer);
    expected += wanted;
    read += met;
    const accepted = example.expect.first ?? example.expect.inThree ?? [];
    if (accepted.length > 0) judged.push(judge(example.id, answer, accepted));
  }
  const bins = reliability(firstPlaces(judged), [0, 0.2, 0.4, 0.6, 0.8, 1]);
  return {
    judged,
    figures: {
      cases: judged.length,
      read: expected === 0 ? 1 : read / expected,
      first: hitRate(judged, 1),
      inThree: hitRate(judged, 3),
      logLoss: logLoss(judged),
      brier: brierScore(judged),
      calibrationError: expectedCalibrationError(bins),
    },
  };
}

function answerLast(example: ExampleCase, knowledge: Knowledge): AnswerDocument {
  let state: Case | null = null;
  let answer: AnswerDocument | null = null;
  for (const text of example.posts) {
    ({ answer, next: state } = answerPost({ id: example.id, text }, state, knowledge));
  }
  return answer!;
}

function judge(id: string, answer: AnswerDocument, accepted: readonly string[]): Judged {
  const truth = accepted[0]!;
  const probability = new Map<string, number>();
  for (const cause of answer.causes) {
    const name = accepted.includes(cause.fault) ? truth : cause.fault;
    probability.set(name, (probability.get(name) ?? 0) + cause.probability);
  }
  return { id, probability, truth, acceptable: [] };
}

/** How many codes, readings, symptoms and denials a case expects, and how many of them were read. */
function countRead({ expect }: ExampleCase, answer: AnswerDocument): [number, number] {
  const own = answer.findings.filter((finding) => finding.car === 0);
  const has = (test: (finding: (typeof own)[number]) => boolean) => own.some(test);
  const met = [
    ...(expect.codes ?? []).map((code) => has((f) => f.kind === 'code' && f.code === code && f.stated === 'present')),
    ...(expect.readings ?? []).map((reading) =>
      has((f) => f.kind === 'reading' && f.quantity === reading.quantity && Math.abs(f.value - reading.value) < 1e-6),
    ),
    ...(expect.symptoms ?? []).map((id) =>
      has((f) => f.kind === 'symptom' && f.symptom === id && f.stated === 'present'),
    ),
    ...(expect.denied ?? []).map((id) => has((f) => f.kind === 'symptom' && f.symptom === id && f.stated === 'denied')),
  ];
  return [met.length, met.filter(Boolean).length];
}
