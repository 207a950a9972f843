// Reads answers that a post gives before anyone asks: short trips, a needle that falls on the motorway, sooty plugs. Each is noted as the
// answer to the question it settles, which is then not asked. read-post.ts calls it; what the bot did ask is for read-answers.ts.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { QuestionAnswerFinding } from '../vocabulary/findings.ts';
import { polarityOf } from './denial.ts';
import { contextAt, findingBase } from './finding-base.ts';
import type { ReaderInput, ReaderResult } from './reader.ts';
import { sentenceBounds } from './sentence-bounds.ts';
import { buildPatterns, matchPatterns, type WordPatterns } from './word-patterns.ts';
import { wordsOf } from './words.ts';

interface Told {
  readonly question: string;
  readonly answer: string;
}

const tables = new WeakMap<Knowledge, WordPatterns<Told>>();

function tableOf(knowledge: Knowledge): WordPatterns<Told> {
  const made = tables.get(knowledge);
  if (made) return made;
  const entries = knowledge.questions.flatMap((question) =>
    question.answers.flatMap((answer) => {
      const told = { question: question.id, answer: answer.id };
      return answer.told.map((phrase): [string, Told] => [phrase, told]);
    }),
  );
  const table = buildPatterns(entries);
  tables.set(knowledge, table);
  return table;
}

/** Volunteered answers, one a question; none where the post tells two, or where the case holds an answer already. Linear. */
export function readTold(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const words = wordsOf(input.tokens);
  const raw = words.map((word) => word.raw);
  const bounds = sentenceBounds(input.clauses, input.tokens.length);
  const table = tableOf(knowledge);
  const asked = input.previous.asked.at(-1)?.post === undefined ? [] : input.previous.asked;
  const settled = new Set([
    ...input.previous.findings.flatMap((finding) => (finding.kind === 'question-answer' ? [finding.question] : [])),
    ...asked.filter(({ post }) => post === asked.at(-1)?.post).map(({ question }) => question),
  ]);
  const found = new Map<string, QuestionAnswerFinding | null>();
  for (let index = 0; index < words.length; index += 1) {
    for (const match of matchPatterns(table, words, index)) {
      const { question, answer } = match.value;
      if (settled.has(question)) continue;
      const context = contextAt(input, match.first);
      if (context.mood !== 'stated' || context.source !== 'owner' || context.car !== 0 || context.time === 'before')
        continue;
      const [begin, end] = bounds(match.first);
      if (polarityOf(words, raw, match.first, match.last, begin, end).polarity !== 'present') continue;
      const earlier = found.get(question);
      if (earlier !== undefined) {
        if (earlier !== null && earlier.answer !== answer) found.set(question, null);
        continue;
      }
      const start = input.tokens[match.first]!.start;
      const stop = input.tokens[match.last - 1]!.end;
      found.set(question, {
        ...findingBase({ ...input, nextId: () => 'f0' }, start, stop, match.first, 'present'),
        kind: 'question-answer',
        question,
        answer,
      });
    }
  }
  const findings = [...found.values()].flatMap((finding) => (finding ? [{ ...finding, id: input.nextId() }] : []));
  return { findings, conflicts: [], used: [] };
}
