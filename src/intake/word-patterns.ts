// Phrases with a little freedom, found by looking up word stems: never by regular expressions built from data, so that the
// time stays linear in the text whatever the phrases are. Symptoms, requests and the cues of language use it.
//
// A phrase is words with blanks between; inflections, articles and small adverbs need not be written (words.ts).
//   `black|dark smoke`     either word; `smoke|= black` the first word or nothing
//   `light .. on`          up to four other words between, inside one clause
//   `#`                    any number
//   `!started`             this form only: not "starts" or "starting"
//   `i =was told`          a small word that counts here, although it is passed over elsewhere
import { splitTokens } from './tokens.ts';
import { stemWord } from './word-stem.ts';
import { toWords, type Word } from './words.ts';

interface Step {
  /** Up to four words may stand before it. */
  readonly afterGap: boolean;
  /** One of the alternatives was empty. */
  readonly optional: boolean;
  /** Alternatives by their first stem; each the stems that follow. */
  readonly alternatives: ReadonlyMap<string, ReadonlyArray<readonly string[]>>;
}

interface Pattern<Value> {
  readonly steps: readonly Step[];
  readonly value: Value;
}

export interface WordPatterns<Value> {
  /** Patterns by the stems with which they may begin. */
  readonly byFirst: ReadonlyMap<string, ReadonlyArray<Pattern<Value>>>;
  /** Every word of the phrases, as stems. */
  readonly vocabulary: ReadonlySet<string>;
}

export interface PatternMatch<Value> {
  readonly value: Value;
  /** Word indexes [first, last). */
  readonly first: number;
  readonly last: number;
  /** Words of the phrase that were met. */
  readonly length: number;
  /** Word indexes that a `..` passed over, [from, to); empty when there was none. */
  readonly gap: readonly [number, number];
}

/** Words that one `..` may pass over, and small words that may stand between two words of a phrase. */
const gapReach = 4;
const fillerReach = 4;

/** Builds the look-up. A phrase without any word of its own is left out. */
export function buildPatterns<Value>(entries: Iterable<readonly [string, Value]>): WordPatterns<Value> {
  const byFirst = new Map<string, Array<Pattern<Value>>>();
  const vocabulary = new Set<string>();
  for (const [phrase, value] of entries) {
    const steps = phraseSteps(phrase);
    if (steps.every((step) => step.optional)) continue;
    const pattern = { steps, value };
    for (const step of steps) {
      for (const key of step.alternatives.keys()) {
        const list = byFirst.get(key);
        if (!list) byFirst.set(key, [pattern]);
        else if (list.at(-1) !== pattern) list.push(pattern);
      }
      if (!step.optional) break;
    }
    for (const step of steps)
      for (const [key, rests] of step.alternatives)
        for (const stem of [key, ...rests.flat()])
          vocabulary.add(stem.startsWith('!') ? stemWord(stem.slice(1)) : stem);
  }
  return { byFirst, vocabulary };
}

function phraseSteps(phrase: string): Step[] {
  const written = phrase
    .toLowerCase()
    .split(' ')
    .filter((word) => word.length > 0);
  const onlyFillers = written.every((word) => word.split('|').every((part) => stemsOf(part, false).length === 0));
  const steps: Step[] = [];
  let afterGap = false;
  for (const word of written) {
    if (word === '..') {
      afterGap = steps.length > 0;
      continue;
    }
    const isMarked = word.startsWith('=') && word.length > 1;
    const alternatives = new Map<string, string[][]>();
    let optional = false;
    for (const part of (isMarked ? word.slice(1) : word).split('|')) {
      if (part.startsWith('!') && part.length > 1) {
        alternatives.set(part, [[]]);
        continue;
      }
      const kept = part.startsWith('=') && part.length > 1;
      const [first, ...rest] =
        part === '=' ? [] : stemsOf(kept ? part.slice(1) : part, onlyFillers || isMarked || word.includes('|'));
      if (first === undefined) optional = true;
      else alternatives.set(first, [...(alternatives.get(first) ?? []), rest]);
    }
    if (alternatives.size === 0) continue;
    steps.push({ afterGap, optional, alternatives });
    afterGap = false;
  }
  return steps;
}

