// Reads what a post asks for: a diagnosis, where a part is, how to do something, whether to drive, what a code means, a limit,
// cleaning a sensor, or a way round the emission controls. A post that asks nothing in words asks for a diagnosis.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { ExplanationEntry } from '../knowledge/schema/explanation.ts';
import type { RequestEntry } from '../knowledge/schema/request.ts';
import type { RequestFinding } from '../vocabulary/findings.ts';
import { splitChunks } from './chunks.ts';
import { findingBase } from './finding-base.ts';
import type { ReaderInput, ReaderResult } from './reader.ts';
import { findItem } from './request-items.ts';
import { sentenceBounds } from './sentence-bounds.ts';
import { buildPatterns, matchPatterns, type WordPatterns } from './word-patterns.ts';
import { stemSet } from './word-stem.ts';
import { type Word, wordsOf } from './words.ts';

interface Entry {
  readonly request: RequestEntry | null;
  readonly isNot: boolean;
  /** Explanation whose words these are. */
  readonly topic: ExplanationEntry | null;
}

const tables = new WeakMap<Knowledge, WordPatterns<Entry>>();

function tableOf(knowledge: Knowledge): WordPatterns<Entry> {
  const made = tables.get(knowledge);
  if (made) return made;
  const entries: Array<[string, Entry]> = [];
  for (const request of knowledge.requests) {
    const asks = { request, isNot: false, topic: null };
    const means = { request, isNot: true, topic: null };
    for (const phrase of request.phrases) entries.push([phrase, asks]);
    for (const phrase of request.not) entries.push([phrase, means]);
  }
  for (const explanation of knowledge.explanations) {
    const topic = { request: null, isNot: false, topic: explanation };
    for (const phrase of explanation.words) entries.push([phrase, topic]);
  }
  const table = buildPatterns(entries);
  tables.set(knowledge, table);
  return table;
}

interface Asked {
  readonly about: RequestFinding['about'];
  readonly item: string | null;
  readonly first: number;
  readonly last: number;
}

/** Nobody asks for more in one post; hostile text does. */
const mostAsked = 100;

/** All requests of a post, each about and item once. Linear. */
export function readRequests(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const words = wordsOf(input.tokens);
  const table = tableOf(knowledge);
  const bounds = sentenceBounds(input.clauses, input.tokens.length);
  const chunks = splitChunks(input.tokens);
  const matches = words.flatMap((_, index) => matchPatterns(table, words, index));
  const excluded = matches.filter((match) => match.value.isNot);
  const asked: Asked[] = [];
  let excludedAt = 0;
  for (const match of matches) {
    if (asked.length >= mostAsked) break;
    const { request, topic, isNot } = match.value;
    if (isNot || input.clauses.clauseAt(match.first).context.source === 'helper') continue;
    const [begin, end] = bounds(match.first);
    while (excludedAt < excluded.length && excluded[excludedAt]!.first < match.first - 12) excludedAt += 1;
    if (request && isExcluded(excluded, excludedAt, request, match.first, match.last)) continue;
    const isQuestion = asks(words, begin, end, match.first);
    if (topic !== null) {
      const isHeard = isQuestion || topic.heard === 'always' || (topic.heard === 'alone' && input.taken.length === 0);
      if (isHeard && (match.length >= 2 || topic.heard === 'always' || asksForMeaning(words, begin, end)))
        asked.push({ about: 'how-to', item: topic.id, first: match.first, last: match.last });
      continue;
    }
    if (!request || (request.about === 'location' && !asksWhere(words, match.first, begin, end))) continue;
    if ((request.onlyWhenAsked && !isQuestion) || isRefused(words, match.first, begin, isQuestion)) continue;
    const item =
      request.item ?? findItem(request.about, { input, words, chunks, knowledge, begin, end, first: match.first });
    // Whose limit, and of what, stands in the rest of the sentence.
    const last = request.about === 'limits' ? Math.max(match.last, Math.min(end, match.first + 40)) : match.last;
    asked.push({ about: request.about, item, first: match.first, last });
  }
  const kept = choose(asked, bounds);
  if (kept.length === 0) kept.push(...byDefault(input, words, bounds));
  const findings = kept.map((one): RequestFinding => {
    const start = input.tokens[one.first]!.start;
    const end = input.tokens[one.last - 1]!.end;
    return {
      ...findingBase(input, start, end, one.first, 'present'),
      source: 'owner',
      time: 'now',
      car: 0,
      kind: 'request',
      about: one.about,
      item: one.item,
    };
  });
  return { findings, conflicts: [], used: [] };
}

