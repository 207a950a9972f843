// Reads tables of figures: emission test sheets with limit, average and measured columns, figures for two runs, two banks or two
// conditions, with or without their line ends. read-post.ts calls it before the readings; what it takes they leave alone.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Conflict } from '../vocabulary/answer-document.ts';
import type { ReadingFinding } from '../vocabulary/findings.ts';
import { type Condition, type Quantity, quantities } from '../vocabulary/quantities.ts';
import { habitsOf } from './assume-unit.ts';
import { makeReading } from './make-reading.ts';
import type { Measure } from './measures.ts';
import { type Mention, usualRange } from './quantity-mentions.ts';
import type { ReaderInput, ReaderResult } from './reader.ts';
import { type Column, isSeparator, readColumns } from './table-columns.ts';
import {
  conditionAround,
  conditionOver,
  findMarks,
  isRowGap,
  type Marks,
  readFigures,
  readLabel,
  skip,
} from './table-rows.ts';
import type { Token } from './tokens.ts';
import { readUnit, type UnitId, unitConversions } from './units.ts';

/** One cell: a figure with the quantity, column and condition that head it. */
interface Cell {
  readonly measure: Measure;
  readonly quantity: Quantity;
  readonly column: Column;
  readonly when: Condition | null;
  readonly bank: number | null;
  readonly sensor: number | null;
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
    const around = conditionAround(tokens, marks, table);
    for (const cell of table.cells) {
      if (cell.column.kind === 'limit' || cell.column.kind === 'average') continue;
      const when = cell.column.kind === 'condition' ? cell.column.when : (cell.when ?? around);
      const bank = cell.column.kind === 'bank' ? cell.column.bank : cell.bank;
      const made = makeReading(
        input,
        {
          measure: cell.measure,
          quantity: cell.quantity,
          gauge: null,
          nameFirst: null,
          banks: [bank],
          sensor: cell.sensor,
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

/** "Limit Reading / HC 220 45 PASS / CO 1.2 0.03 PASS": a head of columns, then a name and its figures in each row. */
function readByRows(input: ReaderInput, knowledge: Knowledge, marks: Marks, first: number): Table | null {
  const { tokens } = input;
  const head = readColumns(tokens, first, marks.conditions, marks.places);
  if (!head) return null;
  // Prose names limits and readings too: in a table the first row's name stands right behind the head.
  const cells: Cell[] = [];
  let at = head.last;
  let rows = 0;
  let when: Condition | null = null;
  for (;;) {
    const name = skip(tokens, at, isRowGap);
    const mention = marks.mentions.get(name);
    const label = mention ? null : conditionOver(tokens, marks, name);
    if (label && name - at <= 6) {
      when = label.when;
      at = label.last;
      continue;
    }
    if (!mention || name - at > 6) break;
    const unitBehind = unitInHead(tokens, mention.last);
    const nameEnd = unitBehind?.last ?? mention.last;
    const placed = marks.places.get(nameEnd);
    const columns = head.columns;
    const whole = readFigures(tokens, marks, placed?.last ?? nameEnd, columns.length);
    // "CO2 14.9" among rows of limit and reading: what has no limit was measured.
    const measured = columns.filter((column) => column.kind === 'measured');
    const row = whole ?? (measured.length === 1 ? readFigures(tokens, marks, placed?.last ?? nameEnd, 1) : null);
    if (!row) break;
    const place = marks.places.get(mention.first) ?? placed;
    const isVolts = place?.sensor !== undefined && place.sensor !== null;
    for (const [position, measure] of row.measures.entries()) {
      const withUnit = unitBehind && measure.unit === null ? { ...measure, unit: unitBehind.unit } : measure;
      const quantity = quantityOf(knowledge, mention, withUnit, isVolts);
      const column = whole ? columns[position]! : measured[0]!;
      if (quantity)
        cells.push({
          measure: withUnit,
          quantity,
          column,
          when,
          bank: place?.bank ?? null,
          sensor: place?.sensor ?? null,
        });
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
  if (names.length < 2) return null;
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
    // Two names are a table only over rows that say their bank or condition; else they are a list in a sentence.
    if (names.length === 2 && label.bank === null && label.when === null) break;
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
        if (quantity)
          cellsOfRow.push({ measure: withUnit, quantity, column, when: null, bank: label.bank, sensor: null });
        position += 1;
      }
    }
    cells.push(...cellsOfRow.map((cell) => ({ ...cell, when })));
    rows += 1;
    at = row.last;
  }
  return rows >= (names.length === 2 ? 2 : 1) ? { cells, first, last: at } : null;
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

/**
 * The quantity that a head names, given the figure under it.
 *
 * @param ofSensor the row names a sensor's place, so that a small decimal is its voltage
 */
function quantityOf(knowledge: Knowledge, mention: Mention, measure: Measure, ofSensor = false): Quantity | null {
  const fits = mention.candidates.filter(({ quantity, strength }) =>
    measure.unit === null
      ? strength === 'name' || (ofSensor && quantity === 'sensor-voltage' && measure.decimals > 0)
      : unitConversions[measure.unit][quantity] !== undefined,
  );
  const usual = fits.find(({ quantity }) => {
    const range = usualRange(knowledge, quantity) ?? quantities[quantity].possible;
    return measure.low >= range[0] && measure.high <= range[1];
  });
  return (usual ?? fits[0])?.quantity ?? null;
}
