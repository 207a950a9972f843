// All checks against the outside, and their summary by calculator and source.
import { airChecks } from './air.ts';
import type { Check } from './check.ts';
import { gasChecks } from './gas.ts';
import { mixtureChecks } from './mixture.ts';
import { onBoardChecks } from './on-board.ts';
import { sensorChecks } from './sensor.ts';
import { unitAndLimitChecks } from './units-and-limits.ts';

export const checks: readonly Check[] = [
  ...gasChecks,
  ...mixtureChecks,
  ...sensorChecks,
  ...airChecks,
  ...onBoardChecks,
  ...unitAndLimitChecks,
];

export interface Summary {
  readonly calculator: string;
  readonly kind: Check['kind'];
  readonly from: string;
  readonly values: number;
  /** Largest difference, and the largest as a share of what its row allows. */
  readonly worst: number;
  readonly share: number;
}

/** One line for each calculator and source, in the order of the checks. */
export function summarise(list: readonly Check[] = checks): Summary[] {
  const lines = new Map<string, { -readonly [Key in keyof Summary]: Summary[Key] }>();
  for (const check of list) {
    const key = `${check.calculator} | ${check.from}`;
    const line = lines.get(key) ?? {
      calculator: check.calculator,
      kind: check.kind,
      from: check.from,
      values: 0,
      worst: 0,
      share: 0,
    };
    const difference = Math.abs(check.got() - check.expected);
    line.values += 1;
    line.worst = Math.max(line.worst, difference);
    line.share = Math.max(
      line.share,
      check.tolerance === 0 ? (difference === 0 ? 0 : Infinity) : difference / check.tolerance,
    );
    lines.set(key, line);
  }
  return [...lines.values()];
}
