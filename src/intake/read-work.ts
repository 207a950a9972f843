// Reads work already done: what was replaced, cleaned, tested, reset, swapped, repaired or unplugged, on which part, and what
// came of it. Plans, advice and questions ("should I replace the sensor?") are not work done.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { WorkDoneFinding } from '../vocabulary/findings.ts';
import { splitChunks } from './chunks.ts';
import { findingBase } from './finding-base.ts';
import { findPlaces, type Place } from './places.ts';
import type { ReaderInput, ReaderResult } from './reader.ts';
import { sentenceBounds } from './sentence-bounds.ts';
import type { Token } from './tokens.ts';
import { buildPatterns, matchPatterns, type WordPatterns } from './word-patterns.ts';
import { stemSet } from './word-stem.ts';
import { type Word, wordsOf } from './words.ts';
import {
  type Action,
  actionPatterns,
  listEnds,
  listWords,
  notDone,
  resultPatterns,
  type WorkResult,
} from './work-words.ts';

const partTables = new WeakMap<Knowledge, WordPatterns<string>>();

function partsOf(knowledge: Knowledge): WordPatterns<string> {
  const made =
    partTables.get(knowledge) ??
    buildPatterns(knowledge.parts.flatMap((part) => part.words.map((word): [string, string] => [word, part.id])));
  partTables.set(knowledge, made);
  return made;
}

interface Part {
  readonly part: string;
  readonly first: number;
  readonly last: number;
}

/** Reads all work done; one finding for each part of a list. Linear. */
export function readWork(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const { tokens } = input;
  const words = wordsOf(tokens);
  const bounds = sentenceBounds(input.clauses, tokens.length);
  const parts = findParts(words, partsOf(knowledge));
  const places = findPlaces(tokens, splitChunks(tokens));
  const findings: WorkDoneFinding[] = [];
  const seen = new Set<string>();
  for (let index = 0; index < tokens.length; index += 1) {
    if (tokens[index]!.kind !== 'word') continue;
    const match = matchPatterns(actionPatterns, words, index)[0];
    if (!match) continue;
    const [begin, end] = bounds(index);
    const verb: Verb = { action: match.value, first: index, last: match.last };
    if (!isDone(input, words, verb, begin)) continue;
    const passive = isPassive(words, verb, parts, begin);
    const found =
      covering(parts, verb) ??
      (passive ? before(words, parts, verb.first, begin) : null) ??
      after(words, parts, verb.last, tokens) ??
      (passive ? null : trailing(words, parts, verb, begin));
    if (!found) continue;
    const result = resultOf(words, verb, found, begin, end, bounds, tokens.length);
    for (const part of found) {
      const action = actionOn(verb.action, part.part, words, part);
      const key = `${action} ${part.part} ${part.first}`;
      if (seen.has(key)) continue;
      seen.add(key);
      const from = Math.min(verb.first, part.first);
      const to = Math.max(verb.last, part.last);
      const isNear = tokens[to - 1]!.end - tokens[from]!.start <= 160;
      const base = findingBase(
        input,
        tokens[isNear ? from : part.first]!.start,
        tokens[(isNear ? to : part.last) - 1]!.end,
        verb.first,
      );
      const place = placeOf(places, part);
      const name = nameOf(part, place, words, found);
      findings.push({
        ...base,
        kind: 'work-done',
        action,
        part: name,
        bank: place?.bank ?? null,
        sensor: place?.sensor ?? null,
        result: result && fits(action, result) ? result : null,
      });
    }
    index = match.last - 1;
  }
  return { findings: withoutRepeats(findings), conflicts: [], used: [] };
}

interface Verb {
  readonly action: Action;
  readonly first: number;
  readonly last: number;
}

