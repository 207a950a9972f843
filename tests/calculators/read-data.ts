// Reads the recorded extracts under tests/data; each folder there has an ORIGIN.md with origin and licence.
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

export function readText(path: string): string {
  return readFileSync(fileURLToPath(new URL(`../data/${path}`, import.meta.url)), 'utf8');
}

/** Cells of a plain CSV without quotes, header line first. */
function cells(path: string): string[][] {
  return readText(path)
    .trim()
    .split('\n')
    .map((line) => line.split(','));
}

/** Rows of a CSV with a header line; every cell a number. */
export function readLog(path: string): Array<Record<string, number>> {
  const [header, ...rows] = cells(path);
  return rows.map((row) => Object.fromEntries(header!.map((name, column) => [name, Number(row[column])])));
}

/** One channel of a log that has one reading a row (time, quantity, value). */
export function readTimedChannel(path: string, quantity: string): { times: number[]; values: number[] } {
  const rows = cells(path).filter((row) => row[1] === quantity);
  return { times: rows.map((row) => Number(row[0])), values: rows.map((row) => Number(row[2])) };
}

/** One JSON value a line. */
export function readLines<Row>(path: string): Row[] {
  return readText(path)
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as Row);
}
