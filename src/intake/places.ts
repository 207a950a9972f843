// Which bank and which sensor words name: "B1S1", "bank one sensor two", "HO2S21", "rear sensor", "LTFT2", "both banks".
import type { Chunk } from './chunks.ts';
import type { Token } from './tokens.ts';

export interface Place {
  readonly first: number;
  readonly last: number;
  readonly bank: number | null;
  readonly sensor: number | null;
  /** "both banks": what follows holds for bank 1 and bank 2. */
  readonly bothBanks: boolean;
}

const count: ReadonlyMap<string, number> = new Map([
  ['1', 1],
  ['one', 1],
  ['i', 1],
  ['first', 1],
  ['2', 2],
  ['two', 2],
  ['ii', 2],
  ['second', 2],
  ['3', 3],
  ['three', 3],
  ['4', 4],
]);
const sensorNoun =
  /^(o2|oxygen|lambda|sensor|sensors|probe|probes|02|ho2s|o2s|oxy|heated|one|ones|afr|a|air|wideband|cat)$/;
const nounChunk = /^(o2|02|oxygen|lambda|sensors?|probes?|ho2s|o2s|o|ho)$/;

/** All places that a post names, in order. */
export function findPlaces(tokens: readonly Token[], chunks: readonly Chunk[]): Place[] {
  const places: Place[] = [];
  let chunk = 0;
  for (let index = 0; index < tokens.length; ) {
    while (chunk < chunks.length && chunks[chunk]!.first < index) chunk += 1;
    const here = chunks[chunk]?.first === index ? chunks[chunk]! : null;
    const place = (here ? readChunk(tokens, here) : null) ?? readWords(tokens, index);
    if (place) {
      places.push(place);
      index = place.last;
    } else index += 1;
  }
  return places;
}

function readChunk(tokens: readonly Token[], chunk: Chunk): Place | null {
  const text = chunk.text;
  const place = (bank: number | null, sensor: number | null, last = chunk.last): Place => ({
    first: chunk.first,
    last,
    bank,
    sensor,
    bothBanks: false,
  });
  if (!/\d$/.test(text)) return null;
  const whole =
    /^(?:o2|ho2|o2s|ho2s)?b(?:ank|k|nk)?([12])s(?:ensor|en|ens)?([1-4])$/.exec(text) ??
    /^(?:h?o2s|o2s|ego|hego|oxs)([12])([1-4])$/.exec(text) ??
    /^(?:stft|ltft|shrtft|longft|s|l)([12])([12])$/.exec(text);
  if (whole && !/^[sl]\d\d$/.test(text)) return place(Number(whole[1]), Number(whole[2]));
  const bank =
    /^(?:b|bank|bk|bnk)([12])$/.exec(text) ??
    /^(?:stft|ltft|shrtft|longft|stftb|ltftb|stftbank|ltftbank|shrtftb|longftb|ft)([12])$/.exec(text);
  if (bank) {
    const next = sensorAfter(tokens, chunk.last);
    return next ? place(Number(bank[1]), next.sensor, next.last) : place(Number(bank[1]), null);
  }
  const numbered = /^(?:lambda|adaptive|adaptation|adaption|trim)([12])$/.exec(text);
  if (numbered) return place(Number(numbered[1]), text.startsWith('lambda') ? 1 : null);
  const sensor = /^(?:sensor|o2s|ho2s|sens)([1-4])$/.exec(text);
  if (sensor) {
    const of = bankAfter(tokens, chunk.last);
    return of ? place(of.bank, Number(sensor[1]), of.last) : place(null, Number(sensor[1]));
  }
  return null;
}

