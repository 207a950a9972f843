// Mends what people type before anyone reads it: words of the trade with one letter wrong ("exhuast", "blinkng"), and two of them
// run together ("fuelpump", "roughidle"). read-post.ts calls it on the tokens of a post; places in the text stay as they were.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Token } from './tokens.ts';
import { rightWords, shortSlips, tradeWords } from './trade-words.ts';
import { stemWord } from './word-stem.ts';

interface Table {
  /** Words that are right as they stand. */
  readonly known: ReadonlySet<string>;
  /** Words of the trade by each form that lacks one letter. */
  readonly byDeletion: ReadonlyMap<string, readonly string[]>;
  /** Words that may follow a word in a name or phrase of the knowledge base. */
  readonly followers: ReadonlyMap<string, ReadonlySet<string>>;
}

const shortest = 5;
const longest = 24;
/** Longest run of words that is taken apart, and shortest. */
const longestRun = 40;
const shortestRun = 8;

const tables = new WeakMap<Knowledge, Table>();

/** The tokens with slips mended and run-together words parted. Linear in their number. */
export function mendTokens(tokens: readonly Token[], knowledge: Knowledge): Token[] {
  const table = tableOf(knowledge);
  const seen = new Map<string, readonly string[]>();
  return tokens.flatMap((token, index) => {
    const { text } = token;
    const short = token.kind === 'word' ? shortSlips.get(text) : undefined;
    if (short !== undefined && !isGlued(tokens, index)) return { ...token, text: short };
    if (token.kind !== 'word' || text.length < shortest || table.known.has(text) || isGlued(tokens, index))
      return token;
    let meant = seen.get(text);
    if (!meant) {
      meant = /^[a-z]+$/.test(text) ? mend(text, table) : [text];
      seen.set(text, meant);
    }
    return spread(token, meant);
  });
}

/** A word beside digits without a blank is part of a code, an engine or a place ("ltft1", "b1s1"). */
function isGlued(tokens: readonly Token[], index: number): boolean {
  const before = tokens[index - 1];
  const after = tokens[index + 1];
  return (
    (before?.kind === 'number' && !tokens[index]!.spaced) ||
    (after !== undefined && after.kind === 'number' && !after.spaced)
  );
}

function mend(text: string, table: Table): readonly string[] {
  const run = text.length >= shortestRun && text.length <= longestRun ? partRun(text, table) : null;
  if (run) return run;
  const word = text.length <= longest ? correct(text, table) : null;
  return [word ?? text];
}

/** One token for each word; a single corrected word keeps the token's place, parted words share it out. */
function spread(token: Token, meant: readonly string[]): Token[] {
  if (meant.length === 1) return [meant[0] === token.text ? token : { ...token, text: meant[0]! }];
  let start = token.start;
  return meant.map((text, index) => {
    const end = start + text.length;
    const part: Token = { kind: 'word', text, start, end, spaced: index > 0 || token.spaced };
    start = end;
    return part;
  });
}

/** The only word of the trade one slip away, in one of its forms; null when there is none, or several. */
function correct(text: string, table: Table): string | null {
  let found: string | null = null;
  for (const form of deletions(text)) {
    for (const candidate of table.byDeletion.get(form) ?? []) {
      if (candidate === found || !isOneSlip(candidate, text)) continue;
      // "Stall" and "stalls" are one word to the readers.
      if (found !== null && stemWord(found) !== stemWord(candidate)) return null;
      if (found !== null) continue;
      found = candidate;
    }
  }
  return found;
}

/** Words of which every pair of neighbours stands side by side somewhere in the knowledge base; null when it cannot be parted so. */
function partRun(text: string, table: Table): string[] | null {
  const found: string[][] = [];
  const walk = (at: number, words: readonly string[]) => {
    if (found.length > 1 || words.length > 4) return;
    if (at === text.length) {
      if (words.length > 1 && words.some((word) => nouns.has(word))) found.push([...words]);
      return;
    }
    const previous = words.at(-1);
    const next = previous === undefined ? table.followers : table.followers.get(previous);
    if (!next) return;
    for (let end = at + 3; end <= text.length; end += 1) {
      const word = text.slice(at, end);
      if (next.has(word)) walk(end, [...words, word]);
    }
  };
  walk(0, []);
  return found.length === 1 ? found[0]! : null;
}

/** One of these is in every run that is taken apart. */
const nouns = new Set([
  ...tradeWords,
  ...'fuel idle idles cat plug coil cap trim trims leak leaks pump miles mpg gas oil maf map egr pcv iac tps head wire hose heat belt'.split(
    ' ',
  ),
]);

/** The word itself and the word without each of its letters. */
function deletions(word: string): Set<string> {
  const forms = new Set([word]);
  for (let index = 0; index < word.length; index += 1) forms.add(word.slice(0, index) + word.slice(index + 1));
  return forms;
}

/** One letter changed, added, left out, or two neighbours swapped; the first letter stays, or changes places with the second. */
function isOneSlip(a: string, b: string): boolean {
  let start = 0;
  while (start < a.length && a[start] === b[start]) start += 1;
  const restA = a.slice(start);
  const restB = b.slice(start);
  if (restA[0] === restB[1] && restA[1] === restB[0] && restA.slice(2) === restB.slice(2)) return true;
  if (start === 0) return false;
  return restA.slice(1) === restB.slice(1) || restA.slice(1) === restB || restA === restB.slice(1);
}

function tableOf(knowledge: Knowledge): Table {
  const made = tables.get(knowledge);
  if (made) return made;
  const known = new Set([...tradeWords, ...rightWords]);
  const followers = new Map<string, Set<string>>();
  for (const phrase of phrasesOf(knowledge)) learn(phrase, known, followers);
  const byDeletion = new Map<string, string[]>();
  for (const word of tradeWords) {
    for (const form of deletions(word)) {
      const list = byDeletion.get(form);
      if (list) list.push(word);
      else byDeletion.set(form, [word]);
    }
  }
  const table = { known, byDeletion, followers };
  tables.set(knowledge, table);
  return table;
}

function phrasesOf(knowledge: Knowledge): string[] {
  return [
    ...knowledge.symptoms.flatMap((entry) => [...entry.phrases, ...entry.not, ...entry.denials, ...entry.whenDenied]),
    ...knowledge.parts.flatMap((entry) => [...entry.words, ...entry.not]),
    ...knowledge.requests.flatMap((entry) => [...entry.phrases, ...entry.not]),
    ...knowledge.quantities.flatMap((entry) => [...entry.words, ...entry.withUnit]),
    ...knowledge.explanations.flatMap((entry) => entry.words),
  ];
}

/** Words of a phrase as known, and its neighbours as words that may stand side by side. */
function learn(phrase: string, known: Set<string>, followers: Map<string, Set<string>>): void {
  let before: readonly string[] = [];
  for (const step of phrase.toLowerCase().split(/[ -]/)) {
    const words = step.split('|').map((word) => word.replaceAll(/[^a-z]/g, ''));
    for (const word of words) if (word.length >= shortest) known.add(word);
    const whole = step.includes('..') ? [] : words.filter((word) => word.length >= 3);
    for (const first of before) {
      for (const second of whole) {
        const list = followers.get(first);
        if (list) list.add(second);
        else followers.set(first, new Set([second]));
      }
    }
    before = whole;
  }
}
