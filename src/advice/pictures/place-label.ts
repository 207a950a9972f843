// Finds the place for a marked sensor's name where it hides least of the picture. draw-bay.ts calls it.
import { type BayGeometry, bay, catalystHalf, type Point } from './bay-parts.ts';

export const labelWidth = 62;
export const labelHeight = 26;

type Box = readonly [left: number, top: number, right: number, bottom: number];

/** Upper left corner of the label: right of the sensor, left, above or below, or at a corner, whichever covers least. */
export function placeLabel(drawn: BayGeometry, sensor: Point): Point {
  const { x, y } = sensor;
  const [besideRight, besideLeft] = [x + 20, x - 20 - labelWidth];
  const places: readonly Point[] = [
    { x: besideRight, y: y - labelHeight / 2 },
    { x: besideLeft, y: y - labelHeight / 2 },
    { x: x - labelWidth / 2, y: y - 20 - labelHeight },
    { x: x - labelWidth / 2, y: y + 20 },
    { x: x + 12, y: y - 14 - labelHeight },
    { x: x + 12, y: y + 14 },
    { x: x - 12 - labelWidth, y: y - 14 - labelHeight },
    { x: x - 12 - labelWidth, y: y + 14 },
  ];
  const things = thingsIn(drawn);
  return places
    .map((place) => ({ place, hidden: hiddenBy(place, things) }))
    .reduce((best, one) => (one.hidden < best.hidden ? one : best)).place;
}

function hiddenBy(place: Point, things: readonly Box[]): number {
  const label: Box = [place.x, place.y, place.x + labelWidth, place.y + labelHeight];
  const outside = label[0] < 6 || label[2] > bay.width - 6 || label[1] < bay.top - 4 || label[3] > bay.bottom + 6;
  return things.reduce((sum, thing) => sum + shared(label, thing), outside ? 1e6 : 0);
}

function shared(a: Box, b: Box): number {
  const width = Math.min(a[2], b[2]) - Math.max(a[0], b[0]);
  const height = Math.min(a[3], b[3]) - Math.max(a[1], b[1]);
  return width > 0 && height > 0 ? width * height : 0;
}

/** Everything that should stay visible, as boxes. */
function thingsIn({ banks, block, pulleys }: BayGeometry): Box[] {
  const around = (point: Point, halfWidth: number, halfHeight: number): Box => [
    point.x - halfWidth,
    point.y - halfHeight,
    point.x + halfWidth,
    point.y + halfHeight,
  ];
  const { long, wide } = catalystHalf;
  return [
    [block[0], block[1], block[0] + block[2], block[1] + block[3]],
    ...(pulleys ? [around(pulleys, 30, 10)] : []),
    ...banks.flatMap((bank): Box[] => [
      ...(banks.length > 1 ? [around(bank.name, 30, 10)] : []),
      ...bank.catalysts.map((at) => (at.across ? around(at, long, wide) : around(at, wide, long))),
      ...bank.sensors.flatMap((sensor) => (sensor ? [around(sensor, 10, 10)] : [])),
      ...bank.runs.flatMap((run) =>
        run.slice(1).map((point, index): Box => {
          const from = run[index]!;
          return [
            Math.min(from.x, point.x) - 5,
            Math.min(from.y, point.y) - 5,
            Math.max(from.x, point.x) + 5,
            Math.max(from.y, point.y) + 5,
          ];
        }),
      ),
    ]),
  ];
}
