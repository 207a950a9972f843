// Finds the parts that a verb of work is about: the list behind it, or, where the verb is passive, before it. read-work.ts asks.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Token } from './tokens.ts';
import { buildPatterns, matchPatterns, type WordPatterns } from './word-patterns.ts';
import type { Word } from './words.ts';
import { type Action, actionPatterns, adjectives, auxiliaries, listEnds, listWords } from './work-words.ts';

const partTables = new WeakMap<Knowledge, WordPatterns<string>>();

function tableOf(knowledge: Knowledge): WordPatterns<string> {
  const made =
    partTables.get(knowledge) ??
    buildPatterns(knowledge.parts.flatMap((part) => part.words.map((word): [string, string] => [word, part.id])));
  partTables.set(knowledge, made);
  return made;
}

/** A part as the post names it; word indexes [first, last). */
export interface Part {
  readonly part: string;
  readonly first: number;
  readonly last: number;
}

/** A verb of work. */
export interface Verb {
  readonly action: Action;
  readonly first: number;
  readonly last: number;
}

/** The longest part at each place, none inside another. */
export function findParts(words: readonly Word[], knowledge: Knowledge): Part[] {
  const patterns = tableOf(knowledge);
  const parts: Part[] = [];
  for (let index = 0; index < words.length; ) {
    const match = matchPatterns(patterns, words, index)[0];
    if (match) {
      parts.push({ part: match.value, first: match.first, last: match.last });
      index = match.last;
    } else index += 1;
  }
  return parts;
}

/** The parts that a verb is about, in the order of the text; null when it names none that is known. */
export function partsOf(
  words: readonly Word[],
  tokens: readonly Token[],
  parts: readonly Part[],
  verb: Verb,
  begin: number,
): Part[] | null {
  const passive = isPassive(words, verb, parts, begin);
  return (
    covering(parts, verb) ??
    (passive ? before(words, parts, verb.first, begin) : null) ??
    after(words, parts, verb.last, tokens) ??
    (passive ? null : trailing(words, parts, verb, begin)) ??
    meantByPronoun(words, parts, verb)
  );
}

/** "Plugs and coils were replaced", "fuel pump tested fine": the parts stand before the verb. */
function isPassive(words: readonly Word[], verb: Verb, parts: readonly Part[], begin: number): boolean {
  let index = verb.first - 1;
  let sawAuxiliary = false;
  while (index >= begin && verb.first - index <= 5 && (auxiliaries.has(words[index]!.key) || words[index]!.filler)) {
    if (auxiliaries.has(words[index]!.key)) sawAuxiliary = true;
    index -= 1;
  }
  const endsThere = parts.some((part) => part.last === index + 1);
  return endsThere || (sawAuxiliary && index >= begin && words[index]!.key === ')');
}

/** A part whose words hold the verb ("exhaust welded"). */
function covering(parts: readonly Part[], verb: Verb): Part[] | null {
  const part = parts[partAt(parts, verb.first) - 1];
  return part && part.last > verb.first ? [part] : null;
}

/** The list of parts that begins right behind the verb; null when none does. */
function after(words: readonly Word[], parts: readonly Part[], start: number, tokens: readonly Token[]): Part[] | null {
  const found: Part[] = [];
  let unknown = 0;
  // "New plugs" may be the part's own words, "new" included.
  let place = partAt(parts, start - 1);
  const opening = parts[place];
  if (opening && opening.first < start && opening.last >= start) {
    found.push(opening);
    place += 1;
  }
  let isList = false;
  for (let index = Math.max(start, found[0]?.last ?? start); index < words.length && index - start < 120; ) {
    const part = parts[place];
    if (part && part.first === index) {
      found.push(part);
      place += 1;
      index = part.last;
      unknown = 0;
      continue;
    }
    if (part && part.first < index) {
      place += 1;
      continue;
    }
    const { key, barrier } = words[index]!;
    if (index > start + 1 && beginsWork(words, index)) break;
    if (key === ':' && found.length === 0) isList = true;
    else if (
      key === '\n'
        ? !isList || words[index + 1]?.key === '\n'
        : barrier && key !== '(' && key !== ')' && !(isList && (key === '.' || key === ')'))
    )
      break;
    else if (listEnds.has(key) && tokens[index]!.kind === 'word') break;
    else if (tokens[index]!.kind === 'word' && !listWords.has(key)) {
      unknown += 1;
      if (unknown > 3 || (found.length > 0 && unknown > 2)) break;
    }
    index += 1;
  }
  return found.length > 0 ? found : null;
}

/** Another verb of work ends the list of the one before. */
export function beginsWork(words: readonly Word[], index: number): boolean {
  return !adjectives.has(words[index]!.key) && matchPatterns(actionPatterns, words, index).length > 0;
}

/** The list of parts that ends right before `end`; null when none does. */
function before(words: readonly Word[], parts: readonly Part[], end: number, begin: number): Part[] | null {
  const found: Part[] = [];
  let place = partAt(parts, end) - 1;
  let unknown = 0;
  for (let index = end - 1; index >= begin && end - index < 60; ) {
    const part = parts[place];
    if (part && part.last === index + 1) {
      found.unshift(part);
      place -= 1;
      index = part.first - 1;
      unknown = 0;
      continue;
    }
    const { key, barrier } = words[index]!;
    if (barrier || key === '\n') break;
    if (found.length > 0 && listEnds.has(key)) break;
    if (key !== ',' && !listWords.has(key) && !auxiliaries.has(key) && !words[index]!.filler) {
      unknown += 1;
      if (unknown > (found.length === 0 ? 2 : 1)) break;
    }
    index -= 1;
  }
  return found.length > 0 ? found : null;
}

/** "The cats, I replaced": a part just before although the verb has a subject. Only for relative clauses. */
function trailing(words: readonly Word[], parts: readonly Part[], verb: Verb, begin: number): Part[] | null {
  const isRelative = ['which', 'that'].includes(words[verb.first - 2]?.key ?? '');
  return isRelative ? before(words, parts, verb.first - 2, begin) : null;
}

const pronouns = new Set(['it', 'them', 'both', 'one', 'ones', 'mine']);
/** Parts whose words stand in nearly every sentence: a pronoun seldom means them. */
const general = new Set(['engine', 'fuel', 'learned-values', 'control-unit', 'engine-oil', 'compression']);
/** How far back the part that a pronoun means is looked for [words]. */
const pronounReach = 30;

/** "... the oxygen sensor, so I changed it": the part named last before the verb. */
function meantByPronoun(words: readonly Word[], parts: readonly Part[], verb: Verb): Part[] | null {
  const isMeant = [0, 1, 2].some(
    (step) => pronouns.has(words[verb.last + step]?.raw ?? '') && (step === 0 || words[verb.last]!.raw !== 'the'),
  );
  // "It fixed it" and "I cleared it" mean the trouble, not a part.
  if (
    !isMeant ||
    verb.action === 'repaired' ||
    verb.action === 'reset' ||
    verb.action === 'swapped' ||
    words[verb.first]!.key === 'wip'
  )
    return null;
  for (
    let index = partAt(parts, verb.first) - 1;
    index >= 0 && parts[index]!.last > verb.first - pronounReach;
    index -= 1
  )
    if (!general.has(parts[index]!.part)) return [{ ...parts[index]!, first: verb.first, last: verb.last }];
  return null;
}

/** Index of the first part that begins at or after a word. */
function partAt(parts: readonly Part[], word: number): number {
  let low = 0;
  let high = parts.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (parts[middle]!.first < word) low = middle + 1;
    else high = middle;
  }
  return low;
}
