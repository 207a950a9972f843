// Cuts a log into rows without holding them all: delimiter, decimal comma, quoted cells, cut-short last rows. read-log.ts calls it.

export interface LogShape {
  readonly delimiter: string;
  readonly decimalComma: boolean;
}

/** Lines of a text one after the other, with their place; never more than one in memory. */
export function* linesOf(text: string): Generator<{ line: string; start: number; end: number }> {
  let start = 0;
  while (start <= text.length) {
    let end = text.indexOf('\n', start);
    if (end < 0) end = text.length;
    const last = end > start && text[end - 1] === '\r' ? end - 1 : end;
    yield { line: text.slice(start, Math.min(last, start + 4000)), start, end: last };
    start = end + 1;
  }
}

/** The delimiter that cuts a header and the line below it into equally many cells, at least three; null when none does. */
export function shapeOf(header: string, row: string): LogShape | null {
  for (const delimiter of [';', '\t', '|', ',']) {
    const names = splitCells(header, delimiter);
    const cells = splitCells(row, delimiter);
    if (names.length < 3 || Math.abs(names.length - cells.length) > 1) continue;
    const decimalComma = delimiter !== ',' && cells.some((cell) => /^-?\d+,\d+$/.test(cell.trim()));
    return { delimiter, decimalComma };
  }
  return null;
}

/** Cells of a row; quotes around a cell are taken off, a delimiter inside them does not cut. */
export function splitCells(line: string, delimiter: string): string[] {
  if (!line.includes('"')) return line.split(delimiter);
  const cells: string[] = [];
  let cell = '';
  let quoted = false;
  for (const character of line) {
    if (character === '"') quoted = !quoted;
    else if (character === delimiter && !quoted) {
      cells.push(cell);
      cell = '';
    } else cell += character;
  }
  cells.push(cell);
  return cells;
}

/** The number in a cell; NaN when there is none. */
export function numberIn(cell: string | undefined, shape: LogShape): number {
  if (cell === undefined) return Number.NaN;
  const text = cell.trim();
  if (text === '' || text.length > 24) return Number.NaN;
  return Number(shape.decimalComma ? text.replace(',', '.') : text);
}

/** Seconds of a clock time "12:30:05.5", also behind a date; NaN when there is none. */
export function clockSeconds(cell: string): number {
  const found = /(\d{1,2}):(\d{2}):(\d{2}(?:[.,]\d{1,6})?)/.exec(cell.slice(0, 60));
  return found ? Number(found[1]) * 3600 + Number(found[2]) * 60 + Number(found[3]!.replace(',', '.')) : Number.NaN;
}
