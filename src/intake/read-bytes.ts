// Reads pasted on-board replies in hexadecimal ("41 0C 1A F8", "7E8 06 43 02 01 71 03 00") into readings and codes. read-post.ts
// calls it after the codes and before everything else that reads figures.
import { codeFromBytes } from '../calculators/on-board/trouble-code-bytes.ts';
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { CodeFinding, Finding } from '../vocabulary/findings.ts';
import { quantities } from '../vocabulary/quantities.ts';
import { findingBase } from './finding-base.ts';
import { readableLength, readParameter } from './on-board-parameters.ts';
import { isTaken, type ReaderInput, type ReaderResult } from './reader.ts';
import { findReplies, type Reply } from './reply-frames.ts';
import type { Token } from './tokens.ts';

const statusOf: ReadonlyMap<number, CodeFinding['status']> = new Map([
  [0x43, 'stored'],
  [0x47, 'pending'],
  [0x4a, 'permanent'],
]);

/** Readings and codes of all replies. Of several units that answer the same the engine's (7E8) counts. */
export function readBytes(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const replies = findReplies(input.text.folded).filter((reply) => !isTaken(input.taken, reply.start, reply.end));
  const findings: Finding[] = [];
  const seen = new Set<string>();
  const hasEngineUnit = replies.some((reply) => reply.unit === '7e8');
  for (const reply of replies) {
    if (hasEngineUnit && reply.unit !== '' && reply.unit !== '7e8' && reply.bytes[0] === 0x41) continue;
    const token = tokenAt(input.tokens, reply.start);
    if (reply.bytes[0] === 0x41 || reply.bytes[0] === 0x42) findings.push(...readParameters(input, reply, token));
    else findings.push(...readTroubleCodes(input, knowledge, reply, token, seen));
  }
  return { findings, conflicts: [], used: replies.map((reply) => [reply.start, reply.end] as const) };
}

/** Service 01 and the freeze frame (02, which has a frame number behind each parameter): one or several parameters in a row. */
function readParameters(input: ReaderInput, reply: Reply, token: number): Finding[] {
  const findings: Finding[] = [];
  const isFrozen = reply.bytes[0] === 0x42;
  for (let at = 1; at < reply.bytes.length; ) {
    const parameter = reply.bytes[at]!;
    const length = readableLength(parameter);
    const from = at + (isFrozen ? 2 : 1);
    if (length === null || from + length > reply.bytes.length) break;
    for (const reading of readParameter(parameter, reply.bytes.slice(from, from + length))) {
      const [lowest, highest] = quantities[reading.quantity].possible;
      if (reading.value < lowest || reading.value > highest) continue;
      findings.push({
        ...findingBase(input, reply.start, reply.end, token, 'present'),
        kind: 'reading',
        quantity: reading.quantity,
        value: reading.value,
        bank: reading.bank,
        sensor: reading.sensor,
        when: null,
        range: null,
        limit: null,
        unitAssumed: false,
        original: {
          value: reply.bytes
            .slice(at, from + length)
            .map((byte) => byte.toString(16).padStart(2, '0').toUpperCase())
            .join(' '),
          unit: 'bytes',
        },
      });
    }
    at = from + length;
    // Without a header a reply holds one parameter; what follows is padding.
    if (reply.unit === '' && reply.bytes.length - at < 2) break;
  }
  return findings;
}

/** Services 03, 07 and 0A: pairs of bytes, on CAN behind a count; zeros fill up. No code at all is a complete list. */
function readTroubleCodes(
  input: ReaderInput,
  knowledge: Knowledge,
  reply: Reply,
  token: number,
  seen: Set<string>,
): Finding[] {
  const findings: Finding[] = [];
  const data = reply.bytes.slice(1);
  const isCounted = data.length % 2 === 1;
  const pairs = isCounted ? data.slice(1, 1 + 2 * data[0]!) : data;
  const status = statusOf.get(reply.bytes[0]!)!;
  let any = false;
  for (let at = 0; at + 1 < pairs.length; at += 2) {
    const code = codeFromBytes(pairs[at]!, pairs[at + 1]!);
    if (code === null) continue;
    any = true;
    if (seen.has(`${code} ${status}`)) continue;
    seen.add(`${code} ${status}`);
    const known = knowledge.codes.byId.get(code);
    findings.push({
      ...findingBase(input, reply.start, reply.end, token, 'present'),
      kind: 'code',
      code,
      bank: known?.bank ?? null,
      sensor: known?.sensor ?? null,
      standard: /^(P0|P2|P3[4-9A-F]|U0|U3|B0|C0)/.test(code),
      status,
    });
  }
  if (!any && status === 'stored')
    findings.push({
      ...findingBase(input, reply.start, reply.end, token, 'present'),
      kind: 'code-list',
      complete: true,
    });
  return findings;
}

/** Token that holds or follows a folded place. */
function tokenAt(tokens: readonly Token[], place: number): number {
  let [low, high] = [0, tokens.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (tokens[middle]!.end <= place) low = middle + 1;
    else high = middle;
  }
  return Math.min(low, Math.max(0, tokens.length - 1));
}