function readWords(tokens: readonly Token[], index: number): Place | null {
  const text = tokens[index]!.text;
  const place = (bank: number | null, sensor: number | null, last: number, bothBanks = false): Place => ({
    first: index,
    last,
    bank,
    sensor,
    bothBanks,
  });
  if (
    text === 'both' &&
    (/^banks?$/.test(tokens[index + 1]?.text ?? '') ||
      (tokens[index + 1]?.text === 'the' && tokens[index + 2]?.text === 'banks'))
  )
    return place(null, null, index + 2, true);
  // "+22 on both, now it is +6".
  if (
    text === 'both' &&
    tokens[index - 1]?.text === 'on' &&
    /^(,|\.|;|\)|\n|sides|at|now|when|while|under|idle)$/.test(tokens[index + 1]?.text ?? '.')
  )
    return place(null, null, tokens[index + 1]?.text === 'sides' ? index + 2 : index + 1, true);
  if (text === 'each' && tokens[index + 1]?.text === 'bank') return place(null, null, index + 2, true);
  if (
    text === 'banks' &&
    count.get(tokens[index + 1]?.text ?? '') === 1 &&
    /^(and|&|\/)$/.test(tokens[index + 2]?.text ?? '') &&
    count.get(tokens[index + 3]?.text ?? '') === 2
  ) {
    return place(null, null, index + 4, true);
  }
  const byCylinders = readCylinders(tokens, index);
  if (byCylinders) return byCylinders;
  if (text === 'bank' || text === 'bnk') {
    const at = skipNumberSign(tokens, index + 1);
    const bank = numberAt(tokens, at);
    if (bank === null || bank > 2) return null;
    if (
      /^[/&]$/.test(tokens[at + 1]?.text ?? '') &&
      count.get(tokens[at + 2]?.text ?? '') === 2 &&
      !tokens[at + 2]!.spaced
    ) {
      return /^sensor/.test(tokens[at + 3]?.text ?? '') ? null : place(null, null, at + 3, true);
    }
    const next = sensorAfter(tokens, at + 1);
    return next ? place(bank, next.sensor, next.last) : place(bank, null, at + 1);
  }
  if (/^(first|second)$/.test(text) && tokens[index + 1]?.text === 'bank')
    return place(count.get(text)!, null, index + 2);
  if (text === 'sensor' || text === 'sens') {
    const at = skipNumberSign(tokens, index + 1);
    const pair = readPair(tokens, at);
    if (pair) return place(pair[0], pair[1], at + 3);
    const sensor = numberAt(tokens, at);
    if (sensor === null || sensor > 4) return null;
    const of = bankAfter(tokens, at + 1);
    return of ? place(of.bank, sensor, of.last) : place(null, sensor, at + 1);
  }
  if (nounChunk.test(text)) {
    // "O2 1/2", "lambda 1-1": the pair right behind the noun.
    let at = index + 1;
    if ((text === 'o' || text === 'ho') && tokens[at]?.text === '2' && !tokens[at]!.spaced)
      at += tokens[at + 1]?.text === 's' && !tokens[at + 1]!.spaced ? 2 : 1;
    const pair = readPair(tokens, at);
    if (pair && at > index) return place(pair[0], pair[1], at + 3);
    return null;
  }
  return readSide(tokens, index);
}

/** "the 456 cylinders", "cylinders 1-3", "cyl 5-8": a side named by its cylinders, where an engine counts one bank after the other. */
function readCylinders(tokens: readonly Token[], index: number): Place | null {
  const token = tokens[index]!;
  const before = tokens[index - 1]?.text ?? '';
  const after = tokens[index + 1]?.text ?? '';
  if (
    /^(123|456|1234|5678)$/.test(token.text) &&
    /^(on|the|and|from|for|cylinders|cyl)$/.test(before) &&
    !/^(miles|km|kms|rpm|mpg|volts?)$/.test(after)
  ) {
    return { first: index, last: index + 1, bank: token.text.startsWith('1') ? 1 : 2, sensor: null, bothBanks: false };
  }
  if (
    !/^(cyl|cyls|cylinders)$/.test(token.text) ||
    !/^[145]$/.test(after) ||
    !/^(-|to)$/.test(tokens[index + 2]?.text ?? '') ||
    !/^[3468]$/.test(tokens[index + 3]?.text ?? '')
  )
    return null;
  return { first: index, last: index + 4, bank: after === '1' ? 1 : 2, sensor: null, bothBanks: false };
}

