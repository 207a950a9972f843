// Finds the parts that a verb of work is about: the list behind it, or, where the verb is passive, before it. read-work.ts asks.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Token } from './tokens.ts';
import { buildPatterns, matchPatterns, type WordPatterns } from './word-patterns.ts';
import { stemSet } from './word-stem.ts';
import type { Word } from './words.ts';
import { type Action, actionPatterns, adjectives, auxiliaries, listEnds, listWords } from './work-words.ts';

const partTables = new WeakMap<Knowledge, WordPatterns<string>>();

function tableOf(knowledge: Knowledge): WordPatterns<string> {
  const made =
    partTables.get(knowledge) ??
    buildPatterns(
      knowledge.parts.flatMap((part) => [
        ...part.words.map((word): [string, string] => [word, part.id]),
        ...part.not.map((word): [string, string] => [word, noPart]),
      ]),
    );
  partTables.set(knowledge, made);
  return made;
}

/** Stands for words that hold a part's word and name none: "brake cleaner". */
const noPart = '';

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
    const matches = matchPatterns(patterns, words, index);
    const match = matches.find((item) => item.last === matches[0]!.last && item.value !== noPart) ?? matches[0];
    if (match) {
      if (match.value !== noPart) parts.push({ part: match.value, first: match.first, last: match.last });
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
  const subject = subjectOf(words, verb, parts, begin);
  const listed = subject.isPassive && words[verb.last]?.key !== ':' && !isHeading(words, verb);
  return (
    covering(parts, verb) ??
    (subject.isPassive ? before(words, parts, subject.end, begin)?.slice(isNoun(words, verb) ? -1 : 0) : null) ??
    (listed || startsElsewhere(words, verb, parts) ? null : after(words, parts, verb.last, tokens)) ??
    (subject.isPassive ? null : trailing(words, parts, verb, begin)) ??
    meantByPronoun(words, parts, verb, subject.hasPronoun)
  );
}

/** "Another MAF clean", "the plug change": of the part just before alone. */
function isNoun(words: readonly Word[], verb: Verb): boolean {
  return /^(?:clean|change|swap|job|replacement)$/.test(words[verb.first]!.raw);
}

interface Subject {
  /** The parts stand before the verb: "plugs and coils were replaced", "fuel pump tested fine". */
  readonly isPassive: boolean;
  /** Word behind the subject. */
  readonly end: number;
  /** "It was replaced". */
  readonly hasPronoun: boolean;
}

const beForms = new Set(['was', 'were', 'been', 'being', 'is', 'are', 'got', "it's"]);
/** Behind a part's own words: "brake system", "coil assembly". */
const partTails = stemSet(
  'system assembly unit set pair itself thing circuit box seal bolt bearing package kit job side',
);

function subjectOf(words: readonly Word[], verb: Verb, parts: readonly Part[], begin: number): Subject {
  let index = verb.first - 1;
  let hasBe = false;
  while (index >= begin && verb.first - index <= 6 && (auxiliaries.has(words[index]!.key) || words[index]!.filler)) {
    if (beForms.has(words[index]!.raw)) hasBe = true;
    index -= 1;
  }
  // "EGR valve pulled and cleaned": past the verb that shares the subject.
  if (words[index]?.key === 'and' && words[index - 1]?.raw.endsWith('ed')) {
    index -= 2;
    while (index >= begin && (auxiliaries.has(words[index]!.key) || words[index]!.filler)) index -= 1;
  }
  const nextTail = index - begin >= 1 && partTails.has(words[index]?.key ?? '') ? index - 1 : index;
  const endsAt = (word: number) => parts.some((part) => part.last === word + 1);
  const isAdjective = adjectives.has(words[verb.first]!.key);
  if (isAdjective) hasBe = false;
  const end = endsAt(index) ? index + 1 : endsAt(nextTail) ? nextTail + 1 : -1;
  const isBracket = hasBe && index >= begin && words[index]!.key === ')';
  const hasPronoun = hasBe && index >= begin && pronouns.has(words[index]!.raw);
  return {
    isPassive: end >= 0 || isBracket || hasBe,
    end: end >= 0 ? end : verb.first,
    hasPronoun,
  };
}

const headings = stemSet('part item thing bit component work list stuff');

/** "The parts replaced were the back box and the cat". */
function isHeading(words: readonly Word[], verb: Verb): boolean {
  return headings.has(words[verb.first - 1]?.key ?? '') && beForms.has(words[verb.last]?.raw ?? '');
}

