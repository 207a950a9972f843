// Reads trouble codes in every spelling that people use, and statements that there are none. read-post.ts calls it first,
// so that no digit of a code is taken for a reading.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { CodeFinding, Finding } from '../vocabulary/findings.ts';
import { type Chunk, splitChunks } from './chunks.ts';
import { readCodeList } from './code-list.ts';
import { contextAt, findingBase } from './finding-base.ts';
import { isTaken, type ReaderInput, type ReaderResult } from './reader.ts';
import type { Token } from './tokens.ts';

interface Mention {
  /** Upper case, or as typed when outside the standard. */
  readonly code: string;
  readonly standard: boolean;
  readonly start: number;
  readonly end: number;
  readonly token: number;
  readonly last: number;
}

/** Letter, spelling and chunk index of the code before, while a list of codes goes on. */
interface OpenList {
  readonly letter: string;
  readonly style: 'standard' | 'bare' | 'flash';
  readonly chunk: number;
}

/** Codes and code lists of a post. Linear in its length. */
export function readCodes(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const mentions = findMentions(input, knowledge);
  const findings: Finding[] = [];
  const seen = new Set<string>();
  for (const mention of mentions) {
    const stated = isDenied(input.tokens, mention.token)
      ? 'denied'
      : contextAt(input, mention.token).mood === 'supposed'
        ? 'unsure'
        : undefined;
    const base = findingBase(input, mention.start, mention.end, mention.token, stated);
    const key = `${mention.code} ${base.car} ${base.time} ${base.stated} ${base.source}`;
    if (seen.has(key)) continue;
    seen.add(key);
    const known = mention.standard ? knowledge.codes.byId.get(mention.code) : undefined;
    const finding: CodeFinding = {
      ...base,
      kind: 'code',
      code: mention.code,
      bank: known?.bank ?? null,
      sensor: known?.sensor ?? null,
      standard: mention.standard,
      status: statusOf(input.tokens, mention),
    };
    findings.push(finding);
  }
  const list = readCodeList(input, findings.length > 0);
  return {
    findings: [...findings, ...list.findings],
    conflicts: [],
    used: [...mentions.map((mention) => [mention.start, mention.end] as const), ...list.used].sort(
      (a, b) => a[0] - b[0],
    ),
  };
}

function findMentions(input: ReaderInput, knowledge: Knowledge): Mention[] {
  const { tokens } = input;
  const chunks = splitChunks(tokens).filter((chunk) => !isTaken(input.taken, chunk.start, chunk.end));
  const oldCar = chunks.some((chunk) => isOldYear(chunk, tokens));
  const talksOfCodes = chunks.some((chunk) =>
    /^(codes?|dtcs?|obd|obd2|obdii|faults?|cel|scan|scanned|scanner|mil|stored)$/.test(chunk.text),
  );
  const mentions: Mention[] = [];
  let list = null as OpenList | null;
  for (let index = 0; index < chunks.length; index += 1) {
    const chunk = chunks[index]!;
    const next = chunks[index + 1];
    const found =
      readWhole(chunk, talksOfCodes, knowledge) ??
      (next ? readSplit(chunk, next, tokens) : null) ??
      readRunTogether(chunk);
    if (found) {
      mentions.push(...found.mentions);
      index += found.extra;
      list = { letter: found.mentions.at(-1)!.code[0]!, style: 'standard', chunk: index };
      continue;
    }
    const hexadecimal = next && talksOfCodes ? readHexPair(chunk, next, tokens) : null;
    if (hexadecimal) {
      mentions.push(hexadecimal);
      index += 1;
      continue;
    }
    const goesOn: OpenList | null = list && joinsList(tokens, chunks[list.chunk]!, chunk) ? list : null;
    const bare = goesOn ? continueList(chunk, goesOn, tokens, chunks[goesOn.chunk]!) : null;
    if (bare) {
      mentions.push(bare);
      list = { letter: goesOn!.letter, style: goesOn!.style, chunk: index };
      continue;
    }
    if (/^\d{1,5}$|^[0-9a-f]{4}$/.test(chunk.text) && standsAsCode(tokens, chunk, oldCar)) {
      const mention = readBare(chunk, oldCar, input.text.cased, knowledge);
      if (mention) {
        mentions.push(mention);
        list = { letter: mention.standard ? 'P' : '', style: mention.standard ? 'bare' : 'flash', chunk: index };
      }
    }
  }
  return mentions.filter((mention) => !isTwin(mention, mentions));
}

