// Splits folded text into words, numbers, punctuation and line ends with their places. Every reader works on these.

export interface Token {
  readonly kind: 'word' | 'number' | 'punctuation' | 'newline';
  /** Folded text of the token. */
  readonly text: string;
  /** [start, end) in the folded text. */
  readonly start: number;
  readonly end: number;
  /** True when a blank or line end stands before it. */
  readonly spaced: boolean;
}

const longestToken = 200;

/** Tokens in order; a run of blanks separates, a line end is a token of its own. Linear in the length of the text. */
export function splitTokens(folded: string): Token[] {
  const tokens: Token[] = [];
  let spaced = true;
  for (let index = 0; index < folded.length; ) {
    const character = folded[index]!;
    if (character === '\n') {
      tokens.push({ kind: 'newline', text: '\n', start: index, end: index + 1, spaced });
      spaced = true;
      index += 1;
      continue;
    }
    if (character === ' ' || character === '\t') {
      spaced = true;
      index += 1;
      continue;
    }
    const kind = isDigit(character) ? 'number' : isLetter(character) ? 'word' : 'punctuation';
    let end = index + 1;
    if (kind === 'word') {
      while (
        end < folded.length &&
        end - index < longestToken &&
        (isLetter(folded[end]!) || isInnerApostrophe(folded, end))
      )
        end += 1;
    } else if (kind === 'number') {
      while (end < folded.length && end - index < longestToken && isDigit(folded[end]!)) end += 1;
    }
    tokens.push({ kind, text: folded.slice(index, end), start: index, end, spaced });
    spaced = false;
    index = end;
  }
  return tokens;
}

export function isDigit(character: string): boolean {
  return character >= '0' && character <= '9';
}

export function isLetter(character: string): boolean {
  return (character >= 'a' && character <= 'z') || (character > '\u007f' && /\p{L}/u.test(character));
}

function isInnerApostrophe(folded: string, index: number): boolean {
  const next = folded[index + 1];
  return folded[index] === "'" && next !== undefined && isLetter(next);
}
