// Under which running condition something was read: idle, 2500 rpm, cruise, load, cold, overrun, key on. The readers of
// figures use the nearest one; clauses.ts gives the condition of the whole clause where none stands nearer.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Condition } from '../vocabulary/quantities.ts';
import type { Measure } from './measures.ts';
import { buildPhraseTable, matchPhrase, type PhraseTable } from './phrase-table.ts';
import type { Token } from './tokens.ts';

export interface ConditionMark {
  readonly first: number;
  readonly last: number;
  readonly when: Condition;
  /** Told by a figure ("at 2500 rpm") and not by a word. */
  readonly measured: boolean;
}

type Words = PhraseTable<Condition | 'none'>;
const tables = new WeakMap<Knowledge['conditions'], Words>();

function tableOf(knowledge: Knowledge): Words {
  const known = tables.get(knowledge.conditions);
  if (known) return known;
  const table = buildPhraseTable<Condition | 'none'>(
    knowledge.conditions.flatMap(({ id, words }) => words.map((phrase) => [phrase, id] as const)),
  );
  tables.set(knowledge.conditions, table);
  return table;
}

/** Conditions in order of place; measures such as "at 2500 rpm" and "at 60 mph" are conditions too. */
export function findConditions(
  tokens: readonly Token[],
  measures: readonly Measure[],
  knowledge: Knowledge,
): ConditionMark[] {
  const table = tableOf(knowledge);
  const marks: ConditionMark[] = [];
  const byFirst = new Map(measures.map((measure) => [measure.first, measure]));
  for (let index = 0; index < tokens.length; ) {
    const measured = byFirst.get(index);
    const when = measured ? conditionOfMeasure(tokens, measured) : null;
    if (measured && when) {
      marks.push({ first: measured.first, last: measured.last, when, measured: true });
      index = measured.last;
      continue;
    }
    const found = matchPhrase(table, tokens, index);
    if (found) {
      if (found.value !== 'none' && !(found.value === 'cold' && isNegated(tokens, index)))
        marks.push({
          first: index,
          last: found.last,
          when: found.value,
          measured: tokens.slice(index, found.last).some((token) => token.kind === 'number'),
        });
      index = found.last;
    } else index += 1;
  }
  return marks;
}

/** "at 2500 rpm", "hold it at 2000-3000rpm", "at 850 rpm", "at 60 mph", "@ 2500". */
function conditionOfMeasure(tokens: readonly Token[], measure: Measure): Condition | null {
  const before = tokens[measure.first - 1]?.text ?? '';
  const led = /^(at|@|around|about|near|hold|held|holding|of|a|steady|constant|between|reads|\()$/.test(before);
  if (measure.unit === 'rpm') {
    const speed = (measure.low + measure.high) / 2;
    if (isRevvedTo(tokens, measure.first) && speed >= 1800 && speed <= 4500) return '2500rpm';
    if (speed >= 1800 && speed <= 4500) return led || heads(tokens, measure) ? '2500rpm' : null;
    const twoBack = tokens[measure.first - 2]?.text ?? '';
    return speed >= 500 && speed <= 1100 && (/^(at|@)$/.test(before) || (before === 'its' && twoBack === 'at'))
      ? 'idle'
      : null;
  }
  if (
    measure.unit === null &&
    (/^(at|@)$/.test(before) || isRevvedTo(tokens, measure.first)) &&
    measure.low >= 2000 &&
    measure.high <= 3500 &&
    measure.low % 100 === 0
  )
    return '2500rpm';
  if (measure.unit === 'mile-per-hour' || measure.unit === 'km-per-hour') {
    if (isDynamometer(tokens, measure)) return 'load';
    const fast = measure.unit === 'mile-per-hour' ? measure.low >= 35 : measure.low >= 55;
    return /^(at|@|doing|steady|constant|around|about|a)$/.test(before) && fast ? 'cruise' : null;
  }
  return null;
}

/** "2800 rpm: HC 9, CO 0.0": a speed that begins a line or a sentence and heads what follows. */
function heads(tokens: readonly Token[], { first, last }: Measure): boolean {
  return /^(\n|[.;,/|]|)$/.test(tokens[first - 1]?.text ?? '') && /^[:=-]$/.test(tokens[last]?.text ?? '');
}

/** "15 mph HC 187 ...": the two speeds of the loaded test on a dynamometer, before its gases (common practice: 50 and 25 % load at 15 and 25 mph). */
function isDynamometer(tokens: readonly Token[], { low, high, unit, last }: Measure): boolean {
  if (unit !== 'mile-per-hour' || low !== high || (low !== 15 && low !== 25)) return false;
  const next = [0, 1, 2].map((ahead) => tokens[last + ahead]?.text ?? '');
  const name = next.find((text) => !/^(:|-|test|\n|,|\(|\)|%)$/.test(text)) ?? '';
  return /^(hc|co|co2|no|nox|o2|rpm)$/.test(name);
}

/** "rev it to 3000", "revved up to 2500 rpm", "bring the revs up to 3000". */
function isRevvedTo(tokens: readonly Token[], first: number): boolean {
  if (!/^(to|at)$/.test(tokens[first - 1]?.text ?? '')) return false;
  const before = [5, 4, 3, 2, 1].map((back) => tokens[first - back]?.text ?? '').join(' ');
  return /\b(rev|revs|revved|revving|reving|revd|throttle|hold|held|raise|raised|raising|bring|brought|taken|take)( it| the| engine| revs| rpm| rpms| up| car| idle| held)* (to|at|up to)$/.test(
    before,
  );
}

function isNegated(tokens: readonly Token[], index: number): boolean {
  return /^(not|isn't|wasn't|no|getting|gets|got|too|very|pretty|bit|it's|was|so|blows|blowing)$/.test(
    tokens[index - 1]?.text ?? '',
  );
}
