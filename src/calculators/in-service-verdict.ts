// Readings against the limits of one test programme: pass, fail, by how much, and what is missing to judge.
import type { Quantity } from '../vocabulary/quantities.ts';
import { type Result, refuse } from './result.ts';

export interface LimitRow {
  readonly quantity: Quantity;
  readonly when: string;
  readonly low: number | null;
  readonly high: number | null;
}

export interface TestReading {
  readonly quantity: Quantity;
  /** Condition; null when it was not stated. */
  readonly when: string | null;
  readonly value: number;
}

export interface JudgedRow {
  readonly row: LimitRow;
  /** Null when there is no reading for the row. */
  readonly value: number | null;
  readonly verdict: 'pass' | 'fail' | 'missing';
  /** Distance to the nearer limit, in the reading's unit; negative outside. */
  readonly margin: number | null;
}

/**
 * A reading equal to its limit passes. One whose condition was not stated counts for a row only where every row of that quantity would
 * give the same verdict.
 *
 * @param readings at most 100
 * @param rows     limits of the programme, 1 or more
 * @returns the least margin as a share of its limit [%], negative when something fails; `verdict` is `incomplete` when nothing fails and
 *          something is missing. Refused when no reading matches any row, or a reading is negative or no number
 * Source: the programmes of knowledge/limits; "not exceeding" in each.
 */
export function inServiceVerdict(
  readings: readonly TestReading[],
  rows: readonly LimitRow[],
): Result<number, { verdict: 'pass' | 'fail' | 'incomplete'; rows: JudgedRow[] }> {
  if (readings.length > 100) return refuse('There are too many readings for one test.');
  const bad = readings.find((reading) => !(reading.value >= 0 && Number.isFinite(reading.value)));
  if (bad) return refuse('A gas reading below zero, or one that is no number, cannot be judged.');
  const judged = rows.map((row) => judgeRow(row, readings, rows));
  const known = judged.filter((item) => item.verdict !== 'missing');
  if (known.length === 0) return refuse('None of the readings belongs to a limit of this test.');
  const value = Math.min(...known.map((item) => (100 * item.margin!) / (item.row.high ?? item.row.low ?? 1)));
  const fails = known.some((item) => item.verdict === 'fail');
  const verdict = fails ? 'fail' : known.length < judged.length ? 'incomplete' : 'pass';
  return { valid: true, value, verdict, rows: judged };
}

function judgeRow(row: LimitRow, readings: readonly TestReading[], rows: readonly LimitRow[]): JudgedRow {
  const ofQuantity = readings.filter((reading) => reading.quantity === row.quantity);
  const exact = ofQuantity.findLast((reading) => reading.when === row.when);
  if (exact) return judgeValue(row, exact.value);
  const unstated = ofQuantity.findLast((reading) => reading.when === null);
  if (unstated) {
    const own = judgeValue(row, unstated.value);
    const others = rows.filter((other) => other.quantity === row.quantity);
    if (others.every((other) => judgeValue(other, unstated.value).verdict === own.verdict)) return own;
  }
  return { row, value: null, verdict: 'missing', margin: null };
}

function judgeValue(row: LimitRow, value: number): JudgedRow {
  const margin = Math.min(
    row.high === null ? Infinity : row.high - value,
    row.low === null ? Infinity : value - row.low,
  );
  return { row, value, verdict: margin >= 0 ? 'pass' : 'fail', margin };
}
