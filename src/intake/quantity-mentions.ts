// Where a post names a quantity, from the words of knowledge/quantities. A word may name several ("O2", "lambda"): which one is
// meant is decided by the unit and size of the number beside it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Quantity } from '../vocabulary/quantities.ts';
import { buildPhraseTable, matchPhrase, type PhraseTable } from './phrase-table.ts';
import { splitTokens, type Token } from './tokens.ts';

export interface Candidate {
  readonly quantity: Quantity;
  /** `name`: enough by itself; `hint`: only beside one of its units. */
  readonly strength: 'name' | 'hint';
}

export interface Mention {
  readonly first: number;
  readonly last: number;
  /** Empty when the words name something that is none of our quantities. */
  readonly candidates: readonly Candidate[];
  /** "vacuum", "boost": the pressure is counted from the outside air, down or up; "MAP": from nothing. */
  readonly gauge: 'vacuum' | 'boost' | 'absolute' | null;
  /** Length in words: longer names are surer. */
  readonly words: number;
}

interface Vocabulary {
  readonly table: PhraseTable<readonly Candidate[]>;
  readonly usual: ReadonlyMap<Quantity, readonly [number, number]>;
}

const vocabularies = new WeakMap<Knowledge['quantities'], Vocabulary>();

function vocabularyOf(knowledge: Knowledge): Vocabulary {
  const known = vocabularies.get(knowledge.quantities);
  if (known) return known;
  const phrases = new Map<string, Candidate[]>();
  const usual = new Map<Quantity, readonly [number, number]>();
  const add = (phrase: string, candidate: Candidate | null) => {
    const key = splitTokens(phrase.toLowerCase())
      .map((token) => token.text)
      .join(' ');
    const list = phrases.get(phrase) ?? [...phrases].find(([other]) => other === key)?.[1] ?? [];
    if (candidate) list.push(candidate);
    phrases.set(phrase, list);
  };
  for (const entry of knowledge.quantities) {
    for (const word of entry.words)
      add(word, entry.ignore ? null : { quantity: entry.id as Quantity, strength: 'name' });
    for (const word of entry.withUnit)
      add(word, entry.ignore ? null : { quantity: entry.id as Quantity, strength: 'hint' });
    if (!entry.ignore && entry.usual) usual.set(entry.id as Quantity, entry.usual);
  }
  const vocabulary = { table: buildPhraseTable(phrases), usual };
  vocabularies.set(knowledge.quantities, vocabulary);
  return vocabulary;
}

/** Ordinary range of a quantity in its own unit, where the knowledge base gives one. */
export function usualRange(knowledge: Knowledge, quantity: Quantity): readonly [number, number] | null {
  return vocabularyOf(knowledge).usual.get(quantity) ?? null;
}

/** All mentions in order of place; of overlapping words the longest. */
export function findMentions(
  tokens: readonly Token[],
  knowledge: Knowledge,
  cased: string,
  isFree: (start: number, end: number) => boolean,
): Mention[] {
  const { table } = vocabularyOf(knowledge);
  const mentions: Mention[] = [];
  for (let index = 0; index < tokens.length; ) {
    const found = matchPhrase(table, tokens, index);
    if (!found || !isFree(tokens[index]!.start, tokens[found.last - 1]!.end)) {
      index += 1;
      continue;
    }
    // Nitric oxide is written in capitals; "no" is a word.
    if (
      tokens[index]!.text === 'no' &&
      found.last === index + 1 &&
      (cased.slice(tokens[index]!.start, tokens[index]!.end) !== 'NO' || tokens[found.last]?.text === '.')
    ) {
      index += 1;
      continue;
    }
    const text = tokens.slice(index, found.last).map((token) => token.text);
    const has = (words: RegExp) => text.some((word) => words.test(word));
    const gauge = has(/^(vacuum|vac)$/)
      ? 'vacuum'
      : has(/^(boost|blower|boosting|turbo)$/)
        ? 'boost'
        : has(/^(map|imap|absolute|abs)$/)
          ? 'absolute'
          : null;
    mentions.push({ first: index, last: found.last, candidates: found.value, gauge, words: found.last - index });
    index = found.last;
  }
  return mentions;
}
