// The plan view of an engine along the car: one row, two rows, or a flat engine whose sides join under it. bay-geometry.ts calls it.
import {
  type Bank,
  type BayGeometry,
  bay,
  numbersOf,
  type Point,
  placeAlong,
  type Stations,
  spread,
  stagger,
} from './bay-parts.ts';
import type { BaySpec } from './bay-spec.ts';

const { middle, bottom } = bay;
const blockTop = 84;

export function layLengthwise(spec: BaySpec): BayGeometry {
  if (spec.layout === 'flat' && spec.bankOne === 'only') return flatJoined(spec);
  return spec.bankOne === 'only' || spec.bankOne === 'front-cylinders' ? oneRow(spec) : twoRows(spec);
}

/** One row; the exhaust on the side that is known, else on the right. */
function oneRow(spec: BaySpec): BayGeometry {
  const height = Math.min(228, 44 * spec.cylinders);
  const half = spec.layout === 'narrow' ? 36 : 28;
  const places = spread(spec.cylinders, blockTop + 22, blockTop + height - 22);
  const groups = spec.bankOne === 'front-cylinders' ? 2 : 1;
  const count = spec.cylinders / groups;
  const away = spec.exhaust === 'left' ? -1 : 1;
  const banks = Array.from({ length: groups }, (_, index): Bank => {
    const own = places.slice(index * count, (index + 1) * count);
    const numbers = numbersOf(spec, index + 1, count);
    const centre = groups === 2 ? own.reduce((sum, y) => sum + y, 0) / own.length : blockTop + 30;
    // The front half's pipe runs outside that of the rear half.
    const x = middle + away * (groups === 2 ? (index === 0 ? 158 : 104) : 104);
    const run: Point[] = [
      { x: middle + away * half, y: centre },
      { x, y: centre },
      { x, y: bottom },
    ];
    return {
      bank: index + 1,
      cylinders: own.map((y, place) => ({
        x: middle + stagger(spec, index * count + place),
        y,
        number: numbers[place] ?? null,
      })),
      runs: [run],
      ...placeAlong(run, sideStations(spec, Math.abs(x - middle) - half, bottom - centre)),
      name: { x: middle - away * (half + 40), y: centre },
    };
  });
  return {
    banks,
    block: [middle - half, blockTop, 2 * half, height],
    pulleys: spec.engineAt === 'rear' ? null : { x: middle, y: blockTop - 14 },
  };
}

/** Out of the block to the side and down: the lengths of both pieces. */
function sideStations(spec: BaySpec, out: number, down: number): Stations {
  if (spec.catalyst === 'close') return { one: 26, first: out + 38, two: out + 78 };
  if (spec.catalyst === 'pre' && down > 150) return { one: 26, first: out + 38, two: out + 78, main: out + down - 36 };
  if (spec.catalyst === 'pre') return { one: 26, first: out + 30, two: out + 60, main: out + down - 22 };
  return { one: 26, first: out + down - 88, two: out + down - 44 };
}

/** A flat engine whose sides join into one pipe under it, ahead of the first sensor: odd cylinders right, even ones left. */
function flatJoined(spec: BaySpec): BayGeometry {
  const count = spec.cylinders / 2;
  const height = Math.min(116, 46 * count);
  const places = spread(count, blockTop + 23, blockTop + height - 23);
  const [left, right] = [middle - 56, middle + 56];
  const out = blockTop + height;
  const joined = out + 24;
  const run: Point[] = [
    { x: right, y: out },
    { x: right, y: joined },
    { x: middle, y: joined },
    { x: middle, y: bottom },
  ];
  const branch: Point[] = [
    { x: left, y: out },
    { x: left, y: joined },
    { x: middle, y: joined },
  ];
  const start = joined - out + right - middle;
  const down = bottom - joined;
  const isClose = spec.catalyst !== 'under-floor';
  const stations: Stations = {
    one: start + 22,
    first: isClose ? start + 58 : start + down - 72,
    two: isClose ? start + 96 : start + down - 30,
    main: spec.catalyst === 'pre' && down > 150 ? start + down - 26 : null,
  };
  const side = (x: number, odd: boolean) =>
    places.map((y, index) => ({ x, y, number: spec.numbering === 'odd' ? 2 * index + (odd ? 1 : 2) : null }));
  return {
    banks: [
      {
        bank: 1,
        cylinders: [...side(right, true), ...side(left, false)],
        runs: [run, branch],
        ...placeAlong(run, stations),
        name: { x: middle, y: blockTop + height / 2 },
      },
    ],
    block: [left - 28, blockTop, right - left + 56, height],
    pulleys: spec.engineAt === 'rear' ? null : { x: middle, y: blockTop - 14 },
  };
}

/** Two rows, each with its exhaust outside; a flat engine's rows lie farther apart, a W engine's are staggered pairs. */
function twoRows(spec: BaySpec): BayGeometry {
  const count = spec.cylinders / 2;
  const height = count === 6 ? 212 : Math.min(176, 46 * count);
  const apart = spec.layout === 'flat' ? 54 : spec.layout === 'w' ? 40 : 31;
  const half = spec.layout === 'w' ? 34 : 27;
  const y = spread(count, blockTop + 24, blockTop + height - 24);
  const rightBank = spec.bankOne === 'left' ? 2 : 1;
  const centre = blockTop + 34;
  const meeting = blockTop + height + (spec.pipes === 'crossover' ? 28 : 40);
  const side = (bank: number): Bank => {
    const away = bank === rightBank ? 1 : -1;
    const x = middle + away * (apart + half + 60);
    const numbers = numbersOf(spec, bank, count);
    const start = middle + away * (apart + half);
    const own: Point[] = [
      { x: start, y: centre },
      { x, y: centre },
    ];
    const isJoined = spec.pipes !== 'separate';
    const run: Point[] = isJoined
      ? [...own, { x, y: meeting }, { x: middle, y: meeting }, { x: middle, y: bottom }]
      : [...own, { x, y: bottom }];
    return {
      bank,
      cylinders: y.map((place, index) => ({
        x: middle + away * apart + stagger(spec, index),
        y: place,
        number: numbers[index] ?? null,
      })),
      runs: [run],
      ...placeAlong(
        run,
        isJoined ? joinedStations(spec, bank, run) : sideStations(spec, Math.abs(x - start), bottom - centre),
      ),
      name: { x: middle + away * (apart + 2), y: blockTop + height + 16 },
    };
  };
  return {
    banks: [side(1), side(2)],
    block: [middle - apart - half, blockTop, 2 * (apart + half), height],
    pulleys: spec.engineAt === 'rear' ? null : { x: middle, y: blockTop - 14 },
  };
}

/** Both pipes meet ahead of one catalyst; what lies behind the meeting counts as bank 1. */
function joinedStations(spec: BaySpec, bank: number, run: readonly Point[]): Stations {
  const upTo = (index: number) =>
    run
      .slice(1, index + 1)
      .reduce((sum, point, at) => sum + Math.abs(point.x - run[at]!.x) + Math.abs(point.y - run[at]!.y), 0);
  const meeting = upTo(3);
  const isFirst = bank === 1;
  const isSingle = spec.pipes === 'crossover';
  if (isSingle)
    return isFirst
      ? { one: meeting + 12, first: meeting + 40, two: meeting + 68 }
      : { one: null, first: null, two: null };
  return { one: 26, first: isFirst ? meeting + 28 : null, two: isFirst ? meeting + 60 : null };
}
