// Reads work already done: what was replaced, cleaned, tested, reset, swapped, repaired or unplugged, on which part, and what
// came of it. Plans, advice and questions ("should I replace the sensor?") are not work done.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { WorkDoneFinding } from '../vocabulary/findings.ts';
import { splitChunks } from './chunks.ts';
import { findingBase } from './finding-base.ts';
import { isAdjective, isWorkDone } from './is-work-done.ts';
import { findPlaces, type Place } from './places.ts';
import { findChecks } from './read-checks.ts';
import type { ReaderInput, ReaderResult } from './reader.ts';
import { sentenceBounds } from './sentence-bounds.ts';
import { matchPatterns } from './word-patterns.ts';
import { type Word, wordsOf } from './words.ts';
import { beginsWork, findParts, type Part, partsOf, type Verb } from './work-parts.ts';
import { type Action, actionPatterns, resultPatterns, type WorkResult } from './work-words.ts';

/** Reads all work done; one finding for each part of a list. Linear. */
export function readWork(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const { tokens } = input;
  const words = wordsOf(tokens);
  const bounds = sentenceBounds(input.clauses, tokens.length);
  const parts = findParts(words, knowledge);
  const places = findPlaces(tokens, splitChunks(tokens));
  const findings: WorkDoneFinding[] = [];
  const seen = new Set<string>();
  for (let index = 0; index < tokens.length; index += 1) {
    if (tokens[index]!.kind !== 'word') continue;
    const matches = matchPatterns(actionPatterns, words, index).filter(
      (match, place, all) => match.last === all[0]!.last || place === 0 || match.value === 'reset',
    );
    let read = index;
    for (const match of matches) {
      const [begin, end] = bounds(index);
      const verb: Verb = { action: match.value, first: index, last: match.last };
      if (!isWorkDone(input, words, verb, begin, parts)) continue;
      const found = partsOf(words, tokens, parts, verb, begin);
      if (!found) continue;
      const result = resultOf(words, verb, found, begin, end, bounds, tokens.length);
      const action = isAdjective(words, verb) ? 'replaced' : verb.action;
      const fresh = found.flatMap((part) => findingOf({ ...verb, action }, part, result, found));
      findings.push(...fresh);
      if (fresh.length > 0) {
        read = match.last - 1;
        break;
      }
    }
    index = Math.max(index, read);
  }
  for (const { part, last, action } of findChecks(input, words, parts)) {
    if (findings.some((finding) => finding.part === part.part && finding.action === action)) continue;
    const place = placeOf(places, part);
    findings.push({
      ...findingBase(input, tokens[part.first]!.start, tokens[last - 1]!.end, part.first),
      kind: 'work-done',
      action,
      part: nameOf(action, part, place, words, []),
      bank: place?.bank ?? null,
      sensor: place?.sensor ?? null,
      result: action === 'tested' ? 'found-good' : null,
    });
  }
  return { findings: withoutRepeats(findings), conflicts: [], used: [] };

  function findingOf(verb: Verb, part: Part, result: WorkResult | null, list: readonly Part[]): WorkDoneFinding[] {
    const action = actionOn(actionIn(words, part) ?? actionMeant(words, verb, part), part.part);
    if (action === null || (isGerund(input, verb) && result === null)) return [];
    // "New filter, another MAF clean": the second is work of its own.
    if (part.first > verb.first && /^(?:clean|change|swap)$/.test(words[part.last]?.raw ?? '')) return [];
    const key = `${action} ${part.part} ${part.first}`;
    if (seen.has(key)) return [];
    seen.add(key);
    const from = Math.min(verb.first, part.first);
    const to = Math.max(verb.last, part.last);
    const isNear = tokens[to - 1]!.end - tokens[from]!.start <= 160;
    const start = tokens[isNear ? from : part.first]!.start;
    const stop = tokens[(isNear ? to : part.last) - 1]!.end;
    const place = placeOf(places, part);
    return [
      {
        ...findingBase(input, start, stop, verb.first),
        kind: 'work-done',
        action,
        part: nameOf(verb.action, part, place, words, list),
        bank: place?.bank ?? null,
        sensor: place?.sensor ?? null,
        result: result && fits(action, result) ? result : null,
      },
    ];
  }
}

