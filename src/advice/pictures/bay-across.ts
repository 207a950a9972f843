// The plan view of an engine across the car: one row, or a radiator row and a cabin row. bay-geometry.ts calls it.
import {
  type Bank,
  type BayGeometry,
  bay,
  lengthOf,
  numbersOf,
  type Point,
  placeAlong,
  type Stations,
  spread,
  stagger,
} from './bay-parts.ts';
import type { BaySpec } from './bay-spec.ts';

const { middle, bottom } = bay;

export function layAcross(spec: BaySpec): BayGeometry {
  return spec.bankOne === 'only' || spec.bankOne === 'front-cylinders' ? oneRow(spec) : twoRows(spec);
}

/** One row; its exhaust leaves to the cabin, or to the radiator and then runs back beside the engine. */
function oneRow(spec: BaySpec): BayGeometry {
  const isFront = spec.exhaust === 'radiator';
  const width = Math.min(250, 50 * spec.cylinders);
  const deep = spec.layout === 'narrow' ? 72 : 56;
  const y = isFront ? 210 : 128;
  const rightFirst = spec.one !== 'left';
  const ends = [middle + width / 2 - 24, middle - width / 2 + 24] as const;
  const places = spread(spec.cylinders, rightFirst ? ends[0] : ends[1], rightFirst ? ends[1] : ends[0]);
  const groups = spec.bankOne === 'front-cylinders' ? 2 : 1;
  const count = spec.cylinders / groups;
  const banks = Array.from({ length: groups }, (_, index): Bank => {
    const own = places.slice(index * count, (index + 1) * count);
    const numbers = numbersOf(spec, index + 1, count);
    const centre = own.reduce((sum, x) => sum + x, 0) / own.length;
    const isRight = groups === 2 && (index === 0) === rightFirst;
    const run: Point[] = isFront
      ? frontRun(centre, y - deep / 2, isRight ? 352 : 48)
      : [
          { x: centre, y: y + deep / 2 },
          { x: centre, y: bottom },
        ];
    return {
      bank: index + 1,
      cylinders: own.map((x, place) => ({
        x,
        y: y + stagger(spec, index * count + place),
        number: numbers[place] ?? null,
      })),
      runs: [run],
      ...placeAlong(run, isFront ? frontStations(spec, run) : straightStations(spec)),
      name: { x: centre, y: isFront ? y + deep / 2 + 18 : y - deep / 2 - 14 },
    };
  });
  const pulleyEnd = rightFirst ? middle + width / 2 : middle - width / 2;
  const outside = rightFirst ? 34 : -34;
  // Beside the engine where there is room; on its free side where a pipe passes.
  const beside = { x: pulleyEnd + outside, y };
  const isNamed = groups === 2 ? 38 : 18;
  const free = { x: pulleyEnd - outside, y: y + (isFront ? deep / 2 + isNamed : -deep / 2 - isNamed + 4) };
  const isTaken = isFront && (groups === 2 || !rightFirst);
  return {
    banks,
    block: [middle - width / 2, y - deep / 2, width, deep],
    pulleys: spec.one === 'unknown' ? null : isTaken || width > 230 ? free : beside,
  };
}

/** From the row towards the radiator, to the side and back along the engine. */
function frontRun(x: number, from: number, side: number): Point[] {
  return [
    { x, y: from },
    { x, y: 84 },
    { x: side, y: 84 },
    { x: side, y: bottom },
  ];
}

function frontStations(spec: BaySpec, run: readonly Point[]): Stations {
  const up = run[0]!.y - run[1]!.y;
  const over = up + Math.abs(run[2]!.x - run[1]!.x);
  const end = lengthOf(run);
  // Close: the catalyst stands in the first straight piece, its rear sensor just round the corner.
  if (spec.catalyst === 'close') return { one: 18, first: 56, two: up + 26 };
  if (spec.catalyst === 'pre') return { one: 18, first: 56, two: up + 26, main: over + 150 };
  return { one: 22, first: over + 130, two: end - 60 };
}

/** Down the picture from the row to the cabin: about 200 long. */
function straightStations(spec: BaySpec): Stations {
  if (spec.catalyst === 'close') return { one: 20, first: 58, two: 98 };
  if (spec.catalyst === 'pre') return { one: 20, first: 58, two: 98, main: 156 };
  return { one: 22, first: 128, two: 178 };
}

