// Runs of letters and digits with nothing between them ("p0171", "b1s1", "2az"): codes, engines and places are read from these.
import type { Token } from './tokens.ts';

export interface Chunk {
  readonly text: string;
  /** Token indexes [first, last). */
  readonly first: number;
  readonly last: number;
  readonly start: number;
  readonly end: number;
  /** True when a blank or line end stands before it. */
  readonly spaced: boolean;
}

/** Chunks in order of place; punctuation and line ends belong to none. */
export function splitChunks(tokens: readonly Token[]): Chunk[] {
  const chunks: Chunk[] = [];
  for (let index = 0; index < tokens.length; ) {
    const token = tokens[index]!;
    if (token.kind !== 'word' && token.kind !== 'number') {
      index += 1;
      continue;
    }
    let last = index + 1;
    let text = token.text;
    while (
      last < tokens.length &&
      last - index < 24 &&
      !tokens[last]!.spaced &&
      (tokens[last]!.kind === 'word' || tokens[last]!.kind === 'number')
    ) {
      text += tokens[last]!.text;
      last += 1;
    }
    chunks.push({ text, first: index, last, start: token.start, end: tokens[last - 1]!.end, spaced: token.spaced });
    index = last;
  }
  return chunks;
}
