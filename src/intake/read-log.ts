// Reads logs of live data, pasted into a post or attached to it: any delimiter, decimal commas, a row of units, time in seconds,
// milliseconds or by the clock, one reading a row or one column a quantity. read-post.ts calls it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { ReadingFinding } from '../vocabulary/findings.ts';
import { quantities } from '../vocabulary/quantities.ts';
import { findingBase } from './finding-base.ts';
import { type LogColumn, readColumn, readTimeColumn } from './log-columns.ts';
import { clockSeconds, type LogShape, linesOf, numberIn, shapeOf, splitCells } from './log-rows.ts';
import { LogSummary, type Summary } from './log-summary.ts';
import { isTaken, nothingRead, type ReaderInput, type ReaderResult } from './reader.ts';
import type { Attachment } from './reading.ts';

/** Largest attachment that is read [UTF-16 units]: 5 MiB. */
const longestLog = 5 * 1024 * 1024;

interface Block {
  readonly summaries: Summary[];
  readonly rows: number;
  readonly start: number;
  readonly end: number;
}

/** Readings of a log pasted into the post: a head, and at least five rows of figures below it. */
export function readLog(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const block = readBlock(input.text.folded, knowledge, true);
  if (!block || isTaken(input.taken, block.start, block.end)) return nothingRead;
  const findings = block.summaries.flatMap((summary) =>
    toFindings(summary, () => findingBase(input, block.start, block.end, 0, 'present')),
  );
  return { findings, conflicts: [], used: [[block.start, block.end]] };
}

/** Readings of an attached log; without place in the text, source `attachment`. */
export function readAttachment(
  attachment: Attachment,
  post: number,
  nextId: () => string,
  knowledge: Knowledge,
): ReaderResult {
  const block = readBlock(attachment.text.slice(0, longestLog), knowledge, false);
  if (!block) return nothingRead;
  const findings = block.summaries.flatMap((summary) =>
    toFindings(summary, () => ({
      id: nextId(),
      source: 'attachment' as const,
      time: 'now' as const,
      car: 0,
      span: null,
      quote: `${attachment.name.slice(0, 80)}: ${summary.rows} rows`,
      stated: 'present' as const,
      post,
    })),
  );
  return { findings, conflicts: [], used: [] };
}

type Base = Pick<ReadingFinding, 'id' | 'source' | 'time' | 'car' | 'span' | 'quote' | 'stated' | 'post'>;

/** The mean of a column as a reading, with its extremes for a sensor; and the sensor's switches where time is known. */
function toFindings(summary: Summary, base: () => Base): ReadingFinding[] {
  const { column, when } = summary;
  // A "lambda" about 14.7 is an air-fuel ratio, whatever the column is called.
  const quantity = column.quantity === 'lambda' && summary.mean > 5 ? 'air-fuel-ratio' : column.quantity;
  const places = quantities[quantity].decimals + 2;
  const round = (value: number) => Number(value.toFixed(places));
  const shared = { kind: 'reading' as const, bank: column.bank, sensor: column.sensor, when, limit: null };
  const isSignal = quantity === 'sensor-voltage';
  const findings: ReadingFinding[] = [
    {
      ...base(),
      ...shared,
      quantity,
      value: round(summary.mean),
      range: isSignal && summary.low !== summary.high ? [round(summary.low), round(summary.high)] : null,
      unitAssumed: column.unitAssumed,
      original: { value: `mean of ${summary.rows} rows`, unit: quantities[quantity].unit },
      ...(summary.trace
        ? {
            trace: {
              when: summary.trace.when,
              seconds: summary.trace.seconds === null ? null : Number(summary.trace.seconds.toFixed(1)),
              values: summary.trace.values.map((value) => Number(value.toFixed(3))),
            },
          }
        : {}),
    },
  ];
  if (isSignal && summary.switchesPerSecond !== null) {
    findings.push({
      ...base(),
      ...shared,
      quantity: 'switches',
      value: Number(summary.switchesPerSecond.toFixed(3)),
      range: null,
      unitAssumed: false,
      original: { value: `over ${summary.rows} rows`, unit: '1/s' },
    });
  }
  return findings;
}

/** The first log in a text; null when there is none. Reads line by line. */
function readBlock(text: string, knowledge: Knowledge, isPasted: boolean): Block | null {
  let header: { line: string; start: number } | null = null;
  const lines = linesOf(text);
  for (let next = lines.next(); !next.done; next = lines.next()) {
    const { line, start } = next.value;
    if (header && isFigures(line)) {
      const block = readRows(header, next.value, lines, knowledge, isPasted);
      if (block) return block;
    }
    // A row of units below the names is kept with them.
    if (line.trim() !== '' && !isFigures(line))
      header =
        header && isUnitRow(line) ? { line: `${header.line}\u0000${line}`, start: header.start } : { line, start };
  }
  return null;
}

function isFigures(line: string): boolean {
  const digits = line.match(/\d/g)?.length ?? 0;
  return digits >= 3 && /^[\s"]*[-+]?[\d.,:/T -]+[\s"]*[;,\t|]/.test(line.slice(0, 80));
}

const unitCell =
  /^[[(]?(%|v|mv|volts?|rpm|1\/min|km\/h|kph|mph|kpa|bar|psi|°?[cf]|deg|°|g\/s|g\/sec|kg\/h|s|sec|ms|ma|l\/h|count|-|)[\])]?$/i;

/** A row of units stands under the names: at least half of its cells are units and no two of them names. */
function isUnitRow(line: string): boolean {
  const cells = line.split(/[;,\t|]/).map((cell) => cell.trim());
  const units = cells.filter((cell) => unitCell.test(cell)).length;
  return cells.length >= 3 && units * 2 > cells.length && cells.some((cell) => cell !== '');
}

