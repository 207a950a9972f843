// The tokens of a post as the readers of language see them: each with its stem, whether it may be passed over inside a
// phrase, and whether a phrase may not run across it. Built once a post.
import type { Token } from './tokens.ts';
import { stemWord } from './word-stem.ts';

export interface Word {
  /** Stem of a word, digits of a number, the mark itself for punctuation. */
  readonly key: string;
  /** The word as typed, in lower case. */
  readonly raw: string;
  /** Passed over inside a phrase: articles, small adverbs, forms of "to be", quotes, joining hyphens. */
  readonly filler: boolean;
  /** A phrase does not run across it: end of a sentence, semicolon, colon, bracket, blank line. */
  readonly barrier: boolean;
}

const fillers = new Set(
  (
    'a an the some any little bit of lot lots very really quite pretty fairly rather so such kind sort kinda sorta slightly badly ' +
    "is are was were be been being am its it's my this that these those your our just also too all thick heavy heavily big huge slight " +
    'definitely constantly constant occasionally occasional sometimes often usually always frequently now then again still suddenly ' +
    'noticeable noticeably obvious visible serious seriously significant significantly extremely super mild mildly major minor ' +
    'terribly terrible awful awfully horrible horribly massive massively considerable considerably noticed maybe randomly random ' +
    'intermittently intermittent strong strange weird certain bloody damn f***ing stupid dreaded annoying really seems seem appears appear ' +
    'literally basically actually completely totally absolutely nasty faint distinct clearly both'
  )
    .split(' ')
    .map(stemWord),
);

const joiners = new Set(['-', '/', "'", '"', '*', '_', '~', '|', '\u2022', '^', '=', '+', '&', '\\', '#', '<', '`']);
const barriers = new Set(['.', '!', '?', ';', ':', '(', ')', '[', ']', '{', '}', '>']);

const known = new WeakMap<readonly Token[], readonly Word[]>();

/** The words of a post's tokens, made once however many readers ask; read-post.ts asks first, with the text's capitals. */
export function wordsOf(tokens: readonly Token[], cased = ''): readonly Word[] {
  const made = known.get(tokens) ?? toWords(tokens, cased);
  known.set(tokens, made);
  return made;
}

/** One entry a token. Linear. */
export function toWords(tokens: readonly Token[], cased = ''): Word[] {
  return tokens.map((token, index) => {
    if (token.kind === 'word') {
      const key = stemWord(token.text);
      return { key, raw: token.text, filler: fillers.has(key), barrier: false };
    }
    if (token.kind === 'number') return { key: token.text, raw: token.text, filler: false, barrier: false };
    if (token.kind === 'newline')
      return { key: '\n', raw: '\n', filler: false, barrier: !isSoftBreak(tokens, index, cased) };
    const inNumber =
      token.text === '.' && !token.spaced && tokens[index + 1]?.kind === 'number' && !tokens[index + 1]!.spaced;
    return {
      key: token.text,
      raw: token.text,
      filler: joiners.has(token.text),
      barrier: barriers.has(token.text) && !inNumber,
    };
  });
}

/**
 * Whether a line end only wraps a long line: some mail programs break lines at about 70 characters. The line is long, does
 * not end in a mark, and the next one begins with a lower-case word.
 */
function isSoftBreak(tokens: readonly Token[], index: number, cased: string): boolean {
  const before = tokens[index - 1];
  const after = tokens[index + 1];
  if (before === undefined || after === undefined || before.kind !== 'word' || after.kind !== 'word') return false;
  if (!/[a-z]/.test(cased[after.start] ?? '')) return false;
  let first = index - 1;
  const reach = 80;
  while (first > 0 && index - first < reach && tokens[first - 1]!.kind !== 'newline') first -= 1;
  return before.end - tokens[first]!.start >= 55;
}
