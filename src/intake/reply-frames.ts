// Finds on-board replies in hexadecimal in a text and puts their bytes together: one line or several, with or without blanks, CAN
// headers, older three-byte headers and checksums, numbered continuation lines. read-bytes.ts calls it.

export interface Reply {
  /** Address of the answering unit as typed ("7e8"); empty without headers. */
  readonly unit: string;
  /** From the service byte on. */
  readonly bytes: readonly number[];
  /** [start, end) in the folded text, from the first to the last line of the reply. */
  readonly start: number;
  readonly end: number;
}

const longestLine = 160;
const services = new Set([0x41, 0x42, 0x43, 0x47, 0x4a]);

interface Line {
  readonly text: string;
  readonly start: number;
  readonly end: number;
}

/** Replies of a folded text in order of place. Linear: each line is looked at once, its length is bounded. */
export function findReplies(folded: string): Reply[] {
  const replies: Reply[] = [];
  /** Multi-frame replies that still want bytes, by unit; the empty name is for numbered lines. */
  const open = new Map<string, { wanted: number; bytes: number[]; start: number; end: number }>();
  for (const line of splitLines(folded)) {
    const digits = line.text.replace(/^[>\s]+/, '').replace(/[\s>]+$/, '');
    const length = /^0[0-9a-f]{2}$/.exec(digits);
    if (length) {
      open.set('', { wanted: Number.parseInt(digits, 16), bytes: [], start: line.start, end: line.end });
      continue;
    }
    const numbered = /^([0-9a-f]) ?: ?([0-9a-f ]{2,60})$/.exec(digits);
    const pending = open.get('');
    if (numbered && pending) {
      continueReply(pending, bytesOf(numbered[2]!), line);
      if (pending.bytes.length >= pending.wanted) {
        open.delete('');
        addReply(replies, '', pending.bytes.slice(0, pending.wanted), pending.start, pending.end);
      }
      continue;
    }
    if (!/^[0-9a-f ]{4,120}$/.test(digits)) {
      replies.push(...findInProse(line));
      continue;
    }
    readFrame(digits, line, open, replies);
  }
  return replies;
}

function* splitLines(folded: string): Generator<Line> {
  let start = 0;
  for (let index = 0; index <= folded.length; index += 1) {
    const isEnd = index === folded.length || folded[index] === '\n' || folded[index] === '>';
    if (!isEnd && index - start < longestLine * 4) continue;
    if (index > start) yield { text: folded.slice(start, Math.min(index, start + longestLine * 4)), start, end: index };
    start = folded[index] === '\n' || folded[index] === '>' ? index + 1 : index;
  }
}

function readFrame(
  digits: string,
  line: Line,
  open: Map<string, { wanted: number; bytes: number[]; start: number; end: number }>,
  replies: Reply[],
): void {
  const compact = digits.replaceAll(' ', '');
  const can = /^(7e[89a-f]|18daf1[0-9a-f]{2})([0-9a-f]{4,16})$/.exec(compact);
  if (can) {
    const unit = can[1]!;
    const bytes = pairs(can[2]!);
    const kind = bytes[0]! >> 4;
    if (kind === 0) addReply(replies, unit, bytes.slice(1, 1 + (bytes[0]! & 15)), line.start, line.end);
    else if (kind === 1)
      open.set(unit, {
        wanted: (bytes[0]! & 15) * 256 + bytes[1]!,
        bytes: bytes.slice(2),
        start: line.start,
        end: line.end,
      });
    else if (kind === 2) {
      const pending = open.get(unit);
      if (!pending) return;
      continueReply(pending, bytes.slice(1), line);
      if (pending.bytes.length >= pending.wanted) {
        open.delete(unit);
        addReply(replies, unit, pending.bytes.slice(0, pending.wanted), pending.start, pending.end);
      }
    }
    return;
  }
  if (compact.length % 2 !== 0) return;
  const bytes = pairs(compact);
  // 48 6B 10 41 .. checksum: the older buses' header, three bytes in front and one behind.
  if (bytes.length >= 6 && bytes[0] === 0x48 && bytes[1] === 0x6b && services.has(bytes[3]!)) {
    addReply(replies, (bytes[2] ?? 0).toString(16), bytes.slice(3, -1), line.start, line.end);
    return;
  }
  // Without a header only what cannot be prose: enough bytes, and blanks in pairs or not at all.
  const plain = /^[0-9a-f]{4,}$/.test(digits) || /^[0-9a-f]{2}( [0-9a-f]{2})+$/.test(digits);
  if (plain && services.has(bytes[0]!) && isSure(bytes, digits)) addReply(replies, '', bytes, line.start, line.end);
}

/** Whether bytes without header are a reply and not a row of figures. */
function isSure(bytes: readonly number[], typed: string): boolean {
  if (bytes[0] === 0x43 || bytes[0] === 0x47 || bytes[0] === 0x4a)
    return (
      bytes.length >= 5 ||
      (bytes.length === 2 && bytes[1] === 0 && !typed.includes(' ') === true) ||
      (bytes.length === 2 && bytes[1] === 0)
    );
  return bytes.length >= 3;
}

/** A reply within a sentence: "it answers 41 0C 1A F8". Only with a hexadecimal letter, so that plain figures are left alone. */
function findInProse(line: Line): Reply[] {
  const replies: Reply[] = [];
  const pattern = /(?:^|[^0-9a-z.,])(4[1237a](?: [0-9a-f]{2}){2,40}|4[1237a](?:[0-9a-f]{2}){2,40})(?![0-9a-z])/g;
  for (const found of line.text.matchAll(pattern)) {
    const typed = found[1]!;
    if (!/[a-f]/.test(typed.slice(2))) continue;
    const start = line.start + found.index + found[0].length - typed.length;
    addReply(replies, '', pairs(typed.replaceAll(' ', '')), start, start + typed.length);
  }
  return replies;
}

function continueReply(pending: { bytes: number[]; end: number }, bytes: readonly number[], line: Line): void {
  if (pending.bytes.length < 512) pending.bytes.push(...bytes);
  pending.end = line.end;
}

function addReply(replies: Reply[], unit: string, bytes: readonly number[], start: number, end: number): void {
  if (bytes.length >= 2 && services.has(bytes[0]!)) replies.push({ unit, bytes, start, end });
}

function bytesOf(text: string): number[] {
  const compact = text.replaceAll(' ', '');
  return compact.length % 2 === 0 ? pairs(compact) : [];
}

function pairs(compact: string): number[] {
  const bytes: number[] = [];
  for (let at = 0; at + 1 < compact.length; at += 2) bytes.push(Number.parseInt(compact.slice(at, at + 2), 16));
  return bytes;
}