function readRows(
  header: { line: string; start: number },
  first: { line: string; start: number; end: number },
  lines: Generator<{ line: string; start: number; end: number }>,
  knowledge: Knowledge,
  isPasted: boolean,
): Block | null {
  const [names, units] = header.line.split('\u0000');
  const shape = shapeOf(names!, first.line);
  if (!shape) return null;
  const titles = splitCells(names!, shape.delimiter);
  const unitCells = units === undefined ? [] : splitCells(units, shape.delimiter);
  const long = longFormat(titles);
  const columns = titles.map((title, index) => (long ? null : readColumn(title, unitCells[index] ?? null, knowledge)));
  if (!long && columns.filter((column) => column !== null).length < 2) return null;
  const time = titles.findIndex((title) => readTimeColumn(title) !== null);
  const factor = time < 0 ? null : readTimeColumn(titles[time]!);
  const secondsIn = (cells: readonly string[]) => {
    if (factor === null) return Number.NaN;
    const cell = cells[time] ?? '';
    return factor === 'clock' || cell.includes(':') ? clockSeconds(cell) : numberIn(cell, shape) * factor;
  };
  const sink = long ? new LongLog(long, shape, knowledge) : new WideLog(columns, shape);
  let rows = 0;
  let end = first.end;
  for (let current = first; ; ) {
    const cells = splitCells(current.line, shape.delimiter);
    if (cells.length >= 2 && isFigures(current.line)) {
      sink.add(cells, secondsIn(cells));
      rows += 1;
      end = current.end;
    } else if (isPasted && current.line.trim() === '' && rows > 0) break;
    else if (isPasted && rows > 0) break;
    const next = lines.next();
    if (next.done) break;
    current = next.value;
  }
  const summaries = sink.results();
  return rows >= 5 && summaries.length > 0 ? { summaries, rows, start: header.start, end } : null;
}

/** One column a quantity. */
class WideLog {
  readonly #columns: ReadonlyArray<{ column: LogColumn; at: number }>;
  readonly #summary: LogSummary;
  readonly #shape: LogShape;

  constructor(columns: ReadonlyArray<LogColumn | null>, shape: LogShape) {
    const seen = new Set<string>();
    // Of two columns of one quantity and place the first counts.
    this.#columns = columns.flatMap((column, at) => {
      const key = column ? `${column.quantity} ${column.bank} ${column.sensor}` : '';
      if (!column || seen.has(key)) return [];
      seen.add(key);
      return [{ column, at }];
    });
    this.#summary = new LogSummary(this.#columns.map(({ column }) => column));
    this.#shape = shape;
  }

  add(cells: readonly string[], time: number): void {
    this.#summary.add(
      this.#columns.map(({ column, at }) => column.convert(numberIn(cells[at], this.#shape))),
      time,
    );
  }

  results(): Summary[] {
    return this.#summary.results();
  }
}

/** One reading a row: the last value of every quantity stands until the next; a row goes to the summary when the first quantity comes round again. */
class LongLog {
  readonly #at: { name: number; value: number; unit: number };
  readonly #shape: LogShape;
  readonly #knowledge: Knowledge;
  readonly #known = new Map<string, number | null>();
  readonly #columns: LogColumn[] = [];
  readonly #rows: Array<{ index: number; value: number; time: number }> = [];

  constructor(at: { name: number; value: number; unit: number }, shape: LogShape, knowledge: Knowledge) {
    this.#at = at;
    this.#shape = shape;
    this.#knowledge = knowledge;
  }

  add(cells: readonly string[], time: number): void {
    const name = cells[this.#at.name]?.trim() ?? '';
    const unit = this.#at.unit < 0 ? null : (cells[this.#at.unit]?.trim() ?? null);
    let index = this.#known.get(`${name}|${unit}`);
    if (index === undefined) {
      const column = this.#known.size < 500 ? readColumn(name, unit, this.#knowledge) : null;
      const isNew =
        column !== null &&
        !this.#columns.some(
          (other) => other.quantity === column.quantity && other.bank === column.bank && other.sensor === column.sensor,
        );
      index = isNew ? this.#columns.push(column) - 1 : null;
      this.#known.set(`${name}|${unit}`, index);
    }
    if (index === null) return;
    const value = numberIn(cells[this.#at.value], this.#shape);
    if (Number.isFinite(value)) this.#rows.push({ index, value: this.#columns[index]!.convert(value), time });
  }

  results(): Summary[] {
    const summary = new LogSummary(this.#columns);
    const values = this.#columns.map(() => Number.NaN);
    let seen = new Set<number>();
    let time = Number.NaN;
    for (const row of this.#rows) {
      if (seen.has(row.index)) {
        summary.add([...values], time);
        seen = new Set();
      }
      values[row.index] = row.value;
      seen.add(row.index);
      time = row.time;
    }
    if (seen.size > 0) summary.add([...values], time);
    return summary.results();
  }
}

/** Places of name, value and unit in a log with one reading a row; null in one with a column for each quantity. */
function longFormat(titles: readonly string[]): { name: number; value: number; unit: number } | null {
  const find = (pattern: RegExp) =>
    titles.findIndex((title) => pattern.test(title.trim().toLowerCase().replaceAll('"', '')));
  const at = {
    name: find(/^(quantity|name|pid|parameter|sensor|signal|channel)$/),
    value: find(/^(value|reading|wert)$/),
    unit: find(/^units?$/),
  };
  return at.name >= 0 && at.value >= 0 ? at : null;
}