/** The longest part at each place, none inside another. */
function findParts(words: readonly Word[], patterns: WordPatterns<string>): Part[] {
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

const bareForms = new Set([
  'replace',
  'renew',
  'change',
  'clean',
  'test',
  'check',
  'clear',
  'swap',
  'install',
  'measure',
  'inspect',
  'renews',
  'erase',
  'wipe',
  'wash',
  'scrub',
  'repair',
  'fix',
  'mend',
  'weld',
  'seal',
  'patch',
  'unplug',
  'disconnect',
  'remove',
  'tighten',
  'adjust',
  'delete',
  'pull',
  'take',
  'replaces',
  'upgrade',
  'changes',
  'checks',
  'tests',
  'fits',
  'swaps',
]);
const gerund = /ing$/;
const plans = stemSet(
  'thinking think consider considering about before without try trying recommend suggested suggest recommended mind worth help avoid start plan planning keep for of instead stop from',
);
const adjectives = stemSet(
  'new brand-new brand rebuilt reconditioned remanufactured refurbished junkyard used secondhand',
);
const having = stemSet(
  'have got get put fitted fit with got all are is replaced installed both run running after since were was brand completely and ,',
);
const wanting = stemSet('need buy want order price cost quote looking deserve require to');

/** Whether a verb tells of something done, by its own form and by what stands before it. */
function isDone(input: ReaderInput, words: readonly Word[], verb: Verb, begin: number): boolean {
  const { tokens } = input;
  const { mood, source } = input.clauses.clauseAt(verb.first).context;
  if (mood === 'question' || mood === 'supposed' || source === 'helper') return false;
  const form = tokens[verb.first]!.text;
  const clause = input.clauses.clauseAt(verb.first);
  const from = Math.max(begin, clause.first, verb.first - 8);
  if (adjectives.has(words[verb.first]!.key)) return isFittedNew(input.tokens, words, verb, from);
  for (let index = verb.first - 1; index >= from; index -= 1) {
    const { key, barrier } = words[index]!;
    if (barrier || key === ',') break;
    if (notDone.has(key) && !(key === 'can' || key === 'think')) return false;
  }
  if (bareForms.has(form)) return isHadDone(words, verb);
  if (gerund.test(form)) {
    for (let index = verb.first - 1; index >= from; index -= 1)
      if (plans.has(words[index]!.key)) return words[index]!.key === 'after';
    const opener = words[verb.first - 1]?.key ?? '';
    return (
      opener === 'after' || opener === 'by' || verb.first === clause.first || opener === 'sinc' || opener === 'despit'
    );
  }
  return true;
}

/** "Did you change": no; "I reset", "put", "swap" in past tense look like their base form. */
function isHadDone(words: readonly Word[], verb: Verb): boolean {
  const opener = words[verb.first - 1]?.key ?? '';
  return opener === 'did';
}

/** "got new plugs", "new cats went in", "all new": fitted; "needs a new cat", "a new one costs": not. */
function isFittedNew(tokens: readonly Token[], words: readonly Word[], verb: Verb, from: number): boolean {
  for (let index = verb.first - 1; index >= from; index -= 1) {
    const { key, barrier } = words[index]!;
    if (barrier) break;
    if (wanting.has(key) || (notDone.has(key) && tokens[index]!.text !== 'got')) return false;
  }
  const previous = words[verb.first - 1]?.key ?? '';
  if (having.has(previous)) return true;
  if ((previous === 'a' || previous === 'some') && having.has(words[verb.first - 2]?.key ?? '')) return true;
  for (let index = verb.last; index < Math.min(words.length, verb.last + 10); index += 1) {
    if (words[index]!.barrier) break;
    if (tookEffect.has(words[index]!.key)) return true;
  }
  return verb.first === from && words[verb.first]!.key === 'new';
}

const tookEffect = stemSet('went did made cured fixed fitted installed in helped solved');

const auxiliaries = stemSet(
  'was were been got have is are being all just already also recently then not each both came now',
);

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
function beginsWork(words: readonly Word[], index: number): boolean {
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

/** "Plugs and wires" are ignition leads; an oxygen sensor whose place is named is the upstream or downstream one. */
function nameOf(part: Part, place: Place | null, words: readonly Word[], list: readonly Part[]): string {
  if (part.part === 'wiring' && words[part.last - 1]!.key === 'wir' && list.some((other) => ignition.has(other.part)))
    return 'ignition-leads';
  if (part.part === 'oxygen-sensor' && place?.sensor)
    return place.sensor === 1 ? 'upstream-sensor' : 'downstream-sensor';
  return part.part;
}

const ignition = new Set(['spark-plugs', 'distributor', 'ignition-coils']);

/** Nobody replaces codes or fuel trims: wiping and clearing them is a reset, and a battery is reset by nothing. */
function actionOn(action: Action, part: string, _words: readonly Word[], _part: Part): Action {
  if (part === 'learned-values' && (action === 'cleaned' || action === 'disconnected' || action === 'repaired'))
    return 'reset';
  return action;
}

function fits(action: Action, result: WorkResult): boolean {
  if (result === 'found-good' || result === 'found-bad')
    return action === 'tested' || (action === 'cleaned' && result === 'found-bad');
  return action !== 'tested' || result === 'started-trouble';
}

/** How far behind the work its result is looked for [words]. */
const resultReach = 22;

function resultOf(
  words: readonly Word[],
  verb: Verb,
  parts: readonly Part[],
  begin: number,
  end: number,
  bounds: (token: number) => readonly [number, number],
  count: number,
): WorkResult | null {
  const last = Math.max(verb.last, parts.at(-1)!.last);
  const afterEnd = end < count ? bounds(end)[1] : end;
  const stop = Math.min(Math.max(end, afterEnd), last + resultReach);
  const opener = words[begin]?.key ?? '';
  const isAfter = ['after', 'sinc', 'ever', 'right'].some(
    (key) =>
      opener === key ||
      words[verb.first - 2]?.key === key ||
      words[verb.first - 3]?.key === key ||
      words[verb.first - 1]?.key === key,
  );
  for (let index = last; index < stop; index += 1) {
    // Other work begins: what follows is its own result.
    if (index >= end && beginsWork(words, index)) return null;
    const match = matchPatterns(resultPatterns, words, index).find(
      (item) => item.value !== 'started-trouble' || isAfter,
    );
    if (!match) continue;
    const isTest = verb.action === 'tested' || verb.action === 'cleaned';
    if ((match.value === 'found-good' || match.value === 'found-bad') && (!isTest || index - last > 8)) continue;
    return match.value;
  }
  return null;
}

function placeOf(places: readonly Place[], part: Part): Place | null {
  if (!/sensor/.test(part.part)) return null;
  return places.find((place) => place.first < part.last + 3 && place.last > part.first - 3 && !place.bothBanks) ?? null;
}

/** The same work on the same part told twice is one. */
function withoutRepeats(findings: readonly WorkDoneFinding[]): WorkDoneFinding[] {
  const kept: WorkDoneFinding[] = [];
  for (const finding of findings) {
    const same = kept.findIndex(
      (other) =>
        other.action === finding.action &&
        other.part === finding.part &&
        other.bank === finding.bank &&
        other.sensor === finding.sensor &&
        other.car === finding.car &&
        other.time === finding.time,
    );
    if (same < 0) kept.push(finding);
    else if (kept[same]!.result === null && finding.result !== null)
      kept[same] = { ...kept[same]!, result: finding.result };
  }
  return kept;
}
