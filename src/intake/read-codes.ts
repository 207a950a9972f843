// Reads trouble codes in every spelling that people use, and statements that there are none. read-post.ts calls it first,
// so that no digit of a code is taken for a reading.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { CodeFinding, Finding } from '../vocabulary/findings.ts';
import {
  type CodeTalk,
  continueList,
  isOldYear,
  joinsList,
  type OpenList,
  readBare,
  standsAsCode,
} from './bare-codes.ts';
import { readBlinkGroups, readBlinks } from './blinked-codes.ts';
import { type Chunk, splitChunks } from './chunks.ts';
import { readCodeList } from './code-list.ts';
import { type CodeMention, isStandard, mentionOf, toStandardForm } from './code-mention.ts';
import { statusOf } from './code-status.ts';
import { findCodeWords } from './code-words.ts';
import { contextAt, findingBase } from './finding-base.ts';
import { isTaken, type ReaderInput, type ReaderResult } from './reader.ts';
import type { Token } from './tokens.ts';
import { findVehicles, type VehicleName } from './vehicle-names.ts';

/** Codes and code lists of a post. Linear in its length. */
export function readCodes(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const written = findMentions(input, knowledge);
  const inWords = findCodeWords(input, knowledge, written);
  const mentions = [...written, ...inWords].sort((a, b) => a.start - b.start);
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
      ...(mention.inWords ? { inWords: true } : {}),
    };
    findings.push(finding);
  }
  const list = readCodeList(input, findings.length > 0);
  return {
    findings: [...findings, ...list.findings],
    conflicts: [],
    used: [...written.map((mention) => [mention.start, mention.end] as const), ...list.used].sort(
      (a, b) => a[0] - b[0],
    ),
  };
}

function findMentions(input: ReaderInput, knowledge: Knowledge): CodeMention[] {
  const { tokens } = input;
  const chunks = splitChunks(tokens).filter((chunk) => !isTaken(input.taken, chunk.start, chunk.end));
  const talksOfCodes = chunks.some((chunk) =>
    /^(codes?|dtcs?|obd|obd2|obdii|faults?|cel|scan|scanned|scanner|mil|stored)$/.test(chunk.text),
  );
  const vehicles = findVehicles(input.text, tokens, knowledge);
  const talk: CodeTalk = {
    codes: talksOfCodes,
    oldCar: chunks.some((chunk) => isOldYear(chunk, tokens)) || namesOldCar(tokens, vehicles),
    // Makers of one group print codes as five-digit decimals.
    decimals: talksOfCodes || /\b(vw|volkswagen|audi|seat|skoda|passat|golf|jetta|passat)\b/.test(input.text.folded),
    makersOwn: vehicles.some(({ make }) => make === 'bmw') || /\b(e36|e39|e46|e38|e53)\b/.test(input.text.folded),
  };
  const mentions: CodeMention[] = [];
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
    const hexadecimal =
      next && talksOfCodes ? (readHexPair(chunk, next, tokens) ?? readBlinkGroups(chunks, index, tokens)) : null;
    const grouped = hexadecimal ?? readBlinks(chunk, tokens);
    if (grouped) {
      mentions.push(grouped);
      while (chunks[index + 1] && chunks[index + 1]!.first < grouped.last) index += 1;
      continue;
    }
    const goesOn: OpenList | null = list && joinsList(tokens, chunks[list.chunk]!, chunk) ? list : null;
    const bare = goesOn ? continueList(chunk, goesOn, tokens, chunks[goesOn.chunk]!) : null;
    if (bare) {
      mentions.push(bare);
      list = { letter: goesOn!.letter, style: goesOn!.style, chunk: index };
      continue;
    }
    if (/^\d{1,5}$|^[0-9a-f]{4}$|^[0-9a-f]{2}$/.test(chunk.text) && standsAsCode(tokens, chunk, talk)) {
      const mention = readBare(chunk, talk, input.text.cased, knowledge);
      if (mention) {
        mentions.push(mention);
        list = { letter: mention.standard ? 'P' : '', style: mention.standard ? 'bare' : 'flash', chunk: index };
      }
    }
  }
  return mentions.filter((mention, index) => !isTwin(mention, mentions.slice(Math.max(0, index - 2), index + 3)));
}

/** Whether a car of before 1996 is named with a two-digit year ("my 88 Camry"). */
function namesOldCar(tokens: readonly Token[], vehicles: readonly VehicleName[]): boolean {
  return vehicles.some(({ first }) => {
    const year = tokens[first - 1]?.text ?? '';
    return /^[6-9]\d$/.test(year) && Number(year) < 96;
  });
}

/** "P0171", "PO171", "p0I71", "U0100"; B, C and U codes only where codes are talked of and no car has that name. */
function readWhole(
  chunk: Chunk,
  talksOfCodes: boolean,
  knowledge: Knowledge,
): { mentions: CodeMention[]; extra: number } | null {
  const code = toStandardForm(chunk.text);
  if (!code) return null;
  if (code[0] !== 'P') {
    if (!talksOfCodes || !/^[bcu][0-3]/.test(chunk.text)) return null;
    if (knowledge.makes.some((make) => make.models.includes(chunk.text) || make.shared.includes(chunk.text)))
      return null;
  }
  return { mentions: [mentionOf(code, chunk, chunk)], extra: 0 };
}

/** "P 0171", "p o171", "p-0171", "p0 171", "P.0171". */
function readSplit(
  chunk: Chunk,
  next: Chunk,
  tokens: readonly Token[],
): { mentions: CodeMention[]; extra: number } | null {
  if (!/^p[0-3o]?$/.test(chunk.text) || next.first - chunk.last > 1) return null;
  const between = tokens[chunk.last];
  if (next.first > chunk.last && between!.text !== '-' && between!.text !== '.' && between!.text !== '#') return null;
  if (!/^[0-9o][0-9a-fo]{1,3}$/.test(next.text)) return null;
  const code = toStandardForm(chunk.text + next.text);
  if (!code || !/\d\d/.test(next.text)) return null;
  return { mentions: [mentionOf(code, chunk, next)], extra: 1 };
}

/** "p0171p0174", "andp1166", "codep0420". */
function readRunTogether(chunk: Chunk): { mentions: CodeMention[]; extra: number } | null {
  if (chunk.text.length < 6 || chunk.text.length > 80 || !chunk.text.includes('p')) return null;
  const mentions: CodeMention[] = [];
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
function readHexPair(chunk: Chunk, next: Chunk, tokens: readonly Token[]): CodeMention | null {
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

/** A five-digit maker form that stands beside its own standard form ("16486 - P0102"): one code said twice. */
function isTwin(mention: CodeMention, mentions: readonly CodeMention[]): boolean {
  if (!/^\d{5}$/.test(mention.code)) return false;
  const offset = Number(mention.code) - 16_384;
  const letters =
    offset >= 1024 ? `P1${String(offset - 1024).padStart(3, '0')}` : `P0${String(offset).padStart(3, '0')}`;
  return mentions.some((other) => other.code === letters && Math.abs(other.start - mention.start) < 60);
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
