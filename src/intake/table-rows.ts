// The rows of a table of figures: what labels them, and the figures that they hold. read-tables.ts calls it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Condition } from '../vocabulary/quantities.ts';
import { splitChunks } from './chunks.ts';
import { type ConditionMark, findConditions } from './conditions.ts';
import { findMeasures, type Measure } from './measures.ts';
import { findPlaces, type Place } from './places.ts';
import { findMentions, type Mention } from './quantity-mentions.ts';
import { isTaken, type ReaderInput } from './reader.ts';
import { isSeparator } from './table-columns.ts';
import type { Token } from './tokens.ts';

/** Everything of a post that a table may be made of, by the token that it begins with. */
export interface Marks {
  readonly mentions: ReadonlyMap<number, Mention>;
  readonly measures: ReadonlyMap<number, Measure>;
  readonly places: ReadonlyMap<number, Place>;
  readonly conditions: ReadonlyMap<number, ConditionMark>;
}

/** Finds the marks of a post outside the spans that are taken. */
export function findMarks(input: ReaderInput, knowledge: Knowledge): Marks {
  const { tokens } = input;
  const isFree = (start: number, end: number) => !isTaken(input.taken, start, end);
  const mentions = findMentions(tokens, knowledge, input.text.cased, isFree).filter(
    (mention) => mention.candidates.length > 0,
  );
  const places = findPlaces(tokens, splitChunks(tokens));
  const covered = new Uint8Array(tokens.length);
  for (const mark of [...mentions, ...places]) covered.fill(1, mark.first, mark.last);
  const measures = findMeasures(tokens, isFree).filter(
    (measure) => !covered[measure.first] || tokens[measure.first]!.text === '.',
  );
  const byFirst = <Mark extends { first: number }>(list: readonly Mark[]) =>
    new Map(list.map((mark) => [mark.first, mark]));
  return {
    mentions: byFirst(mentions),
    measures: byFirst(measures),
    places: byFirst(places),
    conditions: byFirst(findConditions(tokens, measures, knowledge)),
  };
}

/** What stands before the figures of a row: "15 mph", "Idle", "2500 rpm", "Run 1:". */
export function readLabel(
  tokens: readonly Token[],
  marks: Marks,
  from: number,
  width: number,
): { when: Condition | null; bank: number | null; last: number } {
  let at = skip(tokens, from, isRowGap);
  let when: Condition | null = null;
  let bank: number | null = null;
  const measure = marks.measures.get(at);
  const isSpeed = measure && (measure.unit === 'mile-per-hour' || measure.unit === 'km-per-hour');
  if (measure && isSpeed) return { when: 'load', bank, last: measure.last };
  for (let steps = 0; steps < 5 && at < tokens.length; steps += 1) {
    const place = marks.places.get(at);
    if (place?.bank) {
      bank = place.bank;
      at = skip(tokens, place.last, isSeparator);
      continue;
    }
    const condition = marks.conditions.get(at);
    if (condition && (!marks.measures.has(at) || condition.measured)) {
      // A bare 2500 is the first figure of the row when the row would be too short without it.
      if (marks.measures.has(at) && marks.measures.get(at)!.unit === null && readFigures(tokens, marks, at, width))
        break;
      when = condition.when;
      at = skip(tokens, condition.last, isSeparator);
      continue;
    }
    if (
      tokens[at]!.kind === 'word' &&
      /^(run|test|row|first|second|speed|low|high|fast|slow|natural|mode|idle|at|phase|1st|2nd)$/.test(tokens[at]!.text)
    ) {
      // The two tests of a sheet: at idle and at raised speed.
      if (/^(high|fast)$/.test(tokens[at]!.text)) when ??= '2500rpm';
      if (/^(low|slow|natural)$/.test(tokens[at]!.text)) when ??= 'idle';
      at += 1;
      if (
        tokens[at]?.kind === 'number' &&
        tokens[at]!.text.length === 1 &&
        /^(run|test|mode|phase)$/.test(tokens[at - 1]!.text)
      )
        at += 1;
      at = skip(tokens, at, isSeparator);
      continue;
    }
    break;
  }
  return { when, bank, last: at };
}

/** "Idle" or "2500 rpm" over rows of names: the running condition of the rows that follow. */
export function conditionOver(
  tokens: readonly Token[],
  marks: Marks,
  at: number,
): { when: Condition; last: number } | null {
  let from = at;
  while (from - at < 3 && /^(test|run|mode|at|the|speed)$/.test(tokens[from]?.text ?? '')) from += 1;
  const condition = marks.conditions.get(from);
  if (!condition) return null;
  let last = condition.last;
  while (
    last - condition.last < 4 &&
    (isRowGap(tokens[last] ?? tokens[0]!) || /^(test|rpm|speed)$/.test(tokens[last]?.text ?? ''))
  )
    last += 1;
  return marks.mentions.has(last) ? { when: condition.when, last } : null;
}

