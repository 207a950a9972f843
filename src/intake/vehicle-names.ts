// Finds makes and models in a post from knowledge/makes. read-engine.ts calls it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import { buildPhraseTable, matchPhrase, type PhraseTable } from './phrase-table.ts';
import type { ReadableText } from './readable-text.ts';
import type { Token } from './tokens.ts';

export interface VehicleName {
  /** Token indexes [first, last). */
  readonly first: number;
  readonly last: number;
  /** Maker and model as a reply would write them. */
  readonly vehicle: string;
  /** Id of knowledge/makes; null when several makers have a model of this name. */
  readonly make: string | null;
}

interface Owner {
  readonly make: string;
  readonly makerName: string;
  readonly shared: boolean;
}

interface Names {
  readonly makers: PhraseTable<{ make: string; makerName: string }>;
  readonly models: PhraseTable<readonly Owner[]>;
}

const tables = new WeakMap<Knowledge['makes'], Names>();

function namesOf(knowledge: Knowledge): Names {
  const known = tables.get(knowledge.makes);
  if (known) return known;
  const makers: Array<readonly [string, { make: string; makerName: string }]> = [];
  const models = new Map<string, Owner[]>();
  for (const entry of knowledge.makes) {
    for (const word of [entry.name, ...entry.words]) makers.push([word, { make: entry.id, makerName: entry.name }]);
    for (const [list, shared] of [
      [entry.models, false],
      [entry.shared, true],
    ] as const) {
      for (const model of list)
        models.set(model, [...(models.get(model) ?? []), { make: entry.id, makerName: entry.name, shared }]);
    }
  }
  const names = { makers: buildPhraseTable(makers), models: buildPhraseTable(models) };
  tables.set(knowledge.makes, names);
  return names;
}

/** Trim levels and body words that belong to the name when they follow it. */
const trims =
  /^(ex|lx|dx|le|xle|se|gt|gts|gti|slt|sle|sti|si|ltd|limited|sport|quattro|xlt|xl|ls|lt|lxi|vti|vtec|sr|srt|ti|cse|gls|glx|gl|sxt|es|touring|turbo|coupe|type|laredo|hybrid|estate|wagon|ghia|zetec|vr6|tdi|tsi|fsi|tfsi|vts|vtr|sri|sxi|st|rs|svt|cobra|v6|v8|t5|xi|ci|is|awd|4wd)$/;
const notTheCar =
  /^(dealer|dealers|dealership|garage|specialist|forum|parts|club|main|agent|mechanic|tech|oem|sensor|stealer|stealership|workshop|independent|service|part)$/;

/** Vehicles named in a post, in order of place. Linear in its length. */
export function findVehicles(text: ReadableText, tokens: readonly Token[], knowledge: Knowledge): VehicleName[] {
  const { makers, models } = namesOf(knowledge);
  const found: VehicleName[] = [];
  for (let index = 0; index < tokens.length; ) {
    const name = readVehicle(text, tokens, index, makers, models);
    if (name) {
      found.push(name);
      index = name.last;
    } else index += 1;
  }
  return found;
}

function readVehicle(
  text: ReadableText,
  tokens: readonly Token[],
  index: number,
  makers: Names['makers'],
  models: Names['models'],
): VehicleName | null {
  const token = tokens[index]!;
  if (!token.spaced && index > 0 && /^[-.]$/.test(tokens[index - 1]!.text) && tokens[index - 1]!.spaced === false)
    return null;
  if (!token.spaced && index > 0 && tokens[index - 1]!.kind === 'number' && token.kind === 'word') return null;
  const maker = matchPhrase(makers, tokens, index);
  if (maker) {
    if (notTheCar.test(tokens[maker.last]?.text ?? '')) return null;
    const model = modelAfter(tokens, maker.last, maker.value.make, models);
    const last = withTrims(text, tokens, model ?? maker.last, model !== null);
    // A maker's short word must not be a common one written small ("mini", "seat", "mg", "ram", "rover").
    if (
      model === null &&
      /^(mini|seat|mg|ram|rover|smart|holden|eagle|geo|saturn|mercury|lincoln|great wall|mb|reno|jag|caddy|infinity|sterling|tata|scion|pug|olds|dodge|lotus|aston|morgan|benz|merc)$/.test(
        token.text,
      ) &&
      !isCapital(text, token)
    )
      return null;
    if (model === null && /^(mini|seat|ram|smart|reno|caddy|infinity|mercury)$/.test(token.text)) return null;
    return {
      first: index,
      last,
      vehicle: `${maker.value.makerName}${nameOf(text, tokens, maker.last, last)}`.slice(0, 120),
      make: maker.value.make,
    };
  }
  const model = matchPhrase(models, tokens, index);
  if (!model) return null;
  // "4.4 g/s" and "14.2 l/100" hold figures: points and slashes of a phrase are passed over, a name has letters beside them or neither.
  const typed = tokens
    .slice(index, model.last)
    .map((part) => part.text)
    .join('');
  if (/^\d+\.\d+$|^l\/100$/.test(typed)) return null;
  if (tokens[index - 1]?.text === 'vice') return null;
  const own = model.value.filter((owner) => !owner.shared);
  if (own.length === 0) {
    if (/^\d+(\.\d+)?$/.test(typed) || typed.length <= 2) return null;
    if (
      !isYear(tokens, index - 1) &&
      !(isCapital(text, token) && !opensSentence(tokens, index) && !isShouting(text, tokens, index))
    )
      return null;
    if (
      /^(no|in|on|is|it|up|as)$/.test(typed) ||
      (typed === 'spark' && /^(plugs?|advance|map|timing)$/.test(tokens[model.last]?.text ?? ''))
    )
      return null;
  }
  if (
    model.last < tokens.length &&
    !tokens[model.last]!.spaced &&
    tokens[model.last]!.kind === 'word' &&
    tokens[model.last - 1]!.kind === 'number'
  )
    return null;
  const owners = own.length > 0 ? own : model.value;
  const single = owners.length === 1 ? owners[0]! : null;
  const last = withTrims(text, tokens, model.last, true);
  const name = nameOf(text, tokens, index, last).trim();
  return {
    first: index,
    last,
    vehicle: (single ? `${single.makerName} ${name}` : name).slice(0, 120),
    make: single?.make ?? null,
  };
}

