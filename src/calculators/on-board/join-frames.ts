// Lines of a reply as an adapter prints them -> the bytes that each control unit sent, with multi-line replies put together.
import { type Result, refuse } from '../result.ts';

/** More than any reply holds, and the work is bounded by it. */
const mostLines = 2000;
const mostBytes = 4095;

interface Pending {
  length: number;
  bytes: number[];
  next: number;
}

/**
 * Understands CAN with 11-bit or 29-bit headers ("7E8 06 41 00 ..."), CAN without headers (a length line, then "0: 43 ..", "1: .."), and single lines
 * of any bus without headers. Lines that are no bytes ("NO DATA", "SEARCHING...") are passed over.
 *
 * @param lines as received, blanks between bytes or none
 * @returns payloads by control unit ("7e8", or "" where no header tells them apart), each beginning with the service byte; refused when a
 *          frame of a multi-line reply is missing or when no line holds a reply
 * Source: iso-15765-2 (frame types), from memory.
 */
export function joinFrames(lines: readonly string[]): Result<Array<{ unit: string; bytes: number[] }>> {
  const replies: Array<{ unit: string; bytes: number[] }> = [];
  const pending = new Map<string, Pending>();
  for (const line of lines.slice(0, mostLines)) {
    const read = readLine(line.slice(0, 400));
    if (read === null) continue;
    const { unit, index, bytes, length } = read;
    if (unit !== '') takeFrame(unit, bytes, pending, replies);
    else if (index !== null) takeIndexed(index, bytes, pending);
    else if (length !== null) pending.set('', { length, bytes: [], next: 0 });
    // Replies begin at 40; below that it is the request, echoed.
    else if (bytes[0]! >= 0x40) replies.push({ unit: '', bytes });
  }
  for (const [unit, reply] of pending) {
    if (reply.bytes.length < reply.length)
      return refuse('A line of the reply is missing, so it cannot be put together.');
    // Numbered lines without a length line: all that came, padding included.
    replies.push({ unit, bytes: reply.length === 0 ? reply.bytes : reply.bytes.slice(0, reply.length) });
  }
  return replies.length === 0 ? refuse('There is no reply in these lines.') : { valid: true, value: replies };
}

interface Line {
  readonly unit: string;
  /** Line number of the form without headers. */
  readonly index: number | null;
  readonly bytes: number[];
  /** Total length, when the line announces it. */
  readonly length: number | null;
}

/** What a line holds; null when it is no reply. */
function readLine(line: string): Line | null {
  const indexed = /^\s{0,20}([0-9A-Fa-f]):/.exec(line);
  const rest = (indexed ? line.slice(indexed[0].length) : line).replaceAll(/[\s>]/g, '');
  if (!/^[0-9A-Fa-f]{2,}$/.test(rest)) return null;
  // A length line of the form without headers has three digits: 00A.
  const plain = { unit: '', index: null, length: null };
  if (!indexed && /^0[0-9A-Fa-f]{2}$/.test(rest)) return { ...plain, bytes: [], length: Number.parseInt(rest, 16) };
  if (!indexed && rest.length % 2 === 1 && /^7[0-9A-Fa-f]{2}/.test(rest))
    return { ...plain, unit: rest.slice(0, 3).toLowerCase(), bytes: bytesOf(rest.slice(3)) };
  if (!indexed && /^18DAF1[0-9A-F]{2}/i.test(rest) && rest.length > 8)
    return { ...plain, unit: rest.slice(0, 8).toLowerCase(), bytes: bytesOf(rest.slice(8)) };
  if (rest.length % 2 === 1) return null;
  return { ...plain, index: indexed ? Number.parseInt(indexed[1]!, 16) : null, bytes: bytesOf(rest) };
}

function bytesOf(hexadecimal: string): number[] {
  return Array.from({ length: hexadecimal.length >> 1 }, (_, at) =>
    Number.parseInt(hexadecimal.slice(2 * at, 2 * at + 2), 16),
  );
}

/** One CAN frame with its control byte in front. */
function takeFrame(
  unit: string,
  frame: readonly number[],
  pending: Map<string, Pending>,
  replies: Array<{ unit: string; bytes: number[] }>,
): void {
  const control = frame[0] ?? 0xff;
  if (control <= 0x0f) {
    if (control >= 1 && frame.length > control) replies.push({ unit, bytes: frame.slice(1, 1 + control) });
  } else if (control <= 0x1f) {
    const length = ((control & 0x0f) << 8) | (frame[1] ?? 0);
    pending.set(unit, { length: Math.min(length, mostBytes), bytes: frame.slice(2), next: 1 });
  } else if (control <= 0x2f) {
    const open = pending.get(unit);
    if (open && open.next === (control & 0x0f) && open.bytes.length < open.length) {
      open.bytes.push(...frame.slice(1));
      open.next = (open.next + 1) & 0x0f;
    }
  }
}

/** One numbered line behind a length line. */
function takeIndexed(index: number, bytes: readonly number[], pending: Map<string, Pending>): void {
  const open = pending.get('');
  if (!open) {
    if (index === 0) pending.set('', { length: 0, bytes: [...bytes], next: 1 });
    return;
  }
  if (index !== open.next) return;
  open.bytes.push(...bytes);
  open.next = (index + 1) & 0x0f;
}
