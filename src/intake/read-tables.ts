// Reads tables of figures: emission test sheets with limit, average and measured columns, figures for two runs, two banks or two
// conditions, with or without their line ends. read-post.ts calls it before the readings; what it takes they leave alone.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Conflict } from '../vocabulary/answer-document.ts';
import type { ReadingFinding } from '../vocabulary/findings.ts';
import { type Condition, type Quantity, quantities } from '../vocabulary/quantities.ts';
import { habitsOf } from './assume-unit.ts';
import { splitChunks } from './chunks.ts';
import { type ConditionMark, findConditions } from './conditions.ts';
import { makeReading } from './make-reading.ts';
import { findMeasures, type Measure } from './measures.ts';
import { findPlaces, type Place } from './places.ts';
import { findMentions, type Mention, usualRange } from './quantity-mentions.ts';
import { isTaken, type ReaderInput, type ReaderResult } from './reader.ts';
import { type Column, isSeparator, readColumns } from './table-columns.ts';
import type { Token } from './tokens.ts';
import { readUnit, type UnitId, unitConversions } from './units.ts';

interface Marks {
  readonly mentions: ReadonlyMap<number, Mention>;
  readonly measures: ReadonlyMap<number, Measure>;
  readonly places: ReadonlyMap<number, Place>;
  readonly conditions: ReadonlyMap<number, ConditionMark>;
}

/** One cell: a figure with the quantity, column and condition that head it. */
interface Cell {
  readonly measure: Measure;
  readonly quantity: Quantity;
  readonly column: Column;
  readonly when: Condition | null;
  readonly bank: number | null;
}

interface Table {
  readonly cells: readonly Cell[];
  readonly first: number;
  readonly last: number;
}

/** Readings of all tables of a post. Each table is read from its head on, and reading goes on behind it: linear. */
export function readTables(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const { tokens } = input;
  const marks = findMarks(input, knowledge);
  const habits = habitsOf(input.text.folded);
  const findings: ReadingFinding[] = [];
  const conflicts: Conflict[] = [];
  const used: Array<readonly [number, number]> = [];
  for (let index = 0; index < tokens.length; ) {
    const table = readByRows(input, knowledge, marks, index) ?? readByColumns(input, knowledge, marks, index);
    if (!table) {
      index += 1;
      continue;
    }
    used.push([tokens[table.first]!.start, tokens[table.last - 1]!.end]);
    for (const cell of table.cells) {
      if (cell.column.kind === 'limit' || cell.column.kind === 'average') continue;
      const when = cell.column.kind === 'condition' ? cell.column.when : cell.when;
      const bank = cell.column.kind === 'bank' ? cell.column.bank : cell.bank;
      const made = makeReading(
        input,
        {
          measure: cell.measure,
          quantity: cell.quantity,
          gauge: null,
          nameFirst: null,
          banks: [bank],
          sensor: null,
          when,
        },
        habits,
        knowledge,
      );
      const time = cell.column.kind === 'time' ? cell.column.time : null;
      findings.push(...made.findings.map((finding) => (time ? { ...finding, time } : finding)));
      conflicts.push(...made.conflicts);
    }
    index = Math.max(table.last, index + 1);
  }
  return { findings, conflicts, used: used.sort((a, b) => a[0] - b[0]) };
}

