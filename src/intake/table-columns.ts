// The head of a table of figures: which column is the limit, the average, the measured value, an earlier run, a bank or a
// running condition. read-tables.ts calls it; a table squeezed into one line reads the same as one with its lines.
import type { Condition } from '../vocabulary/quantities.ts';
import type { ConditionMark } from './conditions.ts';
import type { Place } from './places.ts';
import type { Token } from './tokens.ts';

export type Column =
  | { readonly kind: 'measured' }
  | { readonly kind: 'limit' }
  | { readonly kind: 'average' }
  | { readonly kind: 'verdict' }
  | { readonly kind: 'time'; readonly time: 'now' | 'before' }
  | { readonly kind: 'condition'; readonly when: Condition }
  | { readonly kind: 'bank'; readonly bank: number };

export interface ColumnRun {
  readonly first: number;
  readonly last: number;
  readonly columns: readonly Column[];
}

const roles: ReadonlyMap<string, Column> = new Map<string, Column>([
  ...[
    'meas',
    'measured',
    'reading',
    'readings',
    'actual',
    'value',
    'result',
    'results',
    'yours',
    'mine',
    'recorded',
    'observed',
    'score',
    'tested',
    'current',
    'you',
  ].map((word) => [word, { kind: 'measured' }] as const),
  ...[
    'limit',
    'limits',
    'max',
    'maximum',
    'standard',
    'allowed',
    'permitted',
    'std',
    'min',
    'spec',
    'threshold',
    'cutpoint',
    'allowable',
    'cutoff',
  ].map((word) => [word, { kind: 'limit' }] as const),
  ...['ave', 'avg', 'average', 'mean'].map((word) => [word, { kind: 'average' }] as const),
  ...['verdict', 'status', 'outcome', 'grade'].map((word) => [word, { kind: 'verdict' }] as const),
  ...['before', 'old', 'previous', 'earlier'].map((word) => [word, { kind: 'time', time: 'before' }] as const),
  ...['after', 'new', 'now', 'today', 'retest'].map((word) => [word, { kind: 'time', time: 'now' }] as const),
]);

const longestRun = 40;

/**
 * Columns named one after the other from token `first`, with nothing but marks, units and line ends between; null when there are
 * fewer than two. A word "pass" or "fail" in a head names a column of verdicts.
 */
export function readColumns(
  tokens: readonly Token[],
  first: number,
  conditions: ReadonlyMap<number, ConditionMark>,
  places: ReadonlyMap<number, Place>,
): ColumnRun | null {
  const columns: Column[] = [];
  let last = first;
  for (let at = first; at < tokens.length && columns.length < longestRun; ) {
    const token = tokens[at]!;
    const condition = conditions.get(at);
    const place = places.get(at);
    const column: Column | null = condition
      ? { kind: 'condition', when: condition.when }
      : place && place.bank !== null
        ? { kind: 'bank', bank: place.bank }
        : (roles.get(token.text) ?? null);
    // "Limit Reading Idle CO ...": behind columns of limit and reading a condition heads the rows.
    if (column?.kind === 'condition' && columns.some(({ kind }) => kind === 'measured' || kind === 'limit')) break;
    if (column) {
      // "Limit Reading Result": after a measured column the result is a verdict.
      const isVerdict = /^results?$/.test(token.text) && columns.some((other) => other.kind === 'measured');
      columns.push(isVerdict ? { kind: 'verdict' } : column);
      at = condition?.last ?? place?.last ?? at + 1;
      last = at;
      continue;
    }
    // "pass/fail" closes a head and names a column without figures.
    if (columns.length > 0 && /^(pass|fail|p|f)$/.test(token.text)) columns.push({ kind: 'verdict' });
    else if (at === first || at - last > 3 || !isSeparator(token)) break;
    if (/^(pass|fail|p|f)$/.test(token.text)) {
      last = at + 1;
      while (/^(\/|or|pass|fail|p|f)$/.test(tokens[last]?.text ?? '')) last += 1;
      at = last;
      continue;
    }
    at += 1;
  }
  const figures = columns.filter((column) => column.kind !== 'verdict');
  return figures.length >= 2 ? { first, last, columns: figures } : null;
}

/** Marks, units and line ends that may stand between the cells of a table. */
export function isSeparator(token: Token): boolean {
  return token.kind === 'newline' || /^([|,;:/()%*_=+[\]-]|ppm|vol|rpm|g|mi|gpm|km)$/.test(token.text);
}
