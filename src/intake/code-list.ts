// Statements about the whole list of codes: "no codes at all", "that is the only code". read-codes.ts calls it.
import type { Finding } from '../vocabulary/findings.ts';
import { contextAt, findingBase } from './finding-base.ts';
import { buildPhraseTable, matchPhrase } from './phrase-table.ts';
import { isTaken, type ReaderInput, type ReaderResult } from './reader.ts';
import type { Token } from './tokens.ts';

const nouns = [
  'codes',
  'code',
  'fault codes',
  'fault code',
  'trouble codes',
  'trouble code',
  'error codes',
  'error code',
  'stored codes',
  'stored code',
  'pending codes',
  'engine codes',
  'dtcs',
  'dtc',
  'obd codes',
  'obd2 codes',
  'diagnostic codes',
  'cel codes',
  'stored faults',
  'faults stored',
  'codes stored',
  'codes present',
  'codes set',
  'stored fault codes',
  'stored dtcs',
  'engine code',
  'engine fault codes',
  'stored or pending codes',
  'pending or stored codes',
  'warning lights or codes',
  'lights or codes',
  'cel or codes',
  'light or codes',
  'light and no codes',
  'cel no codes',
  'stored trouble codes',
  'codes whatsoever',
  'diagnostic trouble codes',
];
const openings = [
  'no',
  'zero',
  '0',
  'not any',
  'never any',
  'never thrown a',
  'never thrown any',
  'never set a',
  'without any',
  'without',
  "doesn't have any",
  "doesn't throw any",
  "isn't throwing any",
  "hasn't thrown any",
  "didn't throw any",
  "doesn't show any",
  "didn't find any",
  "aren't any",
  "isn't any",
  "there's no",
  'has no',
  "haven't got any",
  "doesn't have",
  'did not throw any',
  'does not throw any',
  'shows no',
  'throws no',
  'threw no',
  'found no',
  "won't throw any",
  "won't throw a",
  "didn't throw a",
  "doesn't throw",
  "isn't throwing",
  "doesn't set any",
  "hasn't set any",
  "hasn't set a",
  "hasn't thrown a",
  'not throwing any',
  'not throwing',
  'not a single',
  'not one',
  'never a',
  'never throws a',
  'never threw a',
  "wasn't any",
  "weren't any",
  'nor any',
  'with no',
  'not showing any',
  "isn't showing any",
  "didn't show any",
  "don't have any",
  "don't get any",
  'not getting any',
  'never had a',
  'never had any',
];
const wholes = [
  'code free',
  'codes none',
  'codes: none',
  'no dtc stored',
  'nothing stored',
  'no codes',
  'codes 0',
  'dtcs none',
  'no dtc',
  'faults none',
  'no faults found',
  'fault codes none',
  'number of dtcs 0',
  'codes found 0',
  'dtc count 0',
  'codes read none',
  'nothing in the memory',
  'fault memory empty',
  'memory is clear',
  'codes nil',
];
const alone = [
  'only code',
  'only codes',
  'only fault code',
  'only code stored',
  'no other codes',
  'no other code',
  'no other faults',
  'no other dtcs',
  'no more codes',
  'no further codes',
  'only the one code',
  'just the one code',
  'only one code',
  'just one code',
  'only 1 code',
  'all the codes',
  'only fault stored',
  'only stored code',
  'nothing else stored',
  'only dtc',
  'no others stored',
  'only trouble code',
  'only error code',
  'and nothing else',
  'only these codes',
  'only two codes',
  'only those codes',
  'just these codes',
];
// "lean codes", "misfire codes": the kind that is missing, not all of them.
const noneTable = buildPhraseTable<true>([
  ...openings.flatMap((opening) => nouns.map((noun) => [`${opening} ${noun}`, true] as const)),
  ...wholes.map((whole) => [whole, true] as const),
]);
const aloneTable = buildPhraseTable<true>(alone.map((words) => [words, true] as const));

/**
 * One `code-list` finding a post at most: complete when the writer says that there are none, or that those given are all.
 *
 * @param anyCode whether the post names a code
 */
export function readCodeList(input: ReaderInput, anyCode: boolean): ReaderResult {
  const findings: Finding[] = [];
  const used: Array<readonly [number, number]> = [];
  for (let index = 0; index < input.tokens.length && findings.length === 0; index += 1) {
    const match =
      matchPhrase(noneTable, input.tokens, index) ?? (anyCode ? matchPhrase(aloneTable, input.tokens, index) : null);
    if (!match) continue;
    const start = input.tokens[index]!.start;
    const last = withException(input.tokens, match.last);
    const end = input.tokens[last - 1]!.end;
    const { mood } = contextAt(input, index);
    if (mood === 'question' || mood === 'supposed' || isTaken(input.taken, start, end)) continue;
    if (/^(reader|readers|scanner|for|to|related|about)$/.test(input.tokens[match.last]?.text ?? '')) continue;
    findings.push({ ...findingBase(input, start, end, index, 'present'), kind: 'code-list', complete: true });
    used.push([start, end]);
  }
  return { findings, conflicts: [], used };
}

/** "no codes other than P0171": the words that except a code belong to the statement, which then says that all were given. */
function withException(tokens: readonly Token[], last: number): number {
  const [one, two] = [tokens[last]?.text ?? '', tokens[last + 1]?.text ?? ''];
  if (one === 'other' && two === 'than') return last + 2;
  if ((one === 'apart' || one === 'aside') && two === 'from') return last + 2;
  if (/^(except|besides|beyond|bar)$/.test(one)) return last + 1;
  return one === 'but' && /^p[0-3o]?$/.test(two) && tokens[last + 2]?.kind === 'number' ? last + 1 : last;
}