/** End of the model that follows a maker; null when none does. */
function modelAfter(tokens: readonly Token[], index: number, make: string, models: Names['models']): number | null {
  const next = tokens[index];
  if (!next || next.kind === 'newline') return null;
  const at = next.text === '-' || next.text === ',' ? index + 1 : index;
  const model = matchPhrase(models, tokens, at);
  if (
    model?.value.some(
      (owner) =>
        owner.make === make || make === 'chevrolet' || make === 'vauxhall' || make === 'holden' || make === 'opel',
    )
  )
    return model.last;
  // "Volvo 945", "BMW 320i": a number or a word with digits right behind the maker, unless it is a size, a year or a count.
  const chunkEnd =
    next.kind === 'number' &&
    tokens[at + 1]?.spaced === false &&
    tokens[at + 1]!.kind === 'word' &&
    tokens[at + 1]!.text.length <= 2
      ? at + 2
      : at + 1;
  if (next.kind === 'number' && /^\d{3}$/.test(next.text) && !isNumberGlued(tokens, at + 1)) return chunkEnd;
  return null;
}

/** Whether a mark and further digits are glued on, so that the number is longer than it looks. */
function isNumberGlued(tokens: readonly Token[], at: number): boolean {
  const [mark, digits] = [tokens[at], tokens[at + 1]];
  return mark?.spaced === false && /^[.,/]$/.test(mark.text) && digits?.kind === 'number' && !digits.spaced;
}

/** Takes in the trim levels that follow a model. */
function withTrims(text: ReadableText, tokens: readonly Token[], last: number, hasModel: boolean): number {
  let at = last;
  if (!hasModel) return at;
  for (let taken = 0; taken < 2; taken += 1) {
    const token = tokens[at];
    if (!token || token.kind === 'newline') break;
    const glued = tokens[at + 1];
    if (token.text === 'mk' && glued?.kind === 'number') {
      at += 2;
      continue;
    }
    if (/^mk[ivx]+$/.test(token.text)) {
      at += 1;
      continue;
    }
    if (
      /^[b-hj-z]$/.test(token.text) &&
      isShout(text, token) &&
      token.spaced &&
      (glued === undefined || glued.spaced)
    ) {
      at += 1;
      continue;
    }
    if (!trims.test(token.text) || token.kind !== 'word' || (glued?.spaced === false && glued.kind === 'number')) break;
    if (/^(is|es|se|le|st|rs|si|sr|ti|ls|lt|gl|xi|ci)$/.test(token.text) && !isShout(text, token)) break;
    if (/^(turbo|limited|sport|touring|type|estate|wagon|coupe)$/.test(token.text) && !isCapital(text, token)) break;
    at += 1;
  }
  return at;
}

function nameOf(text: ReadableText, tokens: readonly Token[], first: number, last: number): string {
  if (last <= first) return '';
  const typed = text.cased
    .slice(tokens[first]!.start, tokens[last - 1]!.end)
    .replace(/[\s,]+/g, ' ')
    .trim();
  const words = typed
    .split(' ')
    .map((word) =>
      word === word.toLowerCase() && /^[a-z]/.test(word)
        ? /\d/.test(word) || word.length <= 3
          ? word.toUpperCase()
          : word[0]!.toUpperCase() + word.slice(1)
        : word,
    );
  return ` ${words.join(' ')}`;
}

function isYear(tokens: readonly Token[], index: number): boolean {
  const token = tokens[index];
  return (
    token !== undefined &&
    /^(19[5-9]\d|20[0-3]\d|[06-9]\d|[12]\d)$/.test(token.text) &&
    !(tokens[index + 1]?.spaced === false)
  );
}

/** A capital first letter; a longer word all in capitals says nothing. */
function isCapital(text: ReadableText, token: Token): boolean {
  if (token.end - token.start > 3 && isShout(text, token)) return false;
  const first = text.cased[token.start]!;
  return first !== first.toLowerCase();
}

function isShout(text: ReadableText, token: Token): boolean {
  const typed = text.cased.slice(token.start, token.end);
  return typed === typed.toUpperCase();
}

/** Whether the words around are all capitals, so that a capital says nothing. */
function isShouting(text: ReadableText, tokens: readonly Token[], index: number): boolean {
  const around = text.cased.slice(
    tokens[Math.max(0, index - 3)]!.start,
    tokens[Math.min(tokens.length - 1, index + 3)]!.end,
  );
  return !/[a-z]/.test(around);
}

function opensSentence(tokens: readonly Token[], index: number): boolean {
  const previous = tokens[index - 1];
  return previous === undefined || previous.kind === 'newline' || /^[.?!:"(*\u2022-]$/.test(previous.text);
}
