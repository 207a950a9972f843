// Reads one number as people type it: signs, decimal commas, `.93`, thousands, `150k`, fractions, number words.
// measures.ts puts units and ranges around it; nothing here knows what the number is about.
import type { Token } from './tokens.ts';

export interface PlainNumber {
  /** Token indexes [first, last). */
  readonly first: number;
  readonly last: number;
  readonly value: number;
  /** The other reading of `1,014`: thousands are taken first, a small quantity takes this one. */
  readonly alternative: number | null;
  readonly signed: boolean;
  /** `+/- 5`: the value stands for both sides of zero. */
  readonly bothSides: boolean;
  /** Spelt in words. */
  readonly inWords: boolean;
  /** `1/2`, or the second of a pair such as `12/14`. */
  readonly over: number | null;
  /** Digits after the decimal mark. */
  readonly decimals: number;
  /** `150k`. */
  readonly thousands: boolean;
}

const mostDigits = 9;
const signWords: ReadonlyMap<string, number> = new Map([
  ['minus', -1],
  ['negative', -1],
  ['neg', -1],
  ['plus', 1],
  ['positive', 1],
  ['pos', 1],
]);
const small: readonly string[] =
  'zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(
    ' ',
  );
const tens: readonly string[] = 'zero ten twenty thirty forty fifty sixty seventy eighty ninety'.split(' ');
const misspelt: ReadonlyMap<string, number> = new Map([
  ['fourty', 40],
  ['ninty', 90],
  ['nought', 0],
]);
/** Every word that a number in words may begin with: most tokens are none, and are done with one look. */
const numberWords: ReadonlySet<string> = new Set([
  ...small,
  ...tens,
  ...misspelt.keys(),
  'a',
  'an',
  'hundred',
  'thousand',
  'point',
]);
const before = new Set([
  '(',
  '[',
  '=',
  ':',
  '~',
  '<',
  '>',
  ',',
  '/',
  '@',
  '*',
  '|',
  '"',
  "'",
  '-',
  '+',
  '\u2022',
  ';',
  '?',
  '!',
  '\u2248',
  '\u2264',
  '\u2265',
  '&',
  '.',
]);

/**
 * Reads the number that begins at token `index`; null when none begins there or what stands there is no plain number.
 *
 * @param ofPair the second of a pair such as `12/14`: the slash before it is known to part two figures
 */
export function readNumber(tokens: readonly Token[], index: number, ofPair = false): PlainNumber | null {
  if (ofPair) return numberAt(tokens, index, true);
  // Tables, readings and engine sizes look at the same tokens: each number is read once.
  let known = numbersOf.get(tokens);
  if (!known) {
    known = new Array(tokens.length);
    numbersOf.set(tokens, known);
  }
  const read = known[index];
  if (read !== undefined) return read;
  const number = numberAt(tokens, index, false);
  known[index] = number;
  return number;
}

const numbersOf = new WeakMap<readonly Token[], Array<PlainNumber | null>>();

function numberAt(tokens: readonly Token[], index: number, ofPair: boolean): PlainNumber | null {
  let at = index;
  let sign = 1;
  let signed = false;
  let bothSides = false;
  const first = tokens[at];
  if (!first) return null;
  if (first.text === '\u00b1') {
    bothSides = true;
    at += 1;
  } else if (
    first.text === '+' &&
    (tokens[at + 1]?.text === '-' || (tokens[at + 1]?.text === '/' && tokens[at + 2]?.text === '-'))
  ) {
    bothSides = true;
    at += tokens[at + 1]!.text === '-' ? 2 : 3;
  } else if (first.text === '+' || first.text === '-') {
    if (tokens[at + 1]?.spaced !== false) return null;
    const previous = tokens[at - 1];
    // A dash glued to what stands before it joins or ranges; it is a sign only after a blank or an opening mark.
    if (!first.spaced && previous && !before.has(previous.text)) return null;
    sign = first.text === '-' ? -1 : 1;
    signed = true;
    at += 1;
  } else if (signWords.has(first.text)) {
    sign = signWords.get(first.text)!;
    signed = true;
    at += 1;
    if (tokens[at]?.text === 'or' && tokens[at + 1]?.text === 'minus') {
      bothSides = true;
      at += 2;
    }
  }
  const digits = readDigits(tokens, at, signed || bothSides || ofPair) ?? readNumberWords(tokens, at);
  if (!digits) return null;
  return {
    ...digits,
    first: index,
    value: sign * digits.value,
    alternative: digits.alternative === null ? null : sign * digits.alternative,
    signed,
    bothSides,
  };
}

