// Finds the place for a marked sensor's name where it hides least of the picture. draw-bay.ts calls it.
import { type BayGeometry, bay, catalystHalf, type Point } from './bay-parts.ts';

export const labelWidth = 62;
export const labelHeight = 26;

type Box = readonly [left: number, top: number, right: number, bottom: number];
/** What should stay visible, and how much: a pipe is still a pipe with a piece covered. */
type Thing = readonly [box: Box, weight: number];
const pipeWeight = 0.25;

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

function hiddenBy(place: Point, things: readonly Thing[]): number {
  const label: Box = [place.x, place.y, place.x + labelWidth, place.y + labelHeight];
  const outside = label[0] < 6 || label[2] > bay.width - 6 || label[1] < bay.top - 4 || label[3] > bay.bottom + 8;
  return things.reduce((sum, [box, weight]) => sum + weight * shared(label, box), outside ? 1e6 : 0);
}

function shared(a: Box, b: Box): number {
  const width = Math.min(a[2], b[2]) - Math.max(a[0], b[0]);
  const height = Math.min(a[3], b[3]) - Math.max(a[1], b[1]);
  return width > 0 && height > 0 ? width * height : 0;
}

/** Everything that should stay visible. */
function thingsIn({ banks, block, pulleys }: BayGeometry): Thing[] {
  const around = (point: Point, halfWidth: number, halfHeight: number): Box => [
    point.x - halfWidth,
    point.y - halfHeight,
    point.x + halfWidth,
    point.y + halfHeight,
  ];
  const { long, wide } = catalystHalf;
  const boxes: Box[] = [
    [block[0], block[1], block[0] + block[2], block[1] + block[3]],
    ...(pulleys ? [around(pulleys, 30, 10)] : []),
    ...(banks.length > 1 ? banks.map((bank) => around(bank.name, 30, 10)) : []),
    ...banks.flatMap((bank) =>
      bank.catalysts.map((at) => (at.across ? around(at, long, wide) : around(at, wide, long))),
    ),
    ...banks.flatMap((bank) => bank.sensors.flatMap((sensor) => (sensor ? [around(sensor, 10, 10)] : []))),
  ];
  const pipes = banks.flatMap((bank) =>
    bank.runs.flatMap((run) =>
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
  );
  return [...boxes.map((box): Thing => [box, 1]), ...pipes.map((box): Thing => [box, pipeWeight])];
}
