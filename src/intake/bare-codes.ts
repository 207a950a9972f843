// Codes written as bare numbers: "code 420", "codes 15, 16", "throws a 41", "17544 - Fuel Trim", and the further numbers of a list
// that a code has opened. A bare number is a code only where something says so. read-codes.ts calls it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Chunk } from './chunks.ts';
import { type CodeMention, mentionOf, toStandardForm } from './code-mention.ts';
import type { Token } from './tokens.ts';

export /** Letter, spelling and chunk index of the code before, while a list of codes goes on. */
interface OpenList {
  readonly letter: string;
  readonly style: 'standard' | 'bare' | 'flash';
  readonly chunk: number;
}

/** What a post as a whole says about its codes. */
export interface CodeTalk {
  /** Codes or scanning are spoken of. */
  readonly codes: boolean;
  /** A car of before 1996 is named: two- and three-digit codes are flash codes. */
  readonly oldCar: boolean;
  /** Five-digit decimals may be codes. */
  readonly decimals: boolean;
  /** Three-digit codes are the maker's own. */
  readonly makersOwn: boolean;
}

/** Whether only list marks and joining words stand between two chunks. */
export function joinsList(tokens: readonly Token[], from: Chunk, to: Chunk): boolean {
  if (to.first - from.last > 5) return false;
  for (let index = from.last; index < to.first; index += 1) {
    if (
      !/^[,/&+;-]$|^(and|or|then|also|plus|n|code|codes|a|an|with|hex|sometimes|another|maybe|later|now|both|stored|pending|confirmed|permanent|history|current|active)$/.test(
        tokens[index]!.text,
      )
    )
      return false;
  }
  return true;
}

/** The next of a list: "P0171/0174", "P0300, 301 and 302", "codes 15, 16". */
export function continueList(
  chunk: Chunk,
  list: { letter: string; style: string },
  tokens: readonly Token[],
  from: Chunk,
): CodeMention | null {
  const between = tokens
    .slice(from.last, chunk.first)
    .map((token) => token.text)
    .join(' ');
  const tight = !chunk.spaced && /^[/-]$/.test(between);
  // "flash codes 43 44 45": with nothing between, only figures of the same length go on.
  if (
    between === '' &&
    (list.style === 'standard' ? !/^[0o]\d{3}$/.test(chunk.text) : chunk.text.length !== from.text.length)
  )
    return null;
  if (list.style === 'flash') {
    if (!/^(\d{2,3}|\d{5}|[0-9a-f]{4}|[0-9a-f]{2})$/.test(chunk.text) || isMeasured(tokens, chunk)) return null;
    // Letters alone go on only where the list is of such codes ("E4 and CB"), for "be" and "ad" are words.
    if (!/\d/.test(chunk.text) && !(/^[0-9a-f]{2}$/.test(from.text) && /[a-f]/.test(from.text))) return null;
    if (/^\d{4}$/.test(chunk.text) && Number(chunk.text) >= 1950 && Number(chunk.text) <= 2035) return null;
    return {
      code: chunk.text.toUpperCase(),
      standard: false,
      start: chunk.start,
      end: chunk.end,
      token: chunk.first,
      last: chunk.last,
    };
  }
  if (isMeasured(tokens, chunk)) return null;
  if (/^[0-3o]\d{3}$/.test(chunk.text)) {
    const year = Number(chunk.text);
    if (!tight && year >= 1950 && year <= 2035) return null;
    if (!tight && /^[1-3]/.test(chunk.text) && !/^(and|&|,)$/.test(between)) return null;
    return mentionOf(toStandardForm(`${list.letter.toLowerCase()}${chunk.text}`)!, chunk, chunk);
  }
  if (
    /^\d{3}$/.test(chunk.text) &&
    (list.style === 'bare' || tight || /^0?[1-7]/.test(chunk.text)) &&
    Number(chunk.text) >= 10
  ) {
    return mentionOf(`${list.letter}0${chunk.text}`, chunk, chunk);
  }
  return null;
}

