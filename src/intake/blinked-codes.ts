// Codes that an older car blinks: "2-1-2", "4 blinks then 2", "one long and three short flashes". Never turned into a standard code.
// read-codes.ts calls it.
import type { Chunk } from './chunks.ts';
import type { CodeMention } from './code-mention.ts';
import type { Token } from './tokens.ts';

const words: readonly string[] = 'zero one two three four five six seven eight nine'.split(' ');
const blinking = /^(blink|blinks|blinked|blinking|flash|flashes|flashed|flashing|pulses)$/;
const parting = /^(then|and|,|-|;|pause|pauses|paused|followed|by|a|wait|with|short|long|gap|\.|after|\(|\))$/;
const firm = /^(then|and|,|-|pause|pauses|paused|followed)$/;

/** "2-1-2": blinks counted in groups, as older cars give them. */
export function readBlinkGroups(chunks: readonly Chunk[], index: number, tokens: readonly Token[]): CodeMention | null {
  const [first, second, third] = [chunks[index]!, chunks[index + 1], chunks[index + 2]];
  if (!second || !third) return null;
  const isGroup = (chunk: Chunk) => /^[1-6]$/.test(chunk.text);
  const isDash = (at: number) => tokens[at]?.text === '-' && tokens[at]!.spaced === false;
  if (![first, second, third].every(isGroup) || second.first !== first.last + 1 || third.first !== second.last + 1)
    return null;
  if (
    !isDash(first.last) ||
    !isDash(second.last) ||
    tokens[third.last]?.text === '-' ||
    tokens[first.first - 1]?.text === '-'
  )
    return null;
  return {
    code: `${first.text}-${second.text}-${third.text}`,
    standard: false,
    start: first.start,
    end: third.end,
    token: first.first,
    last: third.last,
  };
}

/** Two counts parted by a pause make a two-digit code. */
export function readBlinks(chunk: Chunk, tokens: readonly Token[]): CodeMention | null {
  const tensDigit = countAt(tokens, chunk.first);
  if (tensDigit === null || chunk.last !== chunk.first + 1) return null;
  const text = (at: number) => tokens[at]?.text ?? '';
  let at = chunk.last;
  let blinks = [1, 2, 3].some((back) => blinking.test(text(chunk.first - back)));
  let lengths = 0;
  if (/^(long|slow|big)$/.test(text(at))) {
    lengths += 1;
    at += 1;
  }
  if (/^times?$/.test(text(at))) at += 1;
  if (blinking.test(text(at))) {
    blinks = true;
    at += 1;
  }
  const pauseFrom = at;
  while (at - pauseFrom < 6 && parting.test(text(at)) && countAt(tokens, at) === null) at += 1;
  const pause = tokens.slice(pauseFrom, at);
  const onesDigit = countAt(tokens, at);
  if (onesDigit === null || !pause.some((token) => firm.test(token.text))) return null;
  let last = at + 1;
  if (/^(short|quick|fast|small|times?|more)$/.test(text(last))) {
    if (/^(short|quick|fast|small)$/.test(text(last))) lengths += 1;
    last += 1;
  }
  if (blinking.test(text(last))) {
    blinks = true;
    last += 1;
  }
  if (!(blinks || lengths === 2) || /^(-|seconds?|secs?|minutes?|mins?|hours?|days?|%)$/.test(text(last))) return null;
  return {
    code: `${tensDigit}${onesDigit}`,
    standard: false,
    start: chunk.start,
    end: tokens[last - 1]!.end,
    token: chunk.first,
    last,
  };
}

/** A count of one to nine, in a digit or a word, that is no part of a longer number. */
function countAt(tokens: readonly Token[], at: number): number | null {
  const token = tokens[at];
  if (!token) return null;
  const word = words.indexOf(token.text);
  if (word > 0) return word;
  if (!/^[1-9]$/.test(token.text)) return null;
  const [before, after] = [tokens[at - 1], tokens[at + 1]];
  const isGlued = (mark: Token | undefined, other: Token | undefined) =>
    /^[.,/:]$/.test(mark?.text ?? '') && other?.kind === 'number' && !other.spaced;
  if (!token.spaced && before && before.kind !== 'punctuation') return null;
  if (!token.spaced && before && isGlued(before, token) && tokens[at - 2]?.kind === 'number') return null;
  if (after && !after.spaced && (after.kind !== 'punctuation' || isGlued(after, tokens[at + 2]))) return null;
  return Number(token.text);
}