function stemsOf(written: string, keepFillers: boolean): string[] {
  return toWords(splitTokens(written))
    .filter((word) => word.key === '#' || (keepFillers ? /[a-z0-9]/.test(word.key) : !word.filler))
    .map((word) => word.key);
}

/** All phrases that begin at word `first`, the longest first; at most one match a value. */
export function matchPatterns<Value>(
  patterns: WordPatterns<Value>,
  words: readonly Word[],
  first: number,
): Array<PatternMatch<Value>> {
  const key = words[first]!.key;
  const candidates = patterns.byFirst.get(key) ?? [];
  const others = patterns.byFirst.get(isNumber(key) ? '#' : `!${words[first]!.raw}`) ?? [];
  if (candidates.length === 0 && others.length === 0) return [];
  const found = new Map<Value, PatternMatch<Value>>();
  for (const pattern of [...candidates, ...others]) {
    const best = walk(pattern.steps, 0, words, first, { first, length: 0, gap: [0, 0] });
    if (!best) continue;
    const earlier = found.get(pattern.value);
    if (!earlier || earlier.length < best.length || (earlier.length === best.length && earlier.last < best.last))
      found.set(pattern.value, { ...best, value: pattern.value });
  }
  return [...found.values()].sort((a, b) => b.length - a.length || b.last - a.last);
}

interface Path {
  readonly first: number;
  readonly length: number;
  readonly gap: readonly [number, number];
}
type Reached = Path & { readonly last: number };

function walk(steps: readonly Step[], at: number, words: readonly Word[], index: number, path: Path): Reached | null {
  const step = steps[at];
  if (step === undefined) return path.length > 0 ? { ...path, last: index } : null;
  const isGap = step.afterGap && path.length > 0;
  let best: Reached | null = null as Reached | null;
  let passed = 0;
  let skipped = 0;
  for (let place = index; place < words.length; place += 1) {
    const word = words[place]!;
    const isFirst = path.length === 0;
    if (word.barrier) break;
    const end = endOfAlternative(step, words, place);
    if (end > place) {
      const gap: Path['gap'] = isGap && place > index ? [index, place] : path.gap;
      const reached = walk(steps, at + 1, words, end, { ...path, length: path.length + 1, gap });
      if (reached && (!best || reached.length > best.length)) best = reached;
      if (best) break;
    }
    if (isFirst) break;
    if (isGap) {
      if (gapEnds.has(word.key)) break;
      if (!word.filler && word.key !== '\n') passed += 1;
      if (passed > gapReach || place - index > gapReach + fillerReach) break;
    } else {
      if (!(word.filler || word.key === '\n')) break;
      skipped += 1;
      if (skipped > fillerReach) break;
    }
  }
  if (step.optional) {
    const without = walk(steps, at + 1, words, index, path);
    if (without && (!best || without.length > best.length)) best = without;
  }
  return best;
}

/** Word after the alternative that stands at `place`; `place` itself when none does. */
function endOfAlternative(step: Step, words: readonly Word[], place: number): number {
  const key = words[place]!.key;
  let end = place;
  if (step.alternatives.has(`!${words[place]!.raw}`)) end = place + 1;
  for (const rest of step.alternatives.get(key) ?? []) {
    let next = place + 1;
    let isMet = true;
    for (const stem of rest) {
      while (next < place + fillerReach && words[next]?.filler && words[next]?.key !== stem) next += 1;
      if (words[next]?.key !== stem) {
        isMet = false;
        break;
      }
      next += 1;
    }
    if (isMet) end = Math.max(end, next);
  }
  if (end === place && isNumber(key) && step.alternatives.has('#')) return endOfNumber(words, place);
  return end;
}

/** A gap does not run into another statement. */
const gapEnds = new Set([
  ',',
  'but',
  'however',
  'although',
  'though',
  'becaus',
  'if',
  'until',
  'unles',
  'and',
  'or',
  'whil',
  'when',
  'except',
  'apart',
]);

function isNumber(key: string): boolean {
  const first = key.charCodeAt(0);
  return first >= 48 && first <= 57;
}

/** Index after a number that may have a decimal part. */
function endOfNumber(words: readonly Word[], index: number): number {
  const mark = words[index + 1];
  const digits = words[index + 2];
  return mark && digits && (mark.key === '.' || mark.key === ',') && isNumber(digits.key) ? index + 3 : index + 1;
}
