// What a request is about where that is a thing: the bank and sensor, a part, or a code named in its sentence.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { RequestFinding } from '../vocabulary/findings.ts';
import type { Chunk } from './chunks.ts';
import { findPlaces } from './places.ts';
import type { ReaderInput } from './reader.ts';
import { buildPatterns, matchPatterns, type WordPatterns } from './word-patterns.ts';
import type { Word } from './words.ts';

export interface Sentence {
  readonly input: ReaderInput;
  readonly words: readonly Word[];
  readonly chunks: readonly Chunk[];
  readonly knowledge: Knowledge;
  /** Token indexes of the sentence [begin, end). */
  readonly begin: number;
  readonly end: number;
  /** Where the request's words begin. */
  readonly first: number;
}

const partTables = new WeakMap<Knowledge, WordPatterns<string>>();

/** Item of a request, or null: `bank-1-sensor-2`, `bank-2`, `sensor-2`, a part's id, a code in capitals. */
export function findItem(about: RequestFinding['about'], sentence: Sentence): string | null {
  if (about === 'code-meaning') return codeIn(sentence);
  if (about === 'location') return placeIn(sentence) ?? partIn(sentence) ?? null;
  if (about === 'how-to') return placeIn(sentence) ?? partIn(sentence);
  if (about === 'cleaning') {
    if (hasSolvent(sentence)) return 'petrol-soak';
    return partIn(sentence) ?? 'oxygen-sensor';
  }
  return null;
}

function codeIn({ chunks, begin, end }: Sentence): string | null {
  for (
    let index = chunkAt(chunks, begin);
    index < chunks.length && chunks[index]!.first < Math.min(end, begin + 200);
    index += 1
  ) {
    const { text } = chunks[index]!;
    if (/^[pbcu][0-3o][0-9a-fo]{3}$/.test(text)) return (text[0]! + text.slice(1).replaceAll('o', '0')).toUpperCase();
  }
  return null;
}

/** Index of the first chunk that begins at or after a token. */
function chunkAt(chunks: readonly Chunk[], token: number): number {
  let low = 0;
  let high = chunks.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (chunks[middle]!.first < token) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The place that the sentence names; null when it names none, or several. */
function placeIn({ input, chunks, begin, end, first }: Sentence): string | null {
  const from = Math.max(begin, first - 40);
  const until = Math.min(end, first + 60);
  const nearChunks: Chunk[] = [];
  for (let index = chunkAt(chunks, from); index < chunks.length && chunks[index]!.last <= until; index += 1) {
    const chunk = chunks[index]!;
    nearChunks.push({ ...chunk, first: chunk.first - from, last: chunk.last - from });
  }
  const near = findPlaces(input.tokens.slice(from, until), nearChunks);
  const banks = new Set(near.flatMap((place) => (place.bank === null ? [] : [place.bank])));
  const sensors = new Set(near.flatMap((place) => (place.sensor === null ? [] : [place.sensor])));
  const bank = banks.size === 1 ? [...banks][0]! : null;
  const sensor = sensors.size === 1 ? [...sensors][0]! : null;
  if (bank !== null && sensor !== null) return `bank-${bank}-sensor-${sensor}`;
  if (bank !== null) return `bank-${bank}`;
  if (sensor !== null)
    return sensor === 1 ? 'upstream-sensor' : sensor === 2 ? 'downstream-sensor' : `sensor-${sensor}`;
  return null;
}

function partIn({ words, knowledge, begin, end, first }: Sentence): string | null {
  const made =
    partTables.get(knowledge) ??
    buildPatterns(knowledge.parts.flatMap((part) => part.words.map((word): [string, string] => [word, part.id])));
  partTables.set(knowledge, made);
  const find = (from: number, to: number): string | null => {
    for (let index = from; index < to; index += 1) {
      const match = matchPatterns(made, words, index)[0];
      if (match && !tooGeneral.has(match.value)) return match.value;
    }
    return null;
  };
  return find(first, Math.min(end, first + 40)) ?? find(Math.max(begin, first - 40), first);
}

/** Parts whose words stand in nearly every post. */
const tooGeneral = new Set(['engine', 'fuel', 'learned-values', 'engine-oil', 'control-unit']);

const solvents =
  /^(?:petrol|gasoline|gas|solvent|thinner|thinners|acetone|kerosene|paraffin|diesel|seafoam|cleaner|wd)$/;

function hasSolvent({ input, begin, end, first }: Sentence): boolean {
  for (let index = Math.max(begin, first - 20); index < Math.min(end, first + 25); index += 1)
    if (solvents.test(input.tokens[index]!.text)) return true;
  return false;
}
