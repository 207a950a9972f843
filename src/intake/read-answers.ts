// Reads answers to the bot's own questions: "1 yes 2 no", "yes", "couldn't check", the words of an option. Only where the post looks
// like an answer: it is short, numbered, or begins with yes or no. Figures in it are read as readings by their own reader.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { QuestionEntry } from '../knowledge/schema/question.ts';
import type { QuestionAnswerFinding } from '../vocabulary/findings.ts';
import { findingBase } from './finding-base.ts';
import { nothingRead, type ReaderInput, type ReaderResult } from './reader.ts';
import type { Token } from './tokens.ts';
import { buildPatterns, matchPatterns, type WordPatterns } from './word-patterns.ts';
import { stemSet } from './word-stem.ts';
import { type Word, wordsOf } from './words.ts';

/** Longer posts tell a story of their own. */
const longestAnswer = 60;

/** A piece of the post that answers one question. */
interface Piece {
  /** Index of the question among those asked, 0-based. */
  readonly question: number;
  /** Token indexes [first, last). */
  readonly first: number;
  readonly last: number;
}

/** Answers to the questions of the bot's last turn; nothing when it asked none or the post does not look like an answer. */
export function readAnswers(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const lastPost = input.previous.asked.at(-1)?.post;
  if (lastPost === undefined) return nothingRead;
  const questions = input.previous.asked
    .filter((asked) => asked.post === lastPost)
    .flatMap((asked) => knowledge.questions.byId.get(asked.question) ?? []);
  if (questions.length === 0) return nothingRead;
  const pieces = splitPieces(input.tokens, questions.length);
  const findings: QuestionAnswerFinding[] = [];
  for (const piece of pieces) {
    const question = questions[piece.question];
    if (!question) continue;
    const answer = answerIn(input, question, piece);
    if (answer === null) continue;
    const start = input.tokens[piece.first]!.start;
    const end = input.tokens[piece.last - 1]!.end;
    findings.push({
      ...findingBase(input, start, Math.min(end, start + 380), piece.first, 'present'),
      source: 'owner',
      time: 'now',
      car: 0,
      kind: 'question-answer',
      question: question.id,
      answer,
    });
  }
  return { findings, conflicts: [], used: [] };
}

/** Numbered pieces ("1 yes 2 no", "1) ...", one a line), else the whole post when it is short or begins with yes or no. */
function splitPieces(tokens: readonly Token[], count: number): Piece[] {
  const starts: Array<{ question: number; token: number; first: number }> = [];
  for (let index = 0; index < tokens.length && index < 400; index += 1) {
    const token = tokens[index]!;
    if (token.kind !== 'number' || !isMarker(tokens, index)) continue;
    const question = Number(token.text) - 1;
    if (question === (starts.at(-1)?.question ?? -1) + 1 && question < count)
      starts.push({ question, token: index, first: afterMarker(tokens, index) });
  }
  if (starts.length > 0 && starts[0]!.token <= 2 && looksAnswered(tokens, starts[0]!.first, count)) {
    return starts.flatMap((start, index) => {
      const last = trimmed(
        tokens,
        start.first,
        starts[index + 1]?.token ?? Math.min(tokens.length, start.first + longestAnswer),
      );
      return last > start.first ? [{ question: start.question, first: start.first, last }] : [];
    });
  }
  const first = tokens.findIndex((token) => token.kind !== 'newline');
  if (first < 0) return [];
  const last = trimmed(tokens, first, Math.min(tokens.length, first + longestAnswer));
  const opens = openers.has(tokens[first]!.text);
  if (tokens.length > longestAnswer && !opens) return [];
  // One plain answer to several questions answers the first.
  return [{ question: 0, first, last: opens ? endOfSentence(tokens, first, last) : last }];
}

/** A single question is answered by number only where yes, no or a mark follows ("2 miles" is no answer). */
function looksAnswered(tokens: readonly Token[], first: number, count: number): boolean {
  return count > 1 || openers.has(tokens[first]?.text ?? '') || tokens[first - 1]?.kind === 'punctuation';
}

const openers = new Set([
  'yes',
  'yeah',
  'yep',
  'yup',
  'no',
  'nope',
  'nah',
  'negative',
  'affirmative',
  'correct',
  "couldn't",
  "can't",
  'cannot',
  'unable',
  "haven't",
  "don't",
  'none',
  'nothing',
  'sometimes',
  'both',
  'neither',
]);

