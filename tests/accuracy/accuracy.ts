// `npm run accuracy`: how well posts are read and ranked. Without an argument over knowledge/cases (`-- --accept` writes the figures down
// when none is worse than those accepted); with a FILE over labelled
// posts from outside (an array of {id, post, expect, outcome, driving}), apart for development and validation posts.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { answerPost } from '../../src/answer.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import type { AnswerDocument } from '../../src/vocabulary/answer-document.ts';
import { type ExampleFigures, judgeExamples, worse } from './example-figures.ts';
import {
  brierScore,
  expectedCalibrationError,
  firstPlaces,
  hitRate,
  isValidation,
  type Judged,
  logLoss,
  reliability,
} from './ranking.ts';
import { precision, type ReadingLabels, recall, scoredKinds, scoreReading } from './reading.ts';

interface OutsideCase {
  readonly id: string;
  readonly post: string;
  readonly expect: ReadingLabels;
  readonly outcome: { readonly fault: string; readonly also_acceptable?: readonly string[] };
  readonly driving: string;
}

const knowledge = loadKnowledgeFolder();
const write = (line: string) => process.stdout.write(`${line}\n`);
const percent = (share: number) => `${(100 * share).toFixed(1)} %`;

function judge(id: string, answer: AnswerDocument, truth: string, acceptable: readonly string[]): Judged {
  const probability = new Map<string, number>();
  for (const cause of answer.causes)
    probability.set(cause.fault, (probability.get(cause.fault) ?? 0) + cause.probability);
  return { id, probability, truth, acceptable };
}

function printRanking(judged: readonly Judged[]): void {
  const bins = reliability(firstPlaces(judged), [0, 0.2, 0.4, 0.6, 0.8, 1]);
  write(`  ranking, ${judged.length} cases with an outcome:`);
  write(`    first: ${percent(hitRate(judged, 1))} (or acceptable ${percent(hitRate(judged, 1, true))})`);
  write(`    in the first three: ${percent(hitRate(judged, 3))} (or acceptable ${percent(hitRate(judged, 3, true))})`);
  write(
    `    log loss ${logLoss(judged).toFixed(3)} nats, Brier ${brierScore(judged).toFixed(3)}, calibration error ${expectedCalibrationError(bins).toFixed(3)}`,
  );
  for (const bin of bins) {
    if (bin.count > 0)
      write(
        `    said ${bin.from} to ${bin.to}: ${bin.count} times, mean ${percent(bin.confidence)}, right ${percent(bin.accuracy)}`,
      );
  }
}

function overFile(file: string): void {
  const cases = JSON.parse(readFileSync(file, 'utf8')) as OutsideCase[];
  const answers = new Map(
    cases.map((item) => [item.id, answerPost({ id: item.id, text: item.post }, null, knowledge).answer]),
  );
  const groups: Array<[string, OutsideCase[]]> = [
    ['development', cases.filter((item) => !isValidation(item.id))],
    ['validation', cases.filter((item) => isValidation(item.id))],
  ];
  for (const [name, group] of groups) {
    write(`${name}: ${group.length} posts`);
    const score = scoreReading(
      group.map((item) => ({ id: item.id, labels: item.expect, findings: answers.get(item.id)!.findings })),
    );
    for (const kind of scoredKinds) {
      write(
        `  ${kind.padEnd(18)} recall ${percent(recall(score[kind])).padStart(7)}  precision ${percent(precision(score[kind])).padStart(7)}`,
      );
    }
    printRanking(
      group
        .filter((item) => knowledge.faults.byId.has(item.outcome.fault))
        .map((item) => judge(item.id, answers.get(item.id)!, item.outcome.fault, item.outcome.also_acceptable ?? [])),
    );
    const driving = group.filter((item) => answers.get(item.id)!.driving === item.driving).length;
    write(`  driving advice as labelled: ${driving} of ${group.length}`);
  }
}

function overExampleCases(accept: boolean): void {
  const place = new URL('accepted.json', import.meta.url);
  const { figures, judged } = judgeExamples(knowledge);
  write(`knowledge/cases: ${knowledge.cases.length} example cases; the causes accepted as first count as one`);
  write(`  reading: ${percent(figures.read)} of the expected codes, readings, symptoms and denials`);
  printRanking(judged);
  const accepted = existsSync(place) ? (JSON.parse(readFileSync(place, 'utf8')) as ExampleFigures) : null;
  const lines = accepted === null ? [] : worse(figures, accepted);
  for (const line of lines) write(`  worse than accepted: ${line}`);
  if (lines.length > 0) process.exitCode = 1;
  else if (accept) {
    const rounded = Object.fromEntries(
      Object.entries(figures).map(([name, value]) => [name, Math.round(value * 10_000) / 10_000]),
    );
    writeFileSync(place, `${JSON.stringify(rounded, null, 2)}\n`);
    write('  accepted');
  } else write('  none is worse than accepted; --accept writes them down');
}

const file = process.argv[2];
if (file && file !== '--accept') overFile(file);
else overExampleCases(file === '--accept');