/** Upstream or downstream, in the words that owners use. */
function readSide(tokens: readonly Token[], index: number): Place | null {
  const text = tokens[index]!.text;
  const next = tokens[index + 1]?.text ?? '';
  const place = (sensor: number, last: number): Place => ({ first: index, last, bank: null, sensor, bothBanks: false });
  if (/^(upstream|precat|ups?tream|upper)$/.test(text))
    return text === 'upper' && !sensorNoun.test(next) ? null : place(1, index + 1);
  if (/^(downstream|postcat|down?stream)$/.test(text)) return place(2, index + 1);
  if (
    /^(front|rear|primary|secondary|back)$/.test(text) &&
    sensorNoun.test(next) &&
    !(text === 'secondary' && next === 'air') &&
    !(text === 'back' && next === 'one')
  ) {
    if (next === 'o' || next === 'a') return null;
    return place(/^(front|primary)$/.test(text) ? 1 : 2, index + 1);
  }
  if (/^(front|rear)$/.test(text) && next === 'o' && tokens[index + 2]?.text === '2')
    return place(text === 'front' ? 1 : 2, index + 1);
  if (/^(pre|before|post|after|behind)$/.test(text)) {
    let at = index + 1;
    if (tokens[at]?.text === '-') at += 1;
    if (tokens[at]?.text === 'the') at += 1;
    if (!/^(cat|catalyst|converter|catalytic)$/.test(tokens[at]?.text ?? '')) return null;
    // "before the cat was replaced", "after the cat change" tell a time and no place.
    if (
      /^(before|after|behind)$/.test(text) &&
      /^(was|is|were|got|went|change|replacement|failed|died|had|swap|removal|light|temp|temperature|temps)$/.test(
        tokens[at + 1]?.text ?? '',
      )
    )
      return null;
    return place(/^(pre|before)$/.test(text) ? 1 : 2, at + 1);
  }
  return null;
}

function sensorAfter(tokens: readonly Token[], index: number): { sensor: number; last: number } | null {
  let at = index;
  for (
    let skipped = 0;
    skipped < 2 && /^([,/:(_-]|o2|oxygen|lambda|heated|and)$/.test(tokens[at]?.text ?? '');
    skipped += 1
  )
    at += 1;
  const token = tokens[at];
  if (!token) return null;
  if (/^(sensor|sens|s)$/.test(token.text)) {
    const number = skipNumberSign(tokens, at + 1);
    const sensor = numberAt(tokens, number);
    return sensor !== null && sensor <= 4 ? { sensor, last: number + 1 } : null;
  }
  if (token.text === 'o' && tokens[at + 1]?.text === '2' && /^sensor$/.test(tokens[at + 2]?.text ?? '')) {
    const sensor = numberAt(tokens, at + 3);
    return sensor !== null && sensor <= 4 ? { sensor, last: at + 4 } : null;
  }
  return null;
}

function bankAfter(tokens: readonly Token[], index: number): { bank: number; last: number } | null {
  let at = index;
  for (let skipped = 0; skipped < 3 && /^([,/:(-]|of|on|in|the)$/.test(tokens[at]?.text ?? ''); skipped += 1) at += 1;
  if (tokens[at]?.text === 'bank' || (tokens[at]?.text === 'b' && tokens[at + 1]?.spaced === false)) {
    const number = skipNumberSign(tokens, at + 1);
    const bank = numberAt(tokens, number);
    return bank !== null && bank <= 2 ? { bank, last: number + 1 } : null;
  }
  return null;
}

/** "1/2" or "1-2" as bank and sensor. */
function readPair(tokens: readonly Token[], index: number): [number, number] | null {
  const [bank, mark, sensor, after] = [tokens[index], tokens[index + 1], tokens[index + 2], tokens[index + 3]];
  if (
    !bank ||
    !mark ||
    !sensor ||
    !/^[12]$/.test(bank.text) ||
    !/^[/-]$/.test(mark.text) ||
    !/^[12]$/.test(sensor.text)
  )
    return null;
  if (
    mark.spaced ||
    sensor.spaced ||
    (after && !after.spaced && /^[./-]$/.test(after.text) && tokens[index + 4]?.kind === 'number')
  )
    return null;
  return [Number(bank.text), Number(sensor.text)];
}

function skipNumberSign(tokens: readonly Token[], index: number): number {
  return /^(#|no|number|:)$/.test(tokens[index]?.text ?? '') ? index + 1 : index;
}

/** A small ordinal at a token, unless it is the beginning of a decimal number. */
function numberAt(tokens: readonly Token[], index: number): number | null {
  const token = tokens[index];
  const mark = tokens[index + 1];
  if (!token) return null;
  if (
    mark &&
    !mark.spaced &&
    (mark.text === '.' || mark.text === ',') &&
    tokens[index + 2]?.kind === 'number' &&
    !tokens[index + 2]!.spaced
  )
    return null;
  if (mark && !mark.spaced && (mark.text === '%' || (mark.kind === 'word' && /^(v|mv|k|st|nd|rpm)$/.test(mark.text))))
    return null;
  return count.get(token.text) ?? null;
}