/** The condition of a whole table: a heading right above it, or a remark right behind it ("all at hot idle"). */
export function conditionAround(
  tokens: readonly Token[],
  marks: Marks,
  { first, last }: { readonly first: number; readonly last: number },
): Condition | null {
  for (let at = last; at < last + 6 && at < tokens.length; at += 1) {
    const condition = marks.conditions.get(at);
    if (condition) return at === last && !marks.measures.has(at) ? null : condition.measured ? null : condition.when;
    if (!/^(-|,|\(|\n|all|both|taken|measured|at|with|engine|these|are|were|is)$/.test(tokens[at]!.text)) break;
  }
  for (let at = first - 1; at >= Math.max(0, first - 6); at -= 1) {
    const condition = marks.conditions.get(at);
    if (condition) return condition.last <= first ? condition.when : null;
    if (
      !/^([a-z]{1,8}|[:\n(),-]|\d{4}|rpm)$/.test(tokens[at]!.text) ||
      /^(but|and|not|when|rough|fails?)$/.test(tokens[at]!.text)
    )
      break;
  }
  return null;
}

/** Exactly `count` figures in a row, with nothing but separators and verdicts between, and no further figure behind. */
export function readFigures(
  tokens: readonly Token[],
  marks: Marks,
  from: number,
  count: number,
): { measures: Measure[]; last: number } | null {
  const measures: Measure[] = [];
  let at = from;
  while (measures.length < count) {
    const next = skipToFigure(
      tokens,
      marks,
      at,
      (token) => isSeparator(token) || /^(pass|fail|passed|failed|ok|p|f|v|by|is)$/.test(token.text),
    );
    const measure = marks.measures.get(next);
    if (!measure || next - at > 5) return null;
    // "CO2 14.9 2500 CO 1.0": the speed heads the rows behind it.
    const condition = measures.length > 0 ? marks.conditions.get(next) : undefined;
    if (condition?.measured && marks.mentions.has(skip(tokens, condition.last, isRowGap))) return null;
    measures.push(measure);
    at = measure.last;
  }
  while (/^(pass|fail|passed|failed|ok|p|f|\)|%|ppm|\|)$/.test(tokens[at]?.text ?? '')) at += 1;
  // A further figure on the same line means that the columns were counted wrongly.
  const after = skipToFigure(tokens, marks, at, (token) => token.kind !== 'newline' && isSeparator(token));
  if (
    marks.measures.has(after) &&
    tokens[after]!.kind !== 'newline' &&
    marks.measures.get(after)!.unit !== 'mile-per-hour' &&
    !hasLineEnd(tokens, at, after) &&
    count > 1 &&
    !startsRow(tokens, marks, after, count)
  )
    return null;
  return { measures, last: at };
}

/** Whether a whole further row of figures begins here: rows run together in one line. */
function startsRow(tokens: readonly Token[], marks: Marks, from: number, count: number): boolean {
  let at = from;
  for (let read = 0; read < count; read += 1) {
    const next = skipToFigure(tokens, marks, at, isSeparator);
    const measure = marks.measures.get(next);
    if (!measure || next - at > 4) return false;
    at = measure.last;
  }
  return true;
}

function hasLineEnd(tokens: readonly Token[], from: number, to: number): boolean {
  for (let at = from; at < to; at += 1) if (tokens[at]!.kind === 'newline') return true;
  return false;
}

/** Marks that may stand before a row. */
export function isRowGap(token: Token): boolean {
  return isSeparator(token) || /^[.\u2022#]$/.test(token.text);
}

/** Like `skip`, but a sign that belongs to a figure is where that figure begins. */
function skipToFigure(tokens: readonly Token[], marks: Marks, from: number, passes: (token: Token) => boolean): number {
  let at = from;
  while (at < tokens.length && at - from < 8 && !marks.measures.has(at) && passes(tokens[at]!)) at += 1;
  return at;
}

/** The first token from `from` on that does not pass, at most eight further. */
export function skip(tokens: readonly Token[], from: number, passes: (token: Token) => boolean): number {
  let at = from;
  while (at < tokens.length && at - from < 8 && passes(tokens[at]!)) at += 1;
  return at;
}