/** "P0171", "PO171", "p0I71", "U0100"; B, C and U codes only where codes are talked of and no car has that name. */
function readWhole(
  chunk: Chunk,
  talksOfCodes: boolean,
  knowledge: Knowledge,
): { mentions: Mention[]; extra: number } | null {
  const code = toStandardForm(chunk.text);
  if (!code) return null;
  if (code[0] !== 'P') {
    if (!talksOfCodes || !/^[bcu][0-3]/.test(chunk.text)) return null;
    if (knowledge.makes.some((make) => make.models.includes(chunk.text) || make.shared.includes(chunk.text)))
      return null;
  }
  return { mentions: [mentionOf(code, chunk, chunk)], extra: 0 };
}

/** Standard spelling of five characters; the letters o, i and l stand for digits. Null when it is no code. */
function toStandardForm(text: string): string | null {
  const match = /^([pbcu])([0-3oil])([0-9a-foil]{3})$/.exec(text);
  if (!match) return null;
  if (!/\d/.test(text)) return null;
  const tail = match[3]!.replaceAll('o', '0').replace(/[il]/g, '1');
  if (!/^[0-9a-f]{3}$/.test(tail) || (tail.match(/\d/g)?.length ?? 0) < 1) return null;
  return (match[1]! + match[2]!.replace('o', '0').replace(/[il]/, '1') + tail).toUpperCase();
}

/** "P 0171", "p o171", "p-0171", "p0 171", "P.0171". */
function readSplit(chunk: Chunk, next: Chunk, tokens: readonly Token[]): { mentions: Mention[]; extra: number } | null {
  if (!/^p[0-3o]?$/.test(chunk.text) || next.first - chunk.last > 1) return null;
  const between = tokens[chunk.last];
  if (next.first > chunk.last && between!.text !== '-' && between!.text !== '.' && between!.text !== '#') return null;
  if (!/^[0-9o][0-9a-fo]{1,3}$/.test(next.text)) return null;
  const code = toStandardForm(chunk.text + next.text);
  if (!code || !/\d\d/.test(next.text)) return null;
  return { mentions: [mentionOf(code, chunk, next)], extra: 1 };
}

/** "p0171p0174", "andp1166", "codep0420". */
function readRunTogether(chunk: Chunk): { mentions: Mention[]; extra: number } | null {
  if (chunk.text.length < 6 || chunk.text.length > 80 || !chunk.text.includes('p')) return null;
  const mentions: Mention[] = [];
  for (let at = chunk.text.indexOf('p'); at >= 0; at = chunk.text.indexOf('p', at + 1)) {
    const piece = chunk.text.slice(at, at + 5);
    if (
      !/^p[0-3o]\d{3}$/.test(piece) ||
      /\d/.test(chunk.text[at + 5] ?? '') ||
      (/\d/.test(chunk.text[at - 1] ?? '') && at > 0 && mentions.length === 0)
    )
      continue;
    const code = toStandardForm(piece);
    if (code)
      mentions.push({
        code,
        standard: isStandard(code),
        start: chunk.start + at,
        end: chunk.start + at + 5,
        token: chunk.first,
        last: chunk.last,
      });
  }
  return mentions.length > 0 ? { mentions, extra: 0 } : null;
}

/** "0F 1A" at the beginning of a line of a list of stored faults: two hexadecimal pairs, as some makers print them. */
function readHexPair(chunk: Chunk, next: Chunk, tokens: readonly Token[]): Mention | null {
  if (!/^(of|0f|[0-9a-f]{2})$/.test(chunk.text) || !/^[0-9a-f]{2}$/.test(next.text) || next.first !== chunk.last)
    return null;
  if (!/\d/.test(next.text)) return null;
  let before = chunk.first - 1;
  while (before >= 0 && tokens[before]!.kind === 'punctuation' && chunk.first - before < 4) before -= 1;
  const opensLine =
    before < 0 ||
    tokens[before]!.kind === 'newline' ||
    tokens[before]!.text === 'and' ||
    tokens[before]!.text === 'codes' ||
    tokens[before]!.text === 'code';
  const follows = tokens[next.last];
  if (!opensLine || !follows || (follows.kind !== 'word' && follows.text !== '-' && follows.text !== ':')) return null;
  return {
    code: `${chunk.text} ${next.text}`.toUpperCase(),
    standard: false,
    start: chunk.start,
    end: next.end,
    token: chunk.first,
    last: next.last,
  };
}

