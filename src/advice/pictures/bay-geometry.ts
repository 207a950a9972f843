// Where everything lies in the plan view, as numbers: cylinders, exhaust runs, catalysts and sensors of each bank. Seen from above,
// the front of the car at the top, so that right in the picture is right as seen from the driver's seat. draw-bay.ts draws it and
// tests measure it.
import type { BaySpec } from './bay-spec.ts';

export interface Point {
  readonly x: number;
  readonly y: number;
}

export interface Bank {
  readonly bank: number;
  readonly cylinders: ReadonlyArray<Point & { readonly number: number | null }>;
  /** The exhaust from the manifold to where it leaves the picture. */
  readonly exhaust: readonly Point[];
  readonly catalyst: Point;
  /** Whether the catalyst lies along the picture's width. */
  readonly catalystAcross: boolean;
  /** Sensor 1 ahead of the catalyst, sensor 2 behind it. */
  readonly sensors: readonly [Point, Point];
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

/** Size of the picture. */
export const bayWidth = 400;
export const bayHeight = 340;
const middle = { x: 200, y: 150 };

export function layOut(spec: BaySpec): BayGeometry {
  const two = spec.bankOne !== 'only' && spec.bankOne !== 'front-cylinders';
  if (spec.layout === 'flat' && spec.bankOne === 'only') return flatJoined(spec);
  if (spec.mounting === 'transverse') return two ? acrossTwoRows(spec) : acrossOneRow(spec);
  return two ? lengthwiseTwoRows(spec) : lengthwiseOneRow(spec);
}

/** Numbers of a bank, from cylinder 1's end; null where the numbering is not known. */
function numbersOf(spec: BaySpec, bank: number, count: number): Array<number | null> {
  return Array.from({ length: count }, (_, index) => {
    if (spec.bankOne === 'only') return spec.one === 'unknown' && spec.mounting === 'transverse' ? null : index + 1;
    if (spec.bankOne === 'front-cylinders' || spec.numbering === 'row') return index + 1 + (bank - 1) * count;
    return spec.numbering === 'odd' ? 2 * index + bank : null;
  });
}

function spread(count: number, from: number, to: number): number[] {
  if (count === 1) return [(from + to) / 2];
  return Array.from({ length: count }, (_, index) => from + ((to - from) * index) / (count - 1));
}

/** One row across the car; its exhaust leaves to the cabin or to the radiator side and then runs back under the car. */
function acrossOneRow(spec: BaySpec): BayGeometry {
  const width = Math.min(220, 44 * spec.cylinders);
  const rightFirst = spec.one !== 'left';
  const groups = spec.bankOne === 'front-cylinders' ? 2 : 1;
  const ends = [middle.x + width / 2 - 22, middle.x - width / 2 + 22] as const;
  const places = spread(spec.cylinders, rightFirst ? ends[0] : ends[1], rightFirst ? ends[1] : ends[0]);
  const front = spec.exhaust === 'radiator';
  const y = 140;
  const banks = Array.from({ length: groups }, (_, index): Bank => {
    const count = spec.cylinders / groups;
    const own = places.slice(index * count, (index + 1) * count);
    const numbers = numbersOf(spec, index + 1, count);
    const centre = own.reduce((sum, x) => sum + x, 0) / own.length;
    const cylinders = own.map((x, place) => ({ x, y, number: numbers[place] ?? null }));
    if (front) {
      const side = groups === 2 && (index === 0) === rightFirst ? 338 : 62;
      return {
        bank: index + 1,
        cylinders,
        exhaust: [
          { x: centre, y: y - 26 },
          { x: centre, y: 84 },
          { x: side, y: 84 },
          { x: side, y: 300 },
        ],
        catalyst: { x: (centre + side) / 2, y: 84 },
        catalystAcross: true,
        sensors: [
          { x: centre, y: 84 },
          { x: side, y: 236 },
        ],
        name: { x: centre, y: y + 44 },
      };
    }
    return {
      bank: index + 1,
      cylinders,
      exhaust: [
        { x: centre, y: y + 26 },
        { x: centre, y: 300 },
      ],
      catalyst: { x: centre, y: 226 },
      catalystAcross: false,
      sensors: [
        { x: centre, y: 190 },
        { x: centre, y: 268 },
      ],
      name: { x: centre, y: y - 38 },
    };
  });
  const pulleyEnd = rightFirst ? middle.x + width / 2 - 20 : middle.x - width / 2 + 20;
  return {
    banks,
    block: [middle.x - width / 2, y - 26, width, 52],
    pulleys: spec.one === 'unknown' ? null : { x: pulleyEnd, y: front && groups === 2 ? y + 64 : y + 42 },
  };
}

/** Two rows across the car: the radiator bank above, the firewall bank below. */
function acrossTwoRows(spec: BaySpec): BayGeometry {
  const count = spec.cylinders / 2;
  const width = Math.min(220, 48 * count);
  const x = spread(count, middle.x + width / 2 - 24, middle.x - width / 2 + 24);
  const firewallBank = spec.bankOne === 'firewall' || spec.bankOne === 'right' ? 1 : 2;
  const row = (bank: number, y: number) => {
    const numbers = numbersOf(spec, bank, count);
    return x.map((place, index) => ({ x: place, y, number: numbers[index] ?? null }));
  };
  const rear: Bank = {
    bank: firewallBank,
    cylinders: row(firewallBank, 168),
    exhaust: [
      { x: middle.x, y: 194 },
      { x: middle.x, y: 300 },
    ],
    catalyst: { x: middle.x, y: 244 },
    catalystAcross: false,
    sensors: [
      { x: middle.x, y: 210 },
      { x: middle.x, y: 276 },
    ],
    name: { x: middle.x - width / 2 - 32, y: 168 },
  };
  const side = 50;
  const front: Bank = {
    bank: 3 - firewallBank,
    cylinders: row(3 - firewallBank, 116),
    exhaust: [
      { x: middle.x, y: 90 },
      { x: middle.x, y: 70 },
      { x: side, y: 70 },
      { x: side, y: 300 },
    ],
    catalyst: { x: 112, y: 70 },
    catalystAcross: true,
    sensors: [
      { x: middle.x - 16, y: 70 },
      { x: side, y: 236 },
    ],
    name: { x: middle.x - width / 2 - 32, y: 116 },
  };
  return {
    banks: [rear, front].sort((a, b) => a.bank - b.bank),
    block: [middle.x - width / 2, 90, width, 104],
    pulleys: { x: middle.x + width / 2 + 34, y: 142 },
  };
}

/** One row lengthwise; the exhaust on the side that is known, else on the right. */
function lengthwiseOneRow(spec: BaySpec): BayGeometry {
  const height = Math.min(204, 42 * spec.cylinders);
  const top = 62;
  const places = spread(spec.cylinders, top + 22, top + height - 22);
  const groups = spec.bankOne === 'front-cylinders' ? 2 : 1;
  const away = spec.exhaust === 'left' ? -1 : 1;
  const banks = Array.from({ length: groups }, (_, index): Bank => {
    const count = spec.cylinders / groups;
    const own = places.slice(index * count, (index + 1) * count);
    const numbers = numbersOf(spec, index + 1, count);
    const centre = own.reduce((sum, y) => sum + y, 0) / own.length;
    // The front half's pipe runs outside that of the rear half.
    const x = middle.x + away * (groups === 2 && index === 0 ? 130 : 76);
    return {
      bank: index + 1,
      cylinders: own.map((y, place) => ({ x: middle.x, y, number: numbers[place] ?? null })),
      exhaust: [
        { x: middle.x + away * 26, y: centre },
        { x, y: centre },
        { x, y: 300 },
      ],
      catalyst: { x, y: 250 },
      catalystAcross: false,
      sensors: [
        { x: middle.x + away * 50, y: centre },
        { x, y: 286 },
      ],
      name: { x: middle.x - away * 66, y: centre },
    };
  });
  return { banks, block: [middle.x - 26, top, 52, height], pulleys: { x: middle.x, y: top - 12 } };
}

/** A flat engine whose sides join into one pipe under it, ahead of the first sensor. */
function flatJoined(spec: BaySpec): BayGeometry {
  const count = Math.max(1, Math.floor(spec.cylinders / 2));
  const height = Math.min(110, 44 * count);
  const top = 62;
  const places = spread(count, top + 22, top + height - 22);
  const joined = top + height + 26;
  const left = middle.x - 50;
  const right = middle.x + 50;
  return {
    banks: [
      {
        bank: 1,
        cylinders: [left, right].flatMap((x) => places.map((y) => ({ x, y, number: null }))),
        exhaust: [
          { x: left, y: top + height },
          { x: left, y: joined },
          { x: right, y: joined },
          { x: right, y: top + height },
          { x: right, y: joined },
          { x: middle.x, y: joined },
          { x: middle.x, y: 300 },
        ],
        catalyst: { x: middle.x, y: 238 },
        catalystAcross: false,
        sensors: [
          { x: middle.x, y: joined + 16 },
          { x: middle.x, y: 278 },
        ],
        name: { x: middle.x, y: top - 12 },
      },
    ],
    block: [left - 26, top, 152, height],
    pulleys: { x: middle.x, y: top - 12 },
  };
}

/** Two rows lengthwise, each with its exhaust outside; a flat engine's rows lie farther apart. */
function lengthwiseTwoRows(spec: BaySpec): BayGeometry {
  const count = spec.cylinders / 2;
  const height = Math.min(170, 44 * count);
  const top = 62;
  const apart = spec.layout === 'flat' ? 48 : 30;
  const y = spread(count, top + 24, top + height - 24);
  const rightBank = spec.bankOne === 'right' || spec.bankOne === 'firewall' ? 1 : 2;
  const side = (bank: number): Bank => {
    const away = bank === rightBank ? 1 : -1;
    const x = middle.x + away * (apart + 76);
    const numbers = numbersOf(spec, bank, count);
    return {
      bank,
      cylinders: y.map((place, index) => ({ x: middle.x + away * apart, y: place, number: numbers[index] ?? null })),
      exhaust: [
        { x: middle.x + away * (apart + 26), y: top + height / 2 },
        { x, y: top + height / 2 },
        { x, y: 300 },
      ],
      catalyst: { x, y: 232 },
      catalystAcross: false,
      sensors: [
        { x, y: 186 },
        { x, y: 276 },
      ],
      name: { x: middle.x + away * (apart + 4), y: top + height + 16 },
    };
  };
  return {
    banks: [side(1), side(2)],
    block: [middle.x - apart - 26, top, 2 * (apart + 26), height],
    pulleys: { x: middle.x, y: top - 12 },
  };
}
