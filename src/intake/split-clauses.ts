// Cuts a post into sentences and clauses; read-post.ts calls it once a post.
import { placeContexts } from './clause-context.ts';
import { type Clause, type ClauseMap, type ClauseSpan, plainContext } from './clauses.ts';
import { clauseOpeners, subjectWords, weakOpeners } from './cues.ts';
import type { ReadableText } from './readable-text.ts';
import type { Token } from './tokens.ts';
import { toWords, type Word } from './words.ts';
import { findWriters } from './writers.ts';

/**
 * Splits tokens into clauses. Linear in their number; every token belongs to exactly one clause.
 *
 * @param words the tokens' words where the caller already has them
 */
export function splitClauses(
  text: ReadableText,
  tokens: readonly Token[],
  words: readonly Word[] = toWords(tokens),
): ClauseMap {
  const spans = findSpans(tokens, words);
  const clauses = placeContexts(spans, words, findWriters(text, tokens));
  const clauseOf = new Uint32Array(tokens.length);
  for (const [index, clause] of clauses.entries()) clauseOf.fill(index, clause.first, clause.last);
  const nowhere: Clause = { first: 0, last: 0, sentence: 0, context: plainContext };
  return { clauses, clauseAt: (token) => clauses[clauseOf[token] ?? clauses.length - 1] ?? clauses.at(-1) ?? nowhere };
}

function findSpans(tokens: readonly Token[], words: readonly Word[]): ClauseSpan[] {
  const spans: ClauseSpan[] = [];
  let first = 0;
  let sentence = 0;
  /** First subject of a clause that began with if, when or unless; a second one begins the main clause. */
  let subject: string | null = null;
  let subjectAt = 0;
  let awaitsSubject = false;
  const close = (end: number) => {
    if (end > first) spans.push({ first, last: end, sentence });
    first = end;
    subject = null;
    awaitsSubject = false;
  };
  for (let index = 0; index < tokens.length; index += 1) {
    const word = words[index]!;
    if (endsSentence(tokens, words, index)) {
      close(index + 1);
      sentence += 1;
    } else if (endsClause(tokens, words, index)) {
      close(index + 1);
    } else if (index > first && opensClause(tokens, words, index)) {
      close(index);
      awaitsSubject = subordinating.has(tokens[index]!.text);
    } else if (index === first && subordinating.has(tokens[index]!.text)) {
      awaitsSubject = true;
    } else if (awaitsSubject && (subject === null || tokens[index]!.kind === 'word')) {
      const isPronoun = pronouns.has(tokens[index]!.text);
      if (subject === null) {
        if (!word.filler || isPronoun) {
          subject = tokens[index]!.text;
          subjectAt = index;
        }
      } else if (
        isPronoun &&
        (tokens[index]!.text !== subject || index - subjectAt >= 3) &&
        !pronouns.has(tokens[index - 1]!.text) &&
        isNominative(tokens, index)
      ) {
        close(index);
      }
    }
  }
  close(tokens.length);
  return spans;
}

const subordinating = new Set([
  'if',
  'when',
  'whenever',
  'unless',
  'once',
  'after',
  'while',
  'until',
  'till',
  'before',
  'since',
]);
const pronouns = new Set("i it you we she he they it's i'll i'm it'll i've i'd it'd there there's".split(' '));
const verbAfter =
  /^(?:is|was|has|had|will|would|just|then|also|starts?|started|does|did|do|can|could|runs?|ran|goes|[a-z]{2,20}(?:s|ed))$/;

/** "it" and "you" are objects as often as subjects; a verb form after them decides. */
function isNominative(tokens: readonly Token[], index: number): boolean {
  const text = tokens[index]!.text;
  if (text !== 'it' && text !== 'you') return true;
  return verbAfter.test(tokens[index + 1]?.text ?? '');
}

function endsSentence(tokens: readonly Token[], words: readonly Word[], index: number): boolean {
  const token = tokens[index]!;
  if (token.kind === 'newline') return words[index]!.barrier;
  if (token.text === '!' || token.text === '?') return true;
  if (token.text !== '.') return false;
  const next = tokens[index + 1];
  if (next === undefined || next.kind === 'newline') return true;
  if (next.text === '.') return false;
  if (!next.spaced) return false;
  const before = tokens[index - 1];
  return !(before !== undefined && abbreviations.has(before.text));
}

const abbreviations = new Set(['approx', 'vs', 'no', 'eg', 'e', 'mr', 'mrs', 'dr', 'st']);

function endsClause(tokens: readonly Token[], words: readonly Word[], index: number): boolean {
  const token = tokens[index]!;
  if (token.kind !== 'punctuation') return false;
  const next = tokens[index + 1];
  if (token.text === ',') return !(next?.kind === 'number' && !next.spaced && tokens[index - 1]?.kind === 'number');
  if (token.text === ';' || token.text === '(' || token.text === ')') return true;
  if (token.text === ':') return next === undefined || next.spaced || next.kind !== 'number';
  if (token.text === '-') return token.spaced && (next?.spaced ?? true) && words[index - 1]?.key !== '\n';
  return token.text === '.' && next?.text === '.';
}

function opensClause(tokens: readonly Token[], words: readonly Word[], index: number): boolean {
  const text = tokens[index]!.text;
  if (clauseOpeners.has(text))
    return !(text === 'if' && (tokens[index - 1]?.text === 'as' || tokens[index - 1]?.text === 'like'));
  if (!weakOpeners.has(text)) return false;
  const next = tokens[index + 1]?.text ?? '';
  if (text === 'that' || text === 'which') return pronouns.has(next) && !words[index - 1]!.barrier;
  return (
    (text === 'and' && /^[a-z]{3,20}ed$/.test(next)) ||
    subjectWords.has(next) ||
    next === 'now' ||
    next === 'then' ||
    next === 'also' ||
    next === 'still' ||
    next === 'when' ||
    next === 'if'
  );
}