/** Whether only list marks and joining words stand between two chunks. */
function joinsList(tokens: readonly Token[], from: Chunk, to: Chunk): boolean {
  if (to.first - from.last > 4) return false;
  for (let index = from.last; index < to.first; index += 1) {
    if (!/^[,/&+;-]$|^(and|or|then|also|plus|n|code|codes|a|an|with|hex)$/.test(tokens[index]!.text)) return false;
  }
  return true;
}

/** The next of a list: "P0171/0174", "P0300, 301 and 302", "codes 15, 16". */
function continueList(
  chunk: Chunk,
  list: { letter: string; style: string },
  tokens: readonly Token[],
  from: Chunk,
): Mention | null {
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
    if (!/^(\d{2,3}|\d{5}|[0-9a-f]{4})$/.test(chunk.text) || !/\d/.test(chunk.text) || isMeasured(tokens, chunk))
      return null;
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
function standsAsCode(tokens: readonly Token[], chunk: Chunk, oldCar: boolean): boolean {
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
  for (let back = 1; back <= 7; back += 1) {
    const token = tokens[chunk.first - back];
    if (!token || (token.kind === 'newline' && back > 2)) return false;
    if (codeNouns.test(token.text)) return !/^(cel|mil)$/.test(token.text) || chunk.text.length >= 3;
    if (/^(flash|flashes|flashed|blink|blinks|blinked)$/.test(token.text) && back <= 3)
      return chunk.text.length <= 2 && oldCar;
    if (
      /^(got|gave|gives|get)$/.test(token.text) &&
      back <= 2 &&
      oldCar &&
      chunk.text.length === 2 &&
      afterIsBack(after)
    )
      return true;
    if (/^(threw|throws|throwing|thrown|threw|pulled|pulling)$/.test(token.text) && back <= 3)
      return chunk.text.length === 3 || chunk.text.length === 4;
    if (!between.test(token.text) && token.kind !== 'newline') return false;
  }
  return false;
}

function afterIsBack(after: Token | undefined): boolean {
  return after === undefined || /^(back|out|,|\.|;|on)$/.test(after.text);
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

function readBare(chunk: Chunk, oldCar: boolean, cased: string, knowledge: Knowledge): Mention | null {
  const text = chunk.text;
  const typed = cased.slice(chunk.start, chunk.end);
  const outside = (code: string): Mention => ({
    code,
    standard: false,
    start: chunk.start,
    end: chunk.end,
    token: chunk.first,
    last: chunk.last,
  });
  if (/^\d{2}$/.test(text)) return outside(text);
  if (/^\d$/.test(text)) return oldCar ? outside(text) : null;
  if (/^\d{3}$/.test(text)) {
    if (oldCar) return outside(text);
    const code = `P0${text}`;
    return knowledge.codes.length === 0 || knowledge.codes.byId.has(code) || /^[1-7]/.test(text)
      ? mentionOf(code, chunk, chunk)
      : null;
  }
  if (/^0\d{3}$/.test(text)) return mentionOf(`P${text}`, chunk, chunk);
  if (/^[1-3]\d{3}$/.test(text)) {
    const year = Number(text);
    return year >= 1950 && year <= 2035 ? null : mentionOf(`P${text}`, chunk, chunk);
  }
  if (/^\d{5}$/.test(text)) return outside(text);
  return /^[0-9a-f]{4}$/.test(text) && /\d/.test(text) ? outside(typed.toUpperCase()) : null;
}

function mentionOf(code: string, from: Chunk, to: Chunk): Mention {
  return { code, standard: isStandard(code), start: from.start, end: to.end, token: from.first, last: to.last };
}

/**
 * Whether the open standard sets a code's meaning: P0, P2, P34 to P39, U0, U3, B0 and C0; the others are the makers'.
 * Source: ISO 15031-6 / SAE J2012, layout of the code (from memory).
 */
function isStandard(code: string): boolean {
  return /^(P0|P2|P3[4-9A-F]|U0|U3|B0|C0)/.test(code);
}

/** A five-digit maker form that stands beside its own standard form ("16486 - P0102"): one code said twice. */
function isTwin(mention: Mention, mentions: readonly Mention[]): boolean {
  if (!/^\d{5}$/.test(mention.code)) return false;
  const offset = Number(mention.code) - 16_384;
  const letters =
    offset >= 1024 ? `P1${String(offset - 1024).padStart(3, '0')}` : `P0${String(offset).padStart(3, '0')}`;
  return mentions.some((other) => other.code === letters && Math.abs(other.start - mention.start) < 60);
}

const statusWords: ReadonlyMap<string, NonNullable<CodeFinding['status']>> = new Map([
  ['pending', 'pending'],
  ['stored', 'stored'],
  ['confirmed', 'stored'],
  ['permanent', 'permanent'],
  ['history', 'history'],
  ['historic', 'history'],
  ['historical', 'history'],
]);

/** Status said of a code: right behind it or behind the list that it begins, else as the heading of the list that it stands in. */
function statusOf(tokens: readonly Token[], mention: Mention): CodeFinding['status'] {
  for (let index = mention.last; index < mention.last + 24; index += 1) {
    const token = tokens[index];
    if (!token || token.kind === 'newline' || /^[.;]$/.test(token.text)) break;
    const status = statusWords.get(token.text);
    if (status) {
      if (tokens[index + 1]?.text !== ':' && !/^codes?$/.test(tokens[index + 1]?.text ?? '')) return status;
      break;
    }
    // Over further codes and joining words the status of the whole list is reached ("P0171 and P0174 both stored").
    if (
      !/^([,(/&]|and|both|all|are|is|was|were|as|which|it|shows?|as|a|the|also|p|po|u)$/.test(token.text) &&
      token.kind !== 'number'
    )
      break;
    if (
      token.text === ',' &&
      tokens[index + 1]?.kind === 'word' &&
      !/^(p|po|u|both|all|and)$/.test(tokens[index + 1]!.text)
    )
      break;
  }
  let lines = 0;
  for (let index = mention.token - 1; index >= 0 && mention.token - index < 40; index -= 1) {
    const token = tokens[index]!;
    const status = statusWords.get(token.text);
    if (status && tokens[index - 1]?.text !== 'no' && isHeading(tokens, index)) return status;
    if (token.text === '.' && tokens[index + 1]?.spaced !== false) break;
    if (token.kind === 'newline') {
      lines += 1;
      if (lines > 1 && tokens[index - 1]?.kind === 'newline') break;
    }
  }
  return null;
}

/** Whether a status word leads what follows ("pending: P0420", "stored codes P0171") and does not close what went before. */
function isHeading(tokens: readonly Token[], index: number): boolean {
  const next = tokens[index + 1];
  return (
    next !== undefined &&
    (/^(:|-|=|codes?|dtcs?|dtc|faults?|trouble|code|fault|is|are|in|error|p|po)$/.test(next.text) ||
      next.kind === 'newline')
  );
}

/** "no P0300", "not the P0420", "without P0171", "P0300 isn't there" is left to the clause. */
function isDenied(tokens: readonly Token[], first: number): boolean {
  for (let back = 1; back <= 3; back += 1) {
    const token = tokens[first - back];
    if (!token || token.kind === 'punctuation' || token.kind === 'newline') return false;
    if (/^(no|not|without|never)$/.test(token.text)) return !/^(only|just)$/.test(tokens[first - back + 1]!.text);
    if (!/^(a|an|any|the|more|longer|have|get|getting|code|codes|dtc)$/.test(token.text)) return false;
  }
  return false;
}

function isOldYear(chunk: Chunk, tokens: readonly Token[]): boolean {
  const previous = tokens[chunk.first - 1];
  if (/^19[5-9]\d$/.test(chunk.text)) return Number(chunk.text) < 1996;
  return /^[5-9]\d$/.test(chunk.text) && Number(chunk.text) < 96 && (previous?.text === "'" || chunk.first === 0);
}
