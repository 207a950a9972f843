// Who wrote which part of a post: quoted lines and pasted threads hold other people's words beside the owner's.
// clauses.ts marks their clauses as a helper's, and no symptom is read from them.
import type { ReadableText } from './readable-text.ts';
import type { Token } from './tokens.ts';

/** For each token true where someone other than the owner speaks. */
export type Writers = (token: number) => boolean;

const headerPattern =
  /^[ \t>*_-]{0,6}(?:on [^\n]{1,60}, )?@?([a-z0-9_.-]{2,24}(?: [a-z0-9_.-]{1,24}){0,2}) (?:wrote|said|replied|posted|asked|writes|says)[^\n:]{0,40}:/;
const labelPattern = /^[ \t*_]{0,4}([a-z0-9_.-]{2,24})[*_]{0,2}:(?= |$)/;
const ownerNames = new Set([
  'me',
  'op',
  'owner',
  'customer',
  'original',
  'update',
  'edit',
  'question',
  'q',
  'poster',
  'asker',
]);
const helperNames = new Set([
  'helper',
  'mechanic',
  'reply',
  'answer',
  'a',
  'tech',
  'technician',
  'advisor',
  'moderator',
  'mod',
  'admin',
  'bot',
  'expert',
  'dealer',
  'garage',
  'shop',
]);

/** Names in lines that say who wrote what follows. */
function headerNames(folded: string): string[] {
  const names: string[] = [];
  for (let start = 0; start < folded.length && names.length < 200; ) {
    let end = folded.indexOf('\n', start);
    if (end < 0) end = folded.length;
    const name = headerPattern.exec(folded.slice(start, Math.min(end, start + 200)))?.[1];
    if (name !== undefined) names.push(name);
    start = end + 1;
  }
  return names;
}

/** Marks the lines of other writers. Linear: each line is looked at once, with bounded patterns. */
export function findWriters(text: ReadableText, tokens: readonly Token[]): Writers {
  const { folded } = text;
  const ranges: Array<readonly [number, number]> = [];
  // In a pasted thread the first to write is the owner; a single header only introduces a quotation.
  const headers = headerNames(folded);
  const isThread = new Set(headers).size > 1;
  let owner: string | null = null;
  let other = false;
  let isFirst = true;
  for (let start = 0; start < folded.length; ) {
    let end = folded.indexOf('\n', start);
    if (end < 0) end = folded.length;
    const line = folded.slice(start, Math.min(end, start + 200));
    const header = headerPattern.exec(line)?.[1];
    const label = header === undefined ? labelPattern.exec(line)?.[1] : undefined;
    if (header !== undefined) {
      if (isFirst && isThread) owner = header;
      other = header !== owner && !ownerNames.has(header);
    } else if (label !== undefined && ownerNames.has(label)) other = false;
    else if (label !== undefined && helperNames.has(label)) other = true;
    else if (line.trim().length === 0 && owner === null) other = false;
    const isQuote = /^[ \t]{0,4}(?:>|&gt;)/.test(line);
    if (other || isQuote) ranges.push([start, end]);
    if (line.trim().length > 0) isFirst = false;
    start = end + 1;
  }
  if (ranges.length === 0) return () => false;
  return (token) => {
    const place = tokens[token]?.start ?? 0;
    let low = 0;
    let high = ranges.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (ranges[middle]![1] <= place) low = middle + 1;
      else high = middle;
    }
    return ranges[low] !== undefined && ranges[low]![0] <= place;
  };
}