function isMarker(tokens: readonly Token[], index: number): boolean {
  const before = tokens[index - 1];
  const after = tokens[index + 1];
  if (!after || tokens[index]!.text.length > 1) return false;
  const begins =
    before === undefined ||
    before.kind === 'newline' ||
    (tokens[index]!.spaced && !['bank', 'sensor', 'cylinder', 'cyl', 'b', 's'].includes(before.text));
  const isMarked = after.text === ')' || after.text === '.' || after.text === ':' || after.text === '-';
  if (isMarked)
    return begins && (after.text !== '.' || tokens[index + 2]?.kind !== 'number' || tokens[index + 2]!.spaced);
  return begins && after.spaced && after.kind === 'word' && !units.has(after.text);
}

const units = new Set([
  'volts',
  'volt',
  'v',
  'miles',
  'mile',
  'km',
  'percent',
  'psi',
  'bar',
  'rpm',
  'ohm',
  'ohms',
  'times',
  'time',
  'minutes',
  'seconds',
  'weeks',
  'days',
  'months',
  'years',
  'litre',
  'liter',
  'quart',
  'g',
  'grams',
  'degrees',
  'mph',
  'or',
  'to',
]);

function afterMarker(tokens: readonly Token[], index: number): number {
  const after = tokens[index + 1]!;
  return after.kind === 'punctuation' ? index + 2 : index + 1;
}

function trimmed(tokens: readonly Token[], first: number, end: number): number {
  let last = end;
  while (last > first && (tokens[last - 1]!.kind === 'newline' || [',', ';', '.'].includes(tokens[last - 1]!.text)))
    last -= 1;
  return last;
}

function endOfSentence(tokens: readonly Token[], first: number, last: number): number {
  for (let index = first; index < last; index += 1)
    if (tokens[index]!.text === '.' || tokens[index]!.kind === 'newline' || tokens[index]!.text === '!')
      return Math.max(index, first + 1);
  return last;
}

const cannotCheck = buildPatterns(
  [
    "couldn't|can't|cannot|unable|not|haven't check|checked|test|tested|tell|see|say|get|find|measure|know|look|looked|sure|able|done|read",
    "don't|dont|do not know|have|think",
    "didn't|haven't check|look|test|try|checked|looked|tested|tried|yet",
    'no idea|clue|scanner|tool|tools|meter|gauge|way|multimeter',
    'not sure|yet|tested|checked',
    'dunno',
    'unknown',
    'pass',
    'skip',
  ].map((phrase): [string, true] => [phrase, true]),
);
const yesWords = stemSet('yes yeah yep yup aye affirmative correct yea sure definitely indeed');
const noWords = stemSet('no nope nah negative never none nothing neither');

const optionTables = new WeakMap<QuestionEntry, WordPatterns<string>>();

function optionsOf(question: QuestionEntry): WordPatterns<string> {
  const made =
    optionTables.get(question) ??
    buildPatterns(
      question.answers.flatMap((answer) =>
        [answer.text, ...answer.phrases].map((words): [string, string] => [
          words.replaceAll(/[|=#.,;:()]/g, ' '),
          answer.id,
        ]),
      ),
    );
  optionTables.set(question, made);
  return made;
}

/** "There is a hissing noise" is no "there is": words that carry nothing answer only where little else is said. */
function isFigureOfSpeech(words: readonly Word[], match: { first: number; last: number }, piece: Piece): boolean {
  if (piece.last - piece.first <= match.last - match.first + 2) return false;
  return words.slice(match.first, match.last).every(({ key }) => emptyWords.has(key));
}
const emptyWords = stemSet('there it that is does do are was has i');

/** Id of the answer that a piece gives; null when it gives none that can be told for sure. */
function answerIn(input: ReaderInput, question: QuestionEntry, piece: Piece): string | null {
  const words = wordsOf(input.tokens);
  const named = new Map<string, number>();
  let cannot = false;
  for (let index = piece.first; index < piece.last; index += 1) {
    if (matchPatterns(cannotCheck, words, index).length > 0) cannot = true;
    for (const match of matchPatterns(optionsOf(question), words, index)) {
      if (match.last <= piece.last && !isFigureOfSpeech(words, match, piece))
        named.set(match.value, Math.max(named.get(match.value) ?? 0, match.length));
    }
  }
  if (cannot) return 'cannot-check';
  const first = words[piece.first]!.key;
  const has = (id: string) => question.answers.some((answer) => answer.id === id);
  if (yesWords.has(first) && has('yes')) return 'yes';
  if (noWords.has(first) && has('no')) return 'no';
  const longest = Math.max(0, ...named.values());
  const best = [...named].filter(([, length]) => length === longest).map(([id]) => id);
  if (best.length === 1) return best[0]!;
  if (piece.last - piece.first === 1 && input.tokens[piece.first]!.kind === 'number')
    return question.answers[Number(input.tokens[piece.first]!.text) - 1]?.id ?? null;
  return null;
}
