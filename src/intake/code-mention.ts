// One code as it stands in a post, and the standard's way of writing it. read-codes.ts and bare-codes.ts share it.
import type { Chunk } from './chunks.ts';

export interface CodeMention {
  /** Upper case, or as typed when outside the standard. */
  readonly code: string;
  readonly standard: boolean;
  readonly start: number;
  readonly end: number;
  readonly token: number;
  readonly last: number;
  /** Given by its definition and not by its number. */
  readonly inWords?: true;
}

/** Standard spelling of five characters; the letters o, i and l stand for digits. Null when it is no code. */
export function toStandardForm(text: string): string | null {
  const match = /^([pbcu])([0-3oil])([0-9a-foil]{3})$/.exec(text);
  if (!match) return null;
  if (!/\d/.test(text)) return null;
  const tail = match[3]!.replaceAll('o', '0').replace(/[il]/g, '1');
  if (!/^[0-9a-f]{3}$/.test(tail) || (tail.match(/\d/g)?.length ?? 0) < 1) return null;
  return (match[1]! + match[2]!.replace('o', '0').replace(/[il]/, '1') + tail).toUpperCase();
}

/** A mention from its first to its last chunk. */
export function mentionOf(code: string, from: Chunk, to: Chunk): CodeMention {
  return { code, standard: isStandard(code), start: from.start, end: to.end, token: from.first, last: to.last };
}

/**
 * Whether the open standard sets a code's meaning: P0, P2, P34 to P39, U0, U3, B0 and C0; the others are the makers'.
 * Source: ISO 15031-6 / SAE J2012, layout of the code (from memory).
 */
export function isStandard(code: string): boolean {
  return /^(P0|P2|P3[4-9A-F]|U0|U3|B0|C0)/.test(code);
}