/** The radiator bank above, the firewall bank below, as seen from above with the front of the car at the top. */
function twoRows(spec: BaySpec): BayGeometry {
  const count = spec.cylinders / 2;
  const width = Math.min(250, 52 * count);
  const x = spread(count, middle + width / 2 - 26, middle - width / 2 + 26);
  const [top, low] = [116, 220] as const;
  const firewallBank = spec.bankOne === 'radiator' ? 2 : 1;
  const isOnePipe = spec.pipes !== 'separate';
  const row = (bank: number, y: number) => {
    const numbers = numbersOf(spec, bank, count);
    return x.map((place, index) => ({ x: place, y, number: numbers[index] ?? null }));
  };
  const name = (y: number) => ({ x: middle - width / 2 - 36, y });
  const back: Point[] = [
    { x: middle, y: low },
    { x: middle, y: bottom },
  ];
  const side = 40;
  // Both pipes meet below the engine: behind sensor 1, or ahead of it where there is only one.
  const meeting = spec.pipes === 'crossover' ? low + 18 : low + 44;
  const front: Point[] = [
    { x: middle, y: top },
    { x: middle, y: 82 },
    { x: side, y: 82 },
    ...(isOnePipe
      ? [
          { x: side, y: meeting },
          { x: middle, y: meeting },
        ]
      : [{ x: side, y: bottom }]),
  ];
  // The joined pipe counts as bank 1, whichever row it starts from.
  const owner = isOnePipe ? 1 : firewallBank;
  const rear = placeAlong(back, rearStations(spec));
  const radiator = placeAlong(front, radiatorStations(spec, front));
  const joined = { catalysts: rear.catalysts, two: rear.sensors[1] };
  const rearOne = spec.pipes === 'crossover' && firewallBank === 2 ? null : rear.sensors[0];
  const rearBank: Bank = {
    bank: firewallBank,
    cylinders: row(firewallBank, 194),
    runs: [back],
    catalysts: owner === firewallBank ? rear.catalysts : [],
    sensors: [rearOne, owner === firewallBank ? rear.sensors[1] : null],
    name: name(194),
  };
  const frontBank: Bank = {
    bank: 3 - firewallBank,
    cylinders: row(3 - firewallBank, 142),
    runs: [front],
    catalysts: !isOnePipe ? radiator.catalysts : owner === firewallBank ? [] : joined.catalysts,
    sensors: !isOnePipe
      ? radiator.sensors
      : [
          spec.pipes === 'y-pipe' ? radiator.sensors[0] : firewallBank === 2 ? rear.sensors[0] : null,
          owner === firewallBank ? null : joined.two,
        ],
    name: name(142),
  };
  return {
    banks: [rearBank, frontBank].sort((a, b) => a.bank - b.bank),
    block: [middle - width / 2, top, width, low - top],
    pulleys: spec.numbering === 'none' ? null : { x: middle + width / 2 + 36, y: 168 },
  };
}

/** From the firewall row to the cabin: about 146 long. */
function rearStations(spec: BaySpec): Stations {
  if (spec.pipes === 'crossover') return { one: 38, first: 78, two: 120 };
  if (spec.pipes === 'y-pipe') return { one: 18, first: 86, two: 126 };
  if (spec.catalyst === 'close') return { one: 16, first: 48, two: 82 };
  if (spec.catalyst === 'pre') return { one: 14, first: 44, two: 76, main: 112 };
  return { one: 18, first: 80, two: 122 };
}

function radiatorStations(spec: BaySpec, run: readonly Point[]): Stations {
  const up = run[0]!.y - run[1]!.y;
  const over = up + Math.abs(run[2]!.x - run[1]!.x);
  if (spec.pipes !== 'separate') return { one: up + 22, first: null, two: null };
  if (spec.catalyst === 'close') return { one: up + 22, first: up + 66, two: up + 112 };
  if (spec.catalyst === 'pre') return { one: up + 22, first: up + 66, two: up + 112, main: over + 150 };
  return { one: up + 22, first: over + 130, two: over + 190 };
}
