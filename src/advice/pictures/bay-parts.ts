// The pieces that both mountings of a plan view share: the frame, runs of pipe with things along them, rows of cylinders and their
// numbers. bay-across.ts and bay-lengthwise.ts build with them.
import type { BaySpec } from './bay-spec.ts';

export interface Point {
  readonly x: number;
  readonly y: number;
}

export interface Catalyst extends Point {
  /** Whether it lies along the picture's width. */
  readonly across: boolean;
  /** Whether it is the one that sensors 1 and 2 watch. */
  readonly isFirst: boolean;
}

export interface Bank {
  readonly bank: number;
  readonly cylinders: ReadonlyArray<Point & { readonly number: number | null }>;
  /** Runs of pipe; the first begins at the manifold, later ones are branches. */
  readonly runs: ReadonlyArray<readonly Point[]>;
  readonly catalysts: readonly Catalyst[];
  /** Sensor 1 ahead of the first catalyst, sensor 2 behind it; null where this bank has none of its own. */
  readonly sensors: readonly [Point | null, Point | null];
  /** Middle of the bank's name. */
  readonly name: Point;
}

export interface BayGeometry {
  readonly banks: readonly Bank[];
  /** The block: x, y, width, height. */
  readonly block: readonly [number, number, number, number];
  /** Where the word for the pulleys goes; null when their end is not known. */
  readonly pulleys: Point | null;
}

/** The frame: the picture's size, and the lines between which the engine and its pipes lie. */
export const bay = { width: 400, height: 440, top: 62, bottom: 366, middle: 200 } as const;

/** Half lengths of a catalyst along and across its pipe. */
export const catalystHalf = { long: 19, wide: 14 } as const;

/** A point along a run of straight pieces, and whether the piece there goes across the picture. */
export function along(run: readonly Point[], distance: number): Point & { across: boolean } {
  let left = distance;
  for (let index = 1; index < run.length; index += 1) {
    const [from, to] = [run[index - 1]!, run[index]!];
    const length = Math.abs(to.x - from.x) + Math.abs(to.y - from.y);
    if (left <= length || index === run.length - 1) {
      const share = length === 0 ? 0 : Math.min(1, left / length);
      return {
        x: from.x + (to.x - from.x) * share,
        y: from.y + (to.y - from.y) * share,
        across: from.y === to.y,
      };
    }
    left -= length;
  }
  return { ...run[0]!, across: false };
}

/** Distances along a run at which its sensors and catalysts sit. */
export interface Stations {
  readonly one: number | null;
  readonly first: number | null;
  readonly two: number | null;
  /** The main catalyst behind a small first one. */
  readonly main?: number | null;
}

/** Catalysts and sensors at their distances along a run. */
export function placeAlong(
  run: readonly Point[],
  { one, first, two, main = null }: Stations,
): Pick<Bank, 'catalysts' | 'sensors'> {
  const at = (distance: number | null) => (distance === null ? null : along(run, distance));
  const [sensorOne, sensorTwo, firstAt, mainAt] = [at(one), at(two), at(first), at(main)];
  return {
    catalysts: [
      ...(firstAt ? [{ ...firstAt, isFirst: true }] : []),
      ...(mainAt ? [{ ...mainAt, isFirst: false }] : []),
    ],
    sensors: [sensorOne && { x: sensorOne.x, y: sensorOne.y }, sensorTwo && { x: sensorTwo.x, y: sensorTwo.y }],
  };
}

export function spread(count: number, from: number, to: number): number[] {
  if (count === 1) return [(from + to) / 2];
  return Array.from({ length: count }, (_, index) => from + ((to - from) * index) / (count - 1));
}

/** Cylinder numbers of a bank of `count`, counted from cylinder 1's end; null where the numbering is not known. */
export function numbersOf(spec: BaySpec, bank: number, count: number): Array<number | null> {
  return Array.from({ length: count }, (_, index) => {
    if (spec.bankOne === 'only') return spec.one === 'unknown' && spec.mounting === 'transverse' ? null : index + 1;
    if (spec.bankOne === 'front-cylinders' || spec.numbering === 'row') return index + 1 + (bank - 1) * count;
    return spec.numbering === 'odd' ? 2 * index + bank : null;
  });
}

/** Cylinders of a narrow V stand staggered about their row. */
export function stagger(spec: BaySpec, index: number): number {
  return spec.layout === 'narrow' || spec.layout === 'w' ? (index % 2 === 0 ? -8 : 8) : 0;
}

/** Sum of the straight pieces of a run. */
export function lengthOf(run: readonly Point[]): number {
  return run
    .slice(1)
    .reduce((sum, point, index) => sum + Math.abs(point.x - run[index]!.x) + Math.abs(point.y - run[index]!.y), 0);
}