function isExcluded(
  excluded: ReadonlyArray<{ readonly value: Entry; readonly first: number; readonly last: number }>,
  from: number,
  request: RequestEntry,
  first: number,
  last: number,
): boolean {
  for (let index = from; index < excluded.length && excluded[index]!.first < last; index += 1)
    if (excluded[index]!.value.request === request && excluded[index]!.last > first) return true;
  return false;
}

const wishing = stemSet(
  "should could can want wants thinking think plan planning how legal recommend recommends suggested suggest suggests going gonna will would wondering option consider considering ok okay possible anyone what why where which advice tempted ready wrong i'll let worth idea",
);

/** Whether a sentence asks, wishes or plans. */
function asks(words: readonly Word[], begin: number, end: number, place: number): boolean {
  if (words[end - 1]?.key === '?') return true;
  for (let index = begin; index < Math.min(end, place + 6); index += 1) if (wishing.has(words[index]!.key)) return true;
  return false;
}

const meaningWords = stemSet("what what's explain mean work works meaning define difference purpose");

/** "What is a bung", "how does it work": a single word of a topic is enough here. */
function asksForMeaning(words: readonly Word[], begin: number, end: number): boolean {
  for (let index = begin; index < Math.min(end, begin + 40); index += 1)
    if (meaningWords.has(words[index]!.key)) return true;
  return false;
}

const beforeWhere = stemSet(
  'know tell find sure idea wondering wonder me out find on about and or , so then ok thanks please to',
);

/** "Where is it" asks; "the pipe where the sensor sits" does not. */
function asksWhere(words: readonly Word[], first: number, begin: number, end: number): boolean {
  const { key } = words[first]!;
  if (words[end - 1]?.key === '?' || first === begin || !(key === 'wher' || key === 'which' || key === "where's"))
    return true;
  const previous = words[first - 1]!;
  return previous.barrier || previous.key === '\n' || (beforeWhere.has(previous.key) && previous.key !== ',');
}

/** "I don't want to delete the cat": no request, unless it is a question. */
function isRefused(words: readonly Word[], first: number, begin: number, isQuestion: boolean): boolean {
  if (isQuestion && words[begin]?.key !== 'i') return false;
  for (let index = first - 1; index >= Math.max(begin, first - 5); index -= 1) {
    const { key, barrier } = words[index]!;
    if (barrier || key === ',') return false;
    if (key === 'never' || key === 'not' || /n't$/.test(key)) return key !== "can't" && key !== "couldn't";
  }
  return false;
}

/** Each about and item once; a plain wish for a diagnosis gives way to anything else asked in the same sentence. */
function choose(asked: readonly Asked[], bounds: (token: number) => readonly [number, number]): Asked[] {
  const kept: Asked[] = [];
  for (const one of asked) {
    const sentence = bounds(one.first)[0];
    const beside = asked.filter((other) => other !== one && bounds(other.first)[0] === sentence).slice(0, 20);
    if (
      one.about === 'diagnosis' &&
      one.item === null &&
      beside.some((other) => other.about !== 'diagnosis' || other.item !== null)
    )
      continue;
    if (one.about === 'how-to' && beside.some((other) => other.about === 'cleaning' || other.about === 'tampering'))
      continue;
    if (one.about === 'how-to' && one.item === null && beside.some((other) => other.about === 'location')) continue;
    if (
      one.about === 'code-meaning' &&
      one.item === null &&
      beside.some((other) => other.about === 'how-to' && other.item !== null)
    )
      continue;
    if (kept.some((other) => other.about === one.about && (other.item === one.item || one.item === null))) continue;
    const vaguer = kept.findIndex((other) => other.about === one.about && other.item === null && one.item !== null);
    if (vaguer >= 0) kept.splice(vaguer, 1);
    kept.push(one);
    if (kept.length >= 12) break;
  }
  return kept;
}

/** The first post of a conversation, or a question without known words, asks what is wrong. */
function byDefault(
  input: ReaderInput,
  words: readonly Word[],
  bounds: (token: number) => readonly [number, number],
): Asked[] {
  const mark = words.findIndex((word) => word.key === '?');
  if (mark < 0 && input.previous.posts > 0) return [];
  const place = mark >= 0 ? mark : words.findIndex((word) => /[a-z0-9]/.test(word.key));
  if (place < 0) return [];
  const [begin, end] = bounds(place);
  let last = end;
  while (last > begin + 1 && words[last - 1]!.key === '\n') last -= 1;
  return [{ about: 'diagnosis', item: null, first: begin, last }];
}
