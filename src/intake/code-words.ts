// Trouble codes given by their definition and not by their number: "system too lean bank 1", "cylinder 3 misfire detected". The words are
// those of knowledge/code-words; the bank and sensor said beside them choose the code. read-codes.ts calls it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import { splitChunks } from './chunks.ts';
import { type CodeMention, isStandard } from './code-mention.ts';
import { buildPhraseTable, matchPhrase, type PhraseTable } from './phrase-table.ts';
import { findPlaces, type Place } from './places.ts';
import { isTaken, type ReaderInput } from './reader.ts';
import type { Token } from './tokens.ts';

interface Definition {
  readonly codes: readonly string[];
  readonly cylinder: number | null;
}

/** Most cylinders that an engine of this trade has. */
const mostCylinders = 12;
/** How far from its definition a place may stand [tokens]. */
const reach = 5;

const tables = new WeakMap<Knowledge['codeWords'], PhraseTable<Definition>>();

function tableOf(knowledge: Knowledge): PhraseTable<Definition> {
  const known = tables.get(knowledge.codeWords);
  if (known) return known;
  const phrases: Array<readonly [string, Definition]> = [];
  for (const { words, codes } of knowledge.codeWords) {
    for (const phrase of words) {
      if (!phrase.includes('#')) phrases.push([phrase, { codes, cylinder: null }]);
      else
        for (let cylinder = 1; cylinder <= mostCylinders; cylinder += 1)
          phrases.push([phrase.replace('#', String(cylinder)), { codes, cylinder }]);
    }
  }
  const table = buildPhraseTable(phrases);
  tables.set(knowledge.codeWords, table);
  return table;
}

/**
 * Codes that a post gives in words, in order of place.
 *
 * @param written codes given by their numbers: a definition right behind one is its text and no further code
 */
export function findCodeWords(
  input: ReaderInput,
  knowledge: Knowledge,
  written: readonly CodeMention[],
): CodeMention[] {
  const { tokens } = input;
  const table = tableOf(knowledge);
  const mentions: CodeMention[] = [];
  let places: readonly Place[] | null = null;
  let before = 0;
  for (let index = 0; index < tokens.length; index += 1) {
    const found = tokens[index]!.kind === 'word' ? matchPhrase(table, tokens, index) : null;
    if (!found) continue;
    const last = found.last;
    while (before < written.length && written[before]!.last <= index) before += 1;
    if (
      isTaken(input.taken, tokens[index]!.start, tokens[last - 1]!.end) ||
      isTextOf(tokens, written[before - 1], index)
    )
      continue;
    places ??= findPlaces(tokens, splitChunks(tokens));
    const beside = needsPlace(found.value) ? placesBeside(tokens, places, index, last) : [];
    const first = Math.min(index, ...beside.map((place) => place.first));
    const end = Math.max(last, ...beside.map((place) => place.last));
    for (const code of codesAt(knowledge, found.value, beside))
      mentions.push({
        code,
        standard: isStandard(code),
        start: tokens[first]!.start,
        end: tokens[end - 1]!.end,
        token: index,
        last,
        inWords: true,
      });
    index = last - 1;
  }
  return mentions;
}

/** "P0171 - System too lean": the words explain the number before them, unless a comma makes a list of both. */
function isTextOf(tokens: readonly Token[], code: CodeMention | undefined, first: number): boolean {
  if (!code || first - code.last > 8) return false;
  if (!code.standard) return true;
  for (let at = code.last; at < first; at += 1) if (/^(,|and|;|&|also|plus)$/.test(tokens[at]!.text)) return false;
  return true;
}

/** Places right behind the definition ("bank 1 and bank 2"), else right before it. */
function placesBeside(tokens: readonly Token[], places: readonly Place[], first: number, last: number): Place[] {
  const behind: Place[] = [];
  let end = last;
  for (const place of places) {
    if (place.first < end) continue;
    if (place.first - end > reach || !joins(tokens, end, place.first)) break;
    behind.push(place);
    end = place.last;
  }
  if (behind.length > 0) return behind;
  const before = places.findLast((place) => place.last <= first);
  return before && first - before.last <= reach && joins(tokens, before.last, first) ? [before] : [];
}

function joins(tokens: readonly Token[], from: number, to: number): boolean {
  for (let at = from; at < to; at += 1)
    if (
      !/^(\(|\)|,|-|:|\/|on|for|of|in|and|&|both|the|malfunction|detected|problem|is|,|code|codes)$/.test(
        tokens[at]!.text,
      )
    )
      return false;
  return true;
}

function needsPlace({ codes, cylinder }: Definition): boolean {
  return cylinder === null && codes.length > 1;
}

/** Of a definition's codes those of the places said; all that fit one place, and none where the place is needed and not said. */
function codesAt(knowledge: Knowledge, definition: Definition, places: readonly Place[]): string[] {
  const entries = definition.codes.flatMap((id) => knowledge.codes.byId.get(id) ?? []);
  if (definition.cylinder !== null)
    return entries.filter(({ cylinder }) => cylinder === definition.cylinder).map(({ id }) => id);
  if (!needsPlace(definition)) return [...definition.codes];
  const needsSensor = entries.some(({ sensor }) => sensor !== null);
  return places.flatMap((place, index) => {
    // "bank 1, sensor 2" may stand as two places.
    const next = places[index + 1];
    const sensor = place.sensor ?? (place.bank !== null && next?.bank === null ? next.sensor : null);
    const banks = place.bothBanks ? [1, 2] : place.bank === null ? [] : [place.bank];
    return entries
      .filter((entry) => banks.includes(entry.bank ?? 0) && (!needsSensor || entry.sensor === sensor))
      .map(({ id }) => id);
  });
}
