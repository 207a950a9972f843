// Which suspects a post names: a shop's opinion, a part the writer asks about, something seen in that corner. No finding, and
// never shown as one; diagnosis lets it move the odds a little. read-post.ts calls it last.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Finding } from '../vocabulary/findings.ts';
import type { ReaderInput } from './reader.ts';
import { buildPatterns, matchPatterns, type WordPatterns } from './word-patterns.ts';
import { type Word, wordsOf } from './words.ts';

interface Entry {
  readonly mention: string;
  readonly isNot: boolean;
}

const tables = new WeakMap<Knowledge, WordPatterns<Entry>>();

function tableOf(knowledge: Knowledge): WordPatterns<Entry> {
  const made = tables.get(knowledge);
  if (made) return made;
  const entries = knowledge.mentions.flatMap((mention): Array<[string, Entry]> => {
    const says = { mention: mention.id, isNot: false };
    const means = { mention: mention.id, isNot: true };
    return [
      ...mention.words.map((phrase): [string, Entry] => [phrase, says]),
      ...mention.not.map((phrase): [string, Entry] => [phrase, means]),
    ];
  });
  const table = buildPatterns(entries);
  tables.set(knowledge, table);
  return table;
}

/**
 * Ids of the mentions that a post makes of the car asked about. What another writer says, what is denied close by, and parts that
 * were worked on or tested are left out: those are findings of their own, or nothing.
 */
export function readMentions(input: ReaderInput, findings: readonly Finding[], knowledge: Knowledge): string[] {
  const words = wordsOf(input.tokens);
  const table = tableOf(knowledge);
  const worked = findings.flatMap((finding) =>
    finding.kind === 'work-done' && finding.span && finding.result !== 'found-bad' ? [finding.span] : [],
  );
  const matches = words.flatMap((_, index) => matchPatterns(table, words, index));
  const excluded = matches.filter((match) => match.value.isNot);
  const found = new Set<string>();
  let excludedAt = 0;
  for (const match of matches) {
    if (match.value.isNot || found.has(match.value.mention)) continue;
    while (excludedAt < excluded.length && excluded[excludedAt]!.first < match.first - reach) excludedAt += 1;
    if (isExcluded(excluded, excludedAt, match)) continue;
    const { context, first } = input.clauses.clauseAt(match.first);
    if (context.source === 'helper' || context.car !== 0 || isDenied(words, first, match.first)) continue;
    const isOfWork = knowledge.mentions.byId.get(match.value.mention)?.ofWork ?? false;
    const start = input.text.startOf[input.tokens[match.first]!.start]!;
    if (!isOfWork && worked.some(([from, until]) => from <= start && start < until)) continue;
    found.add(match.value.mention);
  }
  return [...found].sort();
}

/** No phrase is longer than this many words. */
const reach = 24;

function isExcluded(
  excluded: ReadonlyArray<{ readonly value: Entry; readonly first: number; readonly last: number }>,
  from: number,
  match: { readonly value: Entry; readonly first: number; readonly last: number },
): boolean {
  for (let index = from; index < excluded.length && excluded[index]!.first < match.last; index += 1) {
    const other = excluded[index]!;
    if (other.value.mention === match.value.mention && other.last > match.first) return true;
  }
  return false;
}

/** "Not the MAF", "no vacuum leak": a denial just before the words. */
function isDenied(words: readonly Word[], from: number, place: number): boolean {
  for (let index = place - 1; index >= Math.max(from, place - 4); index -= 1) {
    const { key, barrier } = words[index]!;
    if (barrier) return false;
    if (key === 'no' || key === 'not' || key === 'never' || key === 'without' || /n't$/.test(key)) return true;
  }
  return false;
}