type Digits = Omit<PlainNumber, 'first' | 'signed' | 'bothSides'>;

function readDigits(tokens: readonly Token[], index: number, afterSign: boolean): Digits | null {
  const head = tokens[index];
  if (!head) return null;
  const previous = tokens[index - 1];
  if (!afterSign && !head.spaced && previous && !before.has(previous.text)) return null;
  if (!afterSign && previous && /^[$\u00a3\u20ac#]$/.test(previous.text)) return null;
  if (head.text === '.') {
    const part = tokens[index + 1];
    if (part?.kind !== 'number' || part.spaced || part.text.length > mostDigits) return null;
    if (!afterSign && !head.spaced && previous && (previous.kind === 'number' || previous.kind === 'word')) return null;
    if (glued(tokens, index + 2, '.') && tokens[index + 3]?.kind === 'number' && !tokens[index + 3]!.spaced)
      return null;
    return finish(tokens, index + 2, Number(`0.${part.text}`), null, part.text.length);
  }
  if (head.kind !== 'number' || head.text.length > mostDigits) return null;
  // `3.14` is read from its first part; the part after a glued point or comma belongs to it.
  if (
    !afterSign &&
    !head.spaced &&
    (previous?.text === '.' || previous?.text === ',' || previous?.text === '/' || previous?.text === ':')
  ) {
    if (tokens[index - 2]?.kind === 'number' && !previous.spaced) return null;
  }
  const next = gluedNumber(tokens, index + 1, '.');
  if (next) {
    if (gluedNumber(tokens, index + 3, '.')) return null;
    return finish(tokens, index + 3, Number(`${head.text}.${next.text}`), null, next.text.length);
  }
  const comma = gluedNumber(tokens, index + 1, ',');
  if (comma) return readCommaNumber(tokens, index, head, comma);
  // `10:30` is a time; `13:1` a ratio whose `:1` is read as the unit.
  const colon = gluedNumber(tokens, index + 1, ':');
  if (colon && colon.text !== '1') return null;
  const slash = gluedNumber(tokens, index + 1, '/');
  if (slash) {
    if (gluedNumber(tokens, index + 3, '/') || gluedNumber(tokens, index + 3, '.')) return null;
    // "1/4 tank", "3/8": halves to eighths are fractions, "6/7" is a pair.
    if (Number(head.text) < Number(slash.text) && /^[2348]$/.test(slash.text)) {
      const fraction = finish(tokens, index + 3, Number(head.text) / Number(slash.text), null, 2);
      return fraction && { ...fraction, over: Number(slash.text) };
    }
  }
  const half = tokens[index + 1];
  if (half?.spaced && half.kind === 'number') {
    const under = gluedNumber(tokens, index + 2, '/');
    if (under && /^[2348]$/.test(under.text) && Number(half.text) < Number(under.text)) {
      return finish(tokens, index + 4, Number(head.text) + Number(half.text) / Number(under.text), null, 2);
    }
    const unit = tokens[index + 2];
    if (
      /^[1-9]\d{0,2}$/.test(head.text) &&
      /^\d{3}$/.test(half.text) &&
      unit &&
      /^(km|kms|miles|mi|mls|kilomet)/.test(unit.text)
    ) {
      return finish(tokens, index + 2, Number(head.text + half.text), null, 0);
    }
  }
  return finish(tokens, index + 1, Number(head.text), null, 0);
}

/** `275,000`, `1,200.5`, `0,45`, `14,9`; of `1,2,3` only the first. */
function readCommaNumber(tokens: readonly Token[], index: number, head: Token, comma: Token): Digits | null {
  const groups = [comma.text];
  let at = index + 3;
  for (let more = gluedNumber(tokens, at, ','); more && groups.length < 4; more = gluedNumber(tokens, at, ',')) {
    groups.push(more.text);
    at += 2;
  }
  const grouped = /^[1-9]\d{0,2}$/.test(head.text) && groups.every((group) => group.length === 3);
  if (grouped) {
    const whole = Number(head.text + groups.join(''));
    const decimals = gluedNumber(tokens, at, '.');
    if (decimals) return finish(tokens, at + 2, Number(`${whole}.${decimals.text}`), null, decimals.text.length);
    return finish(tokens, at, whole, groups.length === 1 ? Number(`${head.text}.${groups[0]}`) : null, 0);
  }
  if (groups.length > 1 || comma.text.length > 4) return finish(tokens, index + 1, Number(head.text), null, 0);
  return finish(tokens, index + 3, Number(`${head.text}.${comma.text}`), null, comma.text.length);
}

/** Takes a glued `k`; refuses ordinals, `4x4`, and parts of names. */
function finish(
  tokens: readonly Token[],
  last: number,
  value: number,
  alternative: number | null,
  decimals: number,
): Digits | null {
  const after = tokens[last];
  const plain = { last, value, alternative, inWords: false, over: null, decimals, thousands: false };
  if (after?.kind !== 'word') return plain;
  const text = after.text;
  if (!after.spaced) {
    if (/^(st|nd|rd|th|x|wd|mm|cm|er|ers|s|'s|am|pm|yr|yrs|year|years|hp|bhp|ps|ft|nm)$/.test(text)) return null;
    if (text === 'k') return { ...plain, last: last + 1, value: value * 1000, alternative: null, thousands: true };
    if (/^k(miles|mi|km|kms|mls)$/.test(text))
      return { ...plain, value: value * 1000, alternative: null, thousands: true };
  }
  if (after.spaced && /^(k|thousand)$/.test(text))
    return { ...plain, last: last + 1, value: value * 1000, alternative: null, thousands: true };
  return plain;
}

/** "twenty two", "zero point nine", "a hundred and fifty thousand", "minus four" (the sign is read before). */
function readNumberWords(tokens: readonly Token[], index: number): Digits | null {
  if (!numberWords.has(tokens[index]?.text ?? '')) return null;
  let at = index;
  let total = 0;
  let group = 0;
  let any = false;
  let decimals = 0;
  if (/^(a|an)$/.test(tokens[at]?.text ?? '') && /^(hundred|thousand)$/.test(tokens[at + 1]?.text ?? '')) {
    group = 1;
    at += 1;
  }
  for (let steps = 0; steps < 10; steps += 1) {
    let token = tokens[at];
    let skip = 0;
    if (any && token && (token.text === '-' || token.text === 'and')) {
      skip = 1;
      token = tokens[at + 1];
    }
    if (token?.kind !== 'word') break;
    const low = small.indexOf(token.text);
    const high = misspelt.get(token.text) ?? (tens.indexOf(token.text) > 1 ? tens.indexOf(token.text) * 10 : -1);
    if (skip && tokens[at]!.text === 'and' && !(group >= 100 && group % 100 === 0)) break;
    if (low >= 0 && group % 10 === 0 && (low < 10 || group % 100 === 0) && !(any && group === 0 && total === 0))
      group += low;
    else if (high >= 0 && group % 100 === 0 && !(any && group === 0 && total === 0)) group += high;
    else if (token.text === 'hundred' && group > 0 && group < 10) group *= 100;
    else if (token.text === 'thousand' && group > 0 && group < 1000) {
      total += group * 1000;
      group = 0;
    } else break;
    any = true;
    at += 1 + skip;
  }
  if (tokens[at]?.text === 'point') {
    let part = '';
    let after = at + 1;
    while (part.length < 4) {
      const digit = small.indexOf(tokens[after]?.text ?? '');
      if (digit < 0 || digit > 9) break;
      part += String(digit);
      after += 1;
    }
    if (part !== '') {
      decimals = part.length;
      group += Number(`0.${part}`);
      any = true;
      at = after;
    }
  }
  if (!any) return null;
  return { last: at, value: total + group, alternative: null, inWords: true, over: null, decimals, thousands: false };
}

function glued(tokens: readonly Token[], index: number, text: string): boolean {
  const token = tokens[index];
  return token !== undefined && !token.spaced && token.text === text;
}

/** The number token glued behind a glued mark at `index`. */
function gluedNumber(tokens: readonly Token[], index: number, mark: string): Token | null {
  const digits = tokens[index + 1];
  return glued(tokens, index, mark) && digits?.kind === 'number' && !digits.spaced && digits.text.length <= mostDigits
    ? digits
    : null;
}