function findMarks(input: ReaderInput, knowledge: Knowledge): Marks {
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

/** "Limit Reading / HC 220 45 PASS / CO 1.2 0.03 PASS": a head of columns, then a name and its figures in each row. */
function readByRows(input: ReaderInput, knowledge: Knowledge, marks: Marks, first: number): Table | null {
  const { tokens } = input;
  const head = readColumns(tokens, first, marks.conditions, marks.places);
  if (!head) return null;
  // Prose names limits and readings too: in a table the first row's name stands right behind the head.
  const cells: Cell[] = [];
  let at = head.last;
  let rows = 0;
  for (;;) {
    const name = skip(tokens, at, isRowGap);
    const mention = marks.mentions.get(name);
    if (!mention || name - at > 6) break;
    const unitBehind = unitInHead(tokens, mention.last);
    const nameEnd = unitBehind?.last ?? mention.last;
    const placed = marks.places.get(nameEnd);
    const row = readFigures(tokens, marks, placed?.last ?? nameEnd, head.columns.length);
    if (!row) break;
    const bank = (marks.places.get(mention.first) ?? placed)?.bank ?? null;
    for (const [position, measure] of row.measures.entries()) {
      const withUnit = unitBehind && measure.unit === null ? { ...measure, unit: unitBehind.unit } : measure;
      const quantity = quantityOf(knowledge, mention, withUnit);
      if (quantity) cells.push({ measure: withUnit, quantity, column: head.columns[position]!, when: null, bank });
    }
    rows += 1;
    at = row.last;
  }
  if (rows === 0 || cells.length < 2) return null;
  return { cells, first, last: at };
}

/** "RPM %CO2 %O2 HC CO NO" over rows of figures, with or without "MAX AVE MEAS" under the names. */
function readByColumns(input: ReaderInput, knowledge: Knowledge, marks: Marks, first: number): Table | null {
  const { tokens } = input;
  if (!marks.mentions.has(first)) return null;
  const names: Array<{ mention: Mention; unit: UnitId | null }> = [];
  let at = first;
  while (names.length < 12) {
    const mention = marks.mentions.get(at);
    if (!mention) break;
    const unit = unitInHead(tokens, mention.last);
    names.push({ mention, unit: unit?.unit ?? unitBefore(tokens, mention.first) });
    at = skip(tokens, unit?.last ?? mention.last, isSeparator);
  }
  if (names.length < 3) return null;
  const sub = readColumns(tokens, at, new Map(), new Map());
  const groups = sub ? groupColumns(sub.columns) : names.map(() => [{ kind: 'measured' }] as Column[]);
  if (groups.length !== names.length) return null;
  const width = groups.reduce((sum, group) => sum + group.length, 0);
  const cells: Cell[] = [];
  let rows = 0;
  at = sub?.last ?? at;
  for (;;) {
    const label = readLabel(tokens, marks, at, width);
    const row = readFigures(tokens, marks, label.last, width);
    if (!row) break;
    let position = 0;
    let when = label.when;
    const cellsOfRow: Cell[] = [];
    for (const [group, columns] of groups.entries()) {
      for (const column of columns) {
        const measure = row.measures[position]!;
        const { mention, unit } = names[group]!;
        const withUnit = unit && measure.unit === null ? { ...measure, unit } : measure;
        const quantity = quantityOf(knowledge, mention, withUnit);
        if (quantity === 'engine-speed' && when === null) when = measure.low >= 1500 ? '2500rpm' : 'idle';
        if (quantity) cellsOfRow.push({ measure: withUnit, quantity, column, when: null, bank: null });
        position += 1;
      }
    }
    cells.push(...cellsOfRow.map((cell) => ({ ...cell, when })));
    rows += 1;
    at = row.last;
  }
  return rows > 0 ? { cells, first, last: at } : null;
}

/** MEAS MEAS MAX AVE MEAS -> [MEAS] [MEAS] [MAX AVE MEAS]: a group ends with its measured column. */
function groupColumns(columns: readonly Column[]): Column[][] {
  const groups: Column[][] = [];
  let group: Column[] = [];
  const measuredLast = columns.at(-1)?.kind === 'measured';
  for (const column of columns) {
    if (!measuredLast && column.kind === 'measured' && group.length > 0) {
      groups.push(group);
      group = [];
    }
    group.push(column);
    if (measuredLast && column.kind === 'measured') {
      groups.push(group);
      group = [];
    }
  }
  if (group.length > 0) groups.push(group);
  return groups;
}

/** What stands before the figures of a row: "15 mph", "Idle", "2500 rpm", "Run 1:". */
function readLabel(
  tokens: readonly Token[],
  marks: Marks,
  from: number,
  width: number,
): { when: Condition | null; last: number } {
  let at = skip(tokens, from, isRowGap);
  let when: Condition | null = null;
  const measure = marks.measures.get(at);
  const isSpeed = measure && (measure.unit === 'mile-per-hour' || measure.unit === 'km-per-hour');
  if (measure && isSpeed) return { when: 'load', last: measure.last };
  for (let steps = 0; steps < 5 && at < tokens.length; steps += 1) {
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
      /^(run|test|row|first|second|speed|low|high|mode|idle|at|phase|1st|2nd)$/.test(tokens[at]!.text)
    ) {
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
  return { when, last: at };
}

/** Exactly `count` figures in a row, with nothing but separators and verdicts between, and no further figure behind. */
function readFigures(
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

function isRowGap(token: Token): boolean {
  return isSeparator(token) || /^[.\u2022#]$/.test(token.text);
}

/** Like `skip`, but a sign that belongs to a figure is where that figure begins. */
function skipToFigure(tokens: readonly Token[], marks: Marks, from: number, passes: (token: Token) => boolean): number {
  let at = from;
  while (at < tokens.length && at - from < 8 && !marks.measures.has(at) && passes(tokens[at]!)) at += 1;
  return at;
}

function skip(tokens: readonly Token[], from: number, passes: (token: Token) => boolean): number {
  let at = from;
  while (at < tokens.length && at - from < 8 && passes(tokens[at]!)) at += 1;
  return at;
}

/** "HC (ppm)", "CO %": the unit in the head of a row or column. */
function unitInHead(tokens: readonly Token[], index: number): { unit: UnitId; last: number } | null {
  const at = tokens[index]?.text === '(' || tokens[index]?.text === '[' ? index + 1 : index;
  const unit = readUnit(tokens, at);
  if (!unit) return null;
  const closed = /^[)\]]$/.test(tokens[unit.last]?.text ?? '') ? unit.last + 1 : unit.last;
  return { unit: unit.unit, last: closed };
}

/** "%CO2". */
function unitBefore(tokens: readonly Token[], index: number): UnitId | null {
  return tokens[index - 1]?.text === '%' ? 'percent' : null;
}

/** The quantity that a head names, given the figure under it. */
function quantityOf(knowledge: Knowledge, mention: Mention, measure: Measure): Quantity | null {
  const fits = mention.candidates.filter(({ quantity, strength }) =>
    measure.unit === null ? strength === 'name' : unitConversions[measure.unit][quantity] !== undefined,
  );
  const usual = fits.find(({ quantity }) => {
    const range = usualRange(knowledge, quantity) ?? quantities[quantity].possible;
    return measure.low >= range[0] && measure.high <= range[1];
  });
  return (usual ?? fits[0])?.quantity ?? null;
}