const elsewhere = stemSet('at by with from in into');

/** "Switch tested at the control unit": what follows is the place and not the part. */
function startsElsewhere(words: readonly Word[], verb: Verb, parts: readonly Part[]): boolean {
  const next = words[verb.last]?.key ?? '';
  if (next === ',') return !parts.some((part) => part.last === verb.last);
  return verb.last - verb.first === 1 && elsewhere.has(next);
}

/** A part whose words hold the verb ("exhaust welded"), or that the verb's words hold ("ran some injector cleaner"). */
function covering(parts: readonly Part[], verb: Verb): Part[] | null {
  const place = partAt(parts, verb.first);
  const part = parts[place - 1];
  if (part && part.last > verb.first) return [part];
  const inside = parts[place];
  return inside &&
    (verb.action === 'cleaned' || verb.action === 'tested') &&
    inside.first > verb.first &&
    inside.last === verb.last
    ? [inside]
    : null;
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
    if (key === 'no' && found.length > 0) break;
    if (key === 'so' && words[index + 1]?.key === 'far') {
      index += 2;
      continue;
    }
    if (index > start + 1 && beginsWork(words, index)) break;
    if (key === ':' && found.length === 0) isList = true;
    else if (
      key === '\n'
        ? !isList || words[index + 1]?.key === '\n'
        : barrier && key !== '(' && key !== ')' && !(isList && (key === '.' || key === ')'))
    )
      break;
    else if (
      listEnds.has(key) &&
      tokens[index]!.kind === 'word' &&
      !(found.length === 0 && beForms.has(words[index]!.raw))
    )
      break;
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
    if (index < end - 1 && beginsWork(words, index)) break;
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

const mending = new Set(
  'patched welded sealed soldered mended tightened retightened reconnected reattached reseated plugged taped closed cleaned rewired adjusted'.split(
    ' ',
  ),
);
/** Done to pipes, hoses and castings, never to a sensor. */
const patching = new Set('patched welded sealed soldered taped plugged closed'.split(' '));
const damage = stemSet('leak hole crack split gap tear rust joint');

/** "... the oxygen sensor, so I changed it", "and it was replaced": the part named last before the verb. */
function meantByPronoun(
  words: readonly Word[],
  parts: readonly Part[],
  verb: Verb,
  hasPronounSubject: boolean,
): Part[] | null {
  const raw = words[verb.first]!.raw;
  const isMeant =
    hasPronounSubject ||
    [0, 1, 2].some(
      (step) => pronouns.has(words[verb.last + step]?.raw ?? '') && (step === 0 || words[verb.last]!.raw !== 'the'),
    ) ||
    (verb.action === 'repaired' && [0, 1, 2].some((step) => damage.has(words[verb.last + step - 1]?.key ?? '')));
  if (raw === 'did' || raw === 'done') return null;
  // "It fixed it" and "I cleared it" mean the trouble, not a part.
  if (!isMeant || (verb.action === 'repaired' && !mending.has(raw)) || verb.action === 'swapped') return null;
  const isPatched = verb.action === 'repaired' && patching.has(raw);
  const isReset = verb.action === 'reset' || words[verb.first]!.key === 'wip';
  for (
    let index = partAt(parts, verb.first) - 1;
    index >= 0 && parts[index]!.last > verb.first - pronounReach;
    index -= 1
  ) {
    const { part } = parts[index]!;
    if (isPatched && /sensor|catalyst|meter/.test(part)) continue;
    if (isReset ? part === 'learned-values' : !general.has(part))
      return [{ ...parts[index]!, first: verb.first, last: verb.last }];
  }
  return isReset && hasCode(words, verb.first)
    ? [{ part: 'learned-values', first: verb.first, last: verb.last }]
    : null;
}

/** How far behind the verb its code may follow ("cleared it, P0420 came back") [words]. */
const codeBehind = 12;

/** Whether a trouble code stands close to a word ("P0301 ... I wiped them"). */
function hasCode(words: readonly Word[], end: number): boolean {
  const from = Math.min(words.length - 1, end + codeBehind);
  for (let index = from; index > Math.max(0, end - 2 * pronounReach); index -= 1)
    if (/^\d{3,4}$/.test(words[index]!.key) && /^(?:p|po|pd|b|c|u)$/.test(words[index - 1]?.key ?? '')) return true;
  return false;
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