const codeNouns = /^(codes?|dtcs?|cel|mil)$/;
const between =
  /^(is|are|was|were|a|an|the|of|for|number|no|out|to|came|up|as|says|said|reads|read|showing|shows|showed|which|that|being|it|p|saying|threw|gave|gives|got|back|with|stored|pending|engine|fault|trouble|hex|throwing|:|-|=|#|\(|"|')$/;

/** Whether a bare number is called a code: "code 420", "codes: 171, 174", "a 420 code", "jumpered the plug and got a 15". */
export function standsAsCode(tokens: readonly Token[], chunk: Chunk, talk: CodeTalk): boolean {
  const { oldCar } = talk;
  if (isMeasured(tokens, chunk)) return false;
  const previous = tokens[chunk.first - 1];
  if (
    previous &&
    !chunk.spaced &&
    /^[.,$/\u00a3\u20ac]$/.test(previous.text) &&
    tokens[chunk.first - 2]?.kind === 'number'
  )
    return false;
  if (previous && /^[$\u00a3\u20ac]$/.test(previous.text)) return false;
  const after = tokens[chunk.last];
  const afterThat = tokens[chunk.last + 1];
  if (
    after &&
    !after.spaced &&
    /^[.,:/]$/.test(after.text) &&
    afterThat &&
    !afterThat.spaced &&
    afterThat.kind === 'number' &&
    after.text !== ',' &&
    after.text !== '/'
  )
    return false;
  if (
    after &&
    (codeNouns.test(after.text) ||
      (/^(fault|trouble|error|engine)$/.test(after.text) && afterThat && codeNouns.test(afterThat.text)))
  ) {
    // "3 codes", "2 fault codes" count codes and name none.
    return chunk.text.length >= 3 || (chunk.text.length === 2 && /^code$/.test(after.text));
  }
  // 16384 to 19999 is the maker's decimal form of P0 and P1 codes, in a list or before its text.
  if (talk.decimals && /^1[6-9]\d{3}$/.test(chunk.text) && Number(chunk.text) >= 16_384) {
    const leads =
      previous === undefined || /^(\n|,|and|&|-|:|\(|;|\u2022|\*|fault|faults|error|stored)$/.test(previous.text);
    if (
      leads &&
      (after === undefined ||
        /^(\n|,|and|&|-|:|\(|\)|;|\/|\.|fuel|o|oxygen|lambda|catalyst|mixture|system|are|is)$/.test(after.text))
    )
      return true;
  }
  // Five blinked digits of an older car, before their text ("12112 oxygen sensor").
  if (
    oldCar &&
    /^[1-4]{5}$/.test(chunk.text) &&
    (after === undefined || after.kind === 'word' || /^[,;:(\n-]$/.test(after.text))
  )
    return true;
  // Nothing else in a post begins with a zero and has four digits.
  if (talk.codes && /^0[0-7]\d{2}$/.test(chunk.text) && chunk.spaced && !isPartNumber(tokens, chunk)) return true;
  // Four hexadecimal digits, figures and letters mixed, where codes are spoken of.
  if (talk.codes && /^\d[0-9a-f]{3}$/.test(chunk.text) && /[a-f]/.test(chunk.text) && !/^\d{3}[a-f]$/.test(chunk.text))
    return true;
  // Two hexadecimal digits, as some makers print them, where a code is called by them ("codes E4 and CB").
  if (/^[0-9a-f]{2}$/.test(chunk.text) && /[a-f]/.test(chunk.text)) return isHexCode(tokens, chunk, talk);
  if (chunk.text.length === 2 && isLaterInList(tokens, chunk, after)) return true;
  if (previous?.text === ':' && oldCar && chunk.text.length <= 2 && headsCodes(tokens, chunk.first - 1)) return true;
  for (let back = 1; back <= 7; back += 1) {
    const token = tokens[chunk.first - back];
    if (!token || (token.kind === 'newline' && back > 2)) return false;
    const { text } = token;
    if (codeNouns.test(text)) return !/^(cel|mil)$/.test(text) || chunk.text.length >= 3;
    // The self-tests of cars before 1996, key on engine off and engine running, end in two or three digits.
    if (/^(koer|koeo|koec)$/.test(text) && back <= 2) return chunk.text.length === 2 || chunk.text.length === 3;
    if (/^(faults?|errors?)$/.test(text)) return chunk.text.length >= 4 || (oldCar && chunk.text.length === 2);
    if (flashing.test(text) && back <= 3) return chunk.text.length <= 2 && oldCar;
    if (throwing.test(text) && back <= 3)
      return /^(0\d{3}|\d{3})$/.test(chunk.text) || (oldCar && chunk.text.length === 2);
    if (/^(got|gave|gives|get)$/.test(text) && back <= 2 && oldCar && chunk.text.length === 2 && endsThere(after))
      return true;
    if (
      !between.test(text) &&
      token.kind !== 'newline' &&
      !(text === '.' && tokens[chunk.first - back - 1]?.text === 'no')
    )
      return false;
  }
  return false;
}

function isHexCode(tokens: readonly Token[], chunk: Chunk, talk: CodeTalk): boolean {
  // "code B2 dead" names a bank.
  if ((!/\d/.test(chunk.text) && !talk.makersOwn) || /^b[12]$/.test(chunk.text)) return false;
  const called = [1, 2, 3].find(
    (back) => !/^(:|is|are|a|the|hex|fault|stored|of|-|=|"|')$/.test(tokens[chunk.first - back]?.text ?? ''),
  );
  return called !== undefined && /^(codes?|dtcs?|hex)$/.test(tokens[chunk.first - called]?.text ?? '');
}

/** "Blink codes on my 1991 Accord: 1, 43": codes are spoken of before the colon. */
function headsCodes(tokens: readonly Token[], colon: number): boolean {
  for (let back = 1; back <= 10; back += 1) {
    const token = tokens[colon - back];
    if (!token || token.kind === 'newline' || token.text === '.') return false;
    if (/^(codes|code)$/.test(token.text)) return true;
  }
  return false;
}

/** Digits joined on by a dash or a point: a part or telephone number. */
function isPartNumber(tokens: readonly Token[], chunk: Chunk): boolean {
  const [mark, more] = [tokens[chunk.last], tokens[chunk.last + 1]];
  if (mark && !mark.spaced && /^[-./]$/.test(mark.text) && more?.kind === 'number' && !more.spaced) return true;
  const before = tokens[chunk.first - 1];
  return before?.kind === 'number' && before.text.length > 3;
}

/** "Pulled the codes: first a 4, no idea what that is, then 41 and 91": named as one of the codes that the sentence began with. */
function isLaterInList(tokens: readonly Token[], chunk: Chunk, after: Token | undefined): boolean {
  if (
    !/^(a|then|first)$/.test(tokens[chunk.first - 1]?.text ?? '') ||
    !(after === undefined || /^(and|,|\.|;|with|\n)$/.test(after.text))
  )
    return false;
  for (let back = 2; back <= 22; back += 1) {
    const token = tokens[chunk.first - back];
    if (!token || token.kind === 'newline' || token.text === '.') return false;
    if (token.text === 'codes') return true;
  }
  return false;
}

const flashing = /^(flash|flashes|flashed|flashing|blink|blinks|blinked|blinking)$/;
const throwing = /^(threw|throws|throwing|thrown|pulled|pulling|pulls)$/;

function endsThere(after: Token | undefined): boolean {
  return after === undefined || /^(back|out|too|also|and|,|\.|;|on|\n)$/.test(after.text);
}

/** Whether a unit or a counted thing follows, so that the number is no code. */
function isMeasured(tokens: readonly Token[], chunk: Chunk): boolean {
  const after = tokens[chunk.last];
  if (!after) return false;
  const digits = tokens[chunk.last + 1];
  if (
    /^[.,]$/.test(after.text) &&
    !after.spaced &&
    digits?.kind === 'number' &&
    !digits.spaced &&
    digits.text.length === 3 &&
    chunk.text.length <= 3
  )
    return true;
  if (after.text === '%' || after.text === '\u00b0') return true;
  return (
    /^(miles|mile|mi|km|kms|k|volts?|v|mv|rpm|psi|mpg|mph|times|days?|weeks?|months?|years?|hours?|minutes?|seconds?|ohms?|ppm|percent|degrees|bucks|dollars|quid|pounds|cylinders?|of|codes|faults|dtcs|readers?|different|more|other|others)$/.test(
      after.text,
    ) && !(after.text === 'codes' && chunk.text.length > 2)
  );
}

export function readBare(chunk: Chunk, talk: CodeTalk, cased: string, knowledge: Knowledge): CodeMention | null {
  const text = chunk.text;
  const typed = cased.slice(chunk.start, chunk.end);
  const outside = (code: string): CodeMention => ({
    code,
    standard: false,
    start: chunk.start,
    end: chunk.end,
    token: chunk.first,
    last: chunk.last,
  });
  if (/^\d{2}$/.test(text)) return outside(text);
  if (/^\d$/.test(text)) return talk.oldCar ? outside(text) : null;
  if (/^\d{3}$/.test(text)) {
    if (talk.oldCar || talk.makersOwn) return outside(text);
    const code = `P0${text}`;
    return knowledge.codes.length === 0 || knowledge.codes.byId.has(code) || /^[1-7]/.test(text)
      ? mentionOf(code, chunk, chunk)
      : null;
  }
  if (/^0\d{3}$/.test(text)) return mentionOf(`P${text}`, chunk, chunk);
  // Four blinked digits of an older car ("2342"): no digit is above four or so, and none is a standard code.
  if (talk.oldCar && /^[1-4]{4}$/.test(text)) return outside(text);
  if (/^[1-3]\d{3}$/.test(text)) {
    const year = Number(text);
    return year >= 1950 && year <= 2035 ? null : mentionOf(`P${text}`, chunk, chunk);
  }
  if (/^\d{5}$/.test(text)) return outside(text);
  if (/^[0-9a-f]{2}$/.test(text)) return outside(typed.toUpperCase());
  return /^[0-9a-f]{4}$/.test(text) && /\d/.test(text) ? outside(typed.toUpperCase()) : null;
}

export function isOldYear(chunk: Chunk, tokens: readonly Token[]): boolean {
  const previous = tokens[chunk.first - 1];
  if (/^19[5-9]\d$/.test(chunk.text)) return Number(chunk.text) < 1996;
  return /^[5-9]\d$/.test(chunk.text) && Number(chunk.text) < 96 && (previous?.text === "'" || chunk.first === 0);
}
