// Finds the place for the marked sensor's name where it hides least of the picture. draw-bay.ts calls it.
import { bayHeight, bayWidth, layOut, type Point } from './bay-geometry.ts';
import type { BaySpec } from './bay-spec.ts';

export const labelWidth = 58;
export const labelHeight = 24;

type Box = readonly [left: number, top: number, right: number, bottom: number];

/** Upper left corner of the label: right of the sensor, left, above or below, whichever covers least. */
export function placeLabel(spec: BaySpec, sensor: Point): Point {
  const { x, y } = sensor;
  const places: readonly Point[] = [
    { x: x + 19, y: y - labelHeight / 2 },
    { x: x - 19 - labelWidth, y: y - labelHeight / 2 },
    { x: x - labelWidth / 2, y: y - 19 - labelHeight },
    { x: x - labelWidth / 2, y: y + 19 },
  ];
  const things = thingsIn(spec);
  return places
    .map((place) => ({ place, hidden: hiddenBy(place, things) }))
    .reduce((best, one) => (one.hidden < best.hidden ? one : best)).place;
}

function hiddenBy(place: Point, things: readonly Box[]): number {
  const label: Box = [place.x, place.y, place.x + labelWidth, place.y + labelHeight];
  const outside = place.x < 6 || place.x + labelWidth > bayWidth - 6 || place.y < 34 || label[3] > bayHeight - 38;
  return things.reduce((sum, thing) => sum + shared(label, thing), outside ? 1e6 : 0);
}

function shared(a: Box, b: Box): number {
  const width = Math.min(a[2], b[2]) - Math.max(a[0], b[0]);
  const height = Math.min(a[3], b[3]) - Math.max(a[1], b[1]);
  return width > 0 && height > 0 ? width * height : 0;
}

/** Everything that should stay visible, as boxes. */
function thingsIn(spec: BaySpec): Box[] {
  const { banks, block, pulleys } = layOut(spec);
  const around = (point: Point, halfWidth: number, halfHeight: number): Box => [
    point.x - halfWidth,
    point.y - halfHeight,
    point.x + halfWidth,
    point.y + halfHeight,
  ];
  return [
    [block[0], block[1], block[0] + block[2], block[1] + block[3]],
    ...(pulleys ? [around(pulleys, 34, 10)] : []),
    ...banks.flatMap((bank): Box[] => [
      ...(banks.length > 1 ? [around(bank.name, 28, 10)] : []),
      bank.catalystAcross ? around(bank.catalyst, 23, 12) : around(bank.catalyst, 12, 23),
      ...bank.sensors.map((sensor) => around(sensor, 8, 8)),
      ...bank.exhaust.slice(1).map((point, index): Box => {
        const from = bank.exhaust[index]!;
        return [
          Math.min(from.x, point.x) - 5,
          Math.min(from.y, point.y) - 5,
          Math.max(from.x, point.x) + 5,
          Math.max(from.y, point.y) + 5,
        ];
      }),
    ]),
  ];
}
