// The text as the readers see it: lower case, plain digits, quotes, dashes and blanks, nothing invisible, and for every
// character the place in the original that it came from, so that spans always quote what was written.

/** Folded text with its way back to the original. */
export interface ReadableText {
  readonly original: string;
  readonly folded: string;
  /** For each folded UTF-16 unit the original's first unit; one more entry for the end. */
  readonly startOf: Uint32Array;
  /** Like `folded`, with the writer's capitals: names and shouted words need them. */
  readonly cased: string;
}

const invisible = /\p{Default_Ignorable_Code_Point}|\p{Cf}/u;
const plain: ReadonlyMap<string, string> = new Map(
  Object.entries({
    '\u2018': "'",
    '\u2019': "'",
    '\u201a': "'",
    '\u201b': "'",
    '\u02bc': "'",
    '\u00b4': "'",
    '`': "'",
    '\u2032': "'",
    '\u201c': '"',
    '\u201d': '"',
    '\u201e': '"',
    '\u201f': '"',
    '\u00ab': '"',
    '\u00bb': '"',
    '\u2033': '"',
    '\u2010': '-',
    '\u2011': '-',
    '\u2012': '-',
    '\u2013': '-',
    '\u2014': '-',
    '\u2015': '-',
    '\u2212': '-',
    '\ufe63': '-',
    '\uff0d': '-',
    '\u00d7': 'x',
    '\u2022': '\u2022',
    '\u2026': '...',
    '\u00bc': ' 1/4',
    '\u00bd': ' 1/2',
    '\u00be': ' 3/4',
    '\u2082': '2',
    '\u00b2': '2',
    '\u2080': '0',
    '\u2081': '1',
    '\u2083': '3',
    '\u00ba': '\u00b0',
    '\u02da': '\u00b0',
    '\u2103': '\u00b0c',
    '\u2109': '\u00b0f',
    '\u2126': '\u03c9',
    '\u03a9': '\u03c9',
    '\u00b5': '\u03bc',
    '\u2028': '\n',
    '\u2029': '\n',
    '\u0085': '\n',
    '\r': '\n',
    '\t': '\t',
  }),
);

/** Folds a text. Linear in its length; takes any string. */
export function foldText(original: string): ReadableText {
  const folded: string[] = [];
  const cased: string[] = [];
  const starts: number[] = [];
  for (let index = 0; index < original.length; ) {
    const point = original.codePointAt(index)!;
    const width = point > 0xffff ? 2 : 1;
    // A carriage return before a line feed is no line of its own.
    if (point === 13 && original[index + 1] === '\n') {
      index += 1;
      continue;
    }
    for (const piece of foldCharacter(original.slice(index, index + width), point)) {
      const lower = piece.toLowerCase();
      folded.push(lower.length === 1 ? lower : piece);
      cased.push(piece);
      starts.push(index);
    }
    index += width;
  }
  starts.push(original.length);
  return { original, folded: folded.join(''), cased: cased.join(''), startOf: Uint32Array.from(starts) };
}

/** One character as the UTF-16 units that stand for it; empty when it is invisible. */
function foldCharacter(character: string, point: number): string[] {
  if (point < 0x80) {
    if (point === 13) return ['\n'];
    if (point === 0x60) return ["'"];
    return point < 32 && point !== 9 && point !== 10 ? [' '] : [character];
  }
  if (invisible.test(character)) return [];
  const replacement = plain.get(character);
  if (replacement !== undefined) return [...replacement];
  if ((point >= 0xff01 && point <= 0xff5e) || point === 0x3000)
    return [point === 0x3000 ? ' ' : String.fromCharCode(point - 0xfee0)];
  if (/\s/.test(character)) return [' '];
  const decomposed = character.normalize('NFKC');
  return decomposed.length <= 4 ? decomposed.split('') : character.split('');
}

/** Span of the original for folded units [start, end). */
export function spanOf(text: ReadableText, start: number, end: number): [number, number] {
  const from = text.startOf[start] ?? text.original.length;
  if (end <= start) return [from, from];
  const last = text.startOf[end - 1]!;
  const width = (text.original.codePointAt(last) ?? 0) > 0xffff ? 2 : 1;
  return [from, Math.min(last + width, text.original.length)];
}

/** The original words of folded units [start, end). */
export function quoteOf(text: ReadableText, start: number, end: number): string {
  const [from, to] = spanOf(text, start, end);
  return text.original.slice(from, to);
}
