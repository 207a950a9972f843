// Finds the words of symptoms in a post, before anyone asks whether they are said, denied or only feared.
import type { Knowledge } from '../knowledge/knowledge.ts';
import { buildSpeller, correctStem, type Speller } from './spelling.ts';
import type { Token } from './tokens.ts';
import { buildPatterns, matchPatterns, type PatternMatch, type WordPatterns } from './word-patterns.ts';
import type { Word } from './words.ts';
import { wordsOf } from './words.ts';

/** What a phrase does: says it, is another meaning, says that it is absent, or denies it when denied itself. */
type Role = 'says' | 'not' | 'absent' | 'when-denied';

interface Entry {
  readonly symptom: string;
  readonly role: Role;
}

export interface SymptomMatch extends Entry {
  /** Word indexes [first, last). */
  readonly first: number;
  readonly last: number;
  readonly gap: readonly [number, number];
}

interface Table {
  readonly patterns: WordPatterns<Entry>;
  readonly speller: Speller;
}

const tables = new WeakMap<Knowledge, Table>();

function tableOf(knowledge: Knowledge): Table {
  const made = tables.get(knowledge);
  if (made) return made;
  const entries: Array<[string, Entry]> = [];
  for (const symptom of knowledge.symptoms) {
    const add = (phrases: readonly string[], role: Role) => {
      const entry = { symptom: symptom.id, role };
      for (const phrase of phrases) entries.push([phrase, entry]);
    };
    add(symptom.phrases, 'says');
    add(symptom.not, 'not');
    add(symptom.denials, 'absent');
    add(symptom.whenDenied, 'when-denied');
  }
  const patterns = buildPatterns(entries);
  const table = { patterns, speller: buildSpeller(patterns.vocabulary) };
  tables.set(knowledge, table);
  return table;
}

export interface SymptomMatches {
  /** The post's words with slips corrected, one a token. */
  readonly words: readonly Word[];
  /** In order of place; what another meaning or a longer phrase covers is left out. */
  readonly matches: readonly SymptomMatch[];
}

/** All words of symptoms in a post. Linear in the number of tokens. */
export function findSymptoms(tokens: readonly Token[], knowledge: Knowledge): SymptomMatches {
  const { patterns, speller } = tableOf(knowledge);
  const words = wordsOf(tokens).map((word, index): Word => {
    const token = tokens[index]!;
    if (token.kind !== 'word') return word;
    const key = correctStem(speller, token.text, word.key);
    return key === word.key ? word : { ...word, key };
  });
  const all: SymptomMatch[] = [];
  const excluded = new Map<string, Array<readonly [number, number]>>();
  for (let index = 0; index < words.length; index += 1) {
    for (const match of matchPatterns(patterns, words, index)) {
      if (match.value.role === 'not') remember(excluded, match);
      else all.push({ ...match.value, first: match.first, last: match.last, gap: match.gap });
    }
  }
  const allowed = all.filter(
    (match) =>
      !(excluded.get(match.symptom) ?? []).some((span) =>
        match.role === 'absent'
          ? span[0] <= match.first && match.last <= span[1]
          : span[0] < match.last && match.first < span[1],
      ),
  );
  return { words, matches: withoutCovered(allowed, words) };
}

function remember(excluded: Map<string, Array<readonly [number, number]>>, match: PatternMatch<Entry>): void {
  const list = excluded.get(match.value.symptom);
  const span: readonly [number, number] = [match.first, match.last];
  if (list) list.push(span);
  else excluded.set(match.value.symptom, [span]);
}

/** How far back a phrase that covers another may begin [words]. */
const coverReach = 24;

function withoutCovered(matches: readonly SymptomMatch[], words: readonly Word[]): SymptomMatch[] {
  return matches.filter((match, index) => {
    for (let other = index - 1; other >= 0 && matches[other]!.first >= match.first - coverReach; other -= 1)
      if (covers(matches[other]!, match, words)) return false;
    for (let other = index + 1; other < matches.length && matches[other]!.first < match.last; other += 1)
      if (covers(matches[other]!, match, words)) return false;
    return true;
  });
}

function covers(outer: SymptomMatch, inner: SymptomMatch, words: readonly Word[]): boolean {
  const isSameLamp = outer.symptom === 'check-engine-light-flashing' && inner.symptom === 'check-engine-light';
  if (isSameLamp && outer.role === 'says' && inner.first < outer.last && outer.first < inner.last) return true;
  // "engine light keeps flashing on the highway" is no light that is "on".
  if (outer.symptom === 'check-engine-light' && inner.symptom === 'check-engine-light-flashing') return false;
  if (outer.first > inner.first || outer.last < inner.last) return false;
  if (outer.last - outer.first === inner.last - inner.first)
    return outer.role === 'says' && inner.role === 'when-denied';
  if (outer.gap[0] <= inner.first && inner.last <= outer.gap[1]) return false;
  // "The engine light is off": the longer words say that what the shorter ones name is absent.
  const isTakenBack = outer.role === 'absent' && outer.symptom === inner.symptom && outer.first === inner.first;
  if (isTakenBack && (outer.gap[0] === outer.gap[1] || inner.last <= outer.gap[0])) return true;
  if (outer.symptom === inner.symptom) return outer.role === 'says' || inner.role !== 'says';
  // "black or blue smoke": the longer phrase names both, and the shorter one stands by itself.
  for (let index = outer.first; index < inner.first; index += 1) {
    const { key } = words[index]!;
    if (key === 'or' || key === 'and' || key === 'nor') return false;
  }
  return outer.role === 'says' || inner.role !== 'says';
}