/** "Plugs and wires" are ignition leads; an oxygen sensor whose place is named is the upstream or downstream one. */
function nameOf(
  action: Action,
  part: Part,
  place: Place | null,
  words: readonly Word[],
  list: readonly Part[],
): string {
  // "Maps reset": learned maps, not the manifold pressure sensor.
  if (action === 'reset' && (part.part === 'map-sensor' || part.part === 'fuel' || part.part === 'engine'))
    return 'learned-values';
  if (part.part === 'wiring' && words[part.last - 1]!.key === 'wir' && list.some((other) => ignition.has(other.part)))
    return 'ignition-leads';
  if (part.part === 'distributor' && isBrakeRotor(words, part, list)) return 'brakes';
  if (part.part === 'oxygen-sensor' && place?.sensor)
    return place.sensor === 1 ? 'upstream-sensor' : 'downstream-sensor';
  return part.part;
}

/** "Swapped for a used one" is replaced; plugs are pulled to be looked at. */
function actionMeant(words: readonly Word[], verb: Verb, part: Part): Action {
  if (verb.action === 'disconnected' && part.part === 'spark-plugs') return 'tested';
  if (verb.action !== 'swapped') return verb.action;
  const behind = Math.max(verb.last, part.last);
  const [link, article, kind] = [0, 1, 2].map((step) => words[behind + step]?.raw ?? '');
  const isOther = /^(?:a|an|another|one)$/.test(article ?? '');
  if (link === 'for' && isOther) return 'replaced';
  return link === 'with' && isOther && /^(?:new|used|junkyard|rebuilt|secondhand|aftermarket)$/.test(kind ?? '')
    ? 'replaced'
    : verb.action;
}

/** What a part's own words say was done: "ran injector cleaner through it", "did a compression test". */
function actionIn(words: readonly Word[], part: Part): Action | null {
  const last = words[part.last - 1]!.raw;
  if (part.part === 'injectors' && /^(?:cleaner|treatment|fluid|cleaning)$/.test(last)) return 'cleaned';
  return /^(?:test|check|tests)$/.test(last) && part.last - part.first > 1 ? 'tested' : null;
}

/** Brake discs are rotors too: several of them, or with pads and calipers. */
function isBrakeRotor(words: readonly Word[], part: Part, list: readonly Part[]): boolean {
  const { raw } = words[part.last - 1]!;
  if (raw !== 'rotor' && raw !== 'rotors') return false;
  if (list.some((other) => ignition.has(other.part) && other !== part && other.part !== 'distributor')) return false;
  return raw === 'rotors' || list.some((other) => other.part === 'brakes');
}

const ignition = new Set(['spark-plugs', 'distributor', 'ignition-coils']);

/** "Replacing it looks easy" tells of nothing done; "replacing it changed nothing" does. */
function isGerund(input: ReaderInput, verb: Verb): boolean {
  if (!input.tokens[verb.first]!.text.endsWith('ing')) return false;
  const clause = input.clauses.clauseAt(verb.first);
  for (let index = verb.first - 1; index >= Math.max(clause.first, verb.first - 8); index -= 1)
    if (/^(?:after|since|by|despite|tried|finished|up)$/.test(input.tokens[index]!.text)) return false;
  return true;
}

/** What holds learnt values. */
const resettable = new Set([
  'learned-values',
  'control-unit',
  'map-sensor',
  'fuel',
  'engine',
  'battery',
  'throttle-body',
]);

/** Codes and learned values are only ever cleared: wiping them is a reset, and nobody replaces or unplugs them. */
function actionOn(action: Action, part: string): Action | null {
  if (action === 'reset') return resettable.has(part) ? action : null;
  if (part !== 'learned-values') return action;
  return action === 'cleaned' ? 'reset' : null;
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
    const isTest =
      verb.action === 'tested' || verb.action === 'cleaned' || actionMeant(words, verb, parts[0]!) === 'tested';
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
        other.car === finding.car,
    );
    if (same < 0) kept.push(finding);
    else if (kept[same]!.result === null && finding.result !== null)
      kept[same] = { ...kept[same]!, result: finding.result };
  }
  return kept;
}
