import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type BayGeometry, bayHeight, bayWidth, layOut } from '../../../src/advice/pictures/bay-geometry.ts';
import { type BaySpec, nameBay, readBay } from '../../../src/advice/pictures/bay-spec.ts';
import { drawPicture, picturePath, pictureWords } from '../../../src/advice/pictures/picture.ts';
import { labelHeight, labelWidth, placeLabel } from '../../../src/advice/pictures/place-label.ts';
import { advised, engine, knowledge, request } from '../build.ts';

const bay: BaySpec = {
  layout: 'v',
  cylinders: 6,
  mounting: 'transverse',
  bankOne: 'firewall',
  exhaust: 'unknown',
  one: 'unknown',
  numbering: 'odd',
  bank: 1,
  sensor: 2,
};
const middleOf = (points: ReadonlyArray<{ x: number; y: number }>, axis: 'x' | 'y') =>
  points.reduce((sum, point) => sum + point[axis], 0) / points.length;
const bankOf = (drawn: BayGeometry, bank: number) => drawn.banks.find((item) => item.bank === bank)!;

const anyBay = fc
  .record({
    layout: fc.constantFrom('inline', 'v', 'flat', 'rotary'),
    cylinders: fc.constantFrom(2, 4, 6, 8, 10, 12),
    mounting: fc.constantFrom('transverse', 'longitudinal'),
    bankOne: fc.constantFrom('only', 'firewall', 'radiator', 'right', 'left', 'front-cylinders'),
    exhaust: fc.constantFrom('firewall', 'radiator', 'right', 'left', 'unknown'),
    one: fc.constantFrom('right', 'left', 'unknown'),
    numbering: fc.constantFrom('odd', 'row', 'none'),
    bank: fc.constantFrom(1, 2),
    sensor: fc.constantFrom(1, 2, null),
  } as const)
  .filter((spec) => spec.bankOne !== 'only' || spec.bank === 1);

describe('the plan view', () => {
  // Up is the front of the car, so right in the picture is right from the driver's seat: the sides that the words say.
  it.each([
    ['transverse', 'firewall', 'y', 1],
    ['transverse', 'radiator', 'y', -1],
    ['longitudinal', 'right', 'x', 1],
    ['longitudinal', 'left', 'x', -1],
  ] as const)('%s with bank 1 %s draws bank 1 on that side', (mounting, bankOne, axis, sign) => {
    const drawn = layOut({ ...bay, mounting, bankOne });
    const apart = middleOf(bankOf(drawn, 1).cylinders, axis) - middleOf(bankOf(drawn, 2).cylinders, axis);
    expect(Math.sign(apart)).toBe(sign);
    const sensors = bankOf(drawn, 1).sensors[0][axis] - bankOf(drawn, 2).sensors[0][axis];
    expect(Math.sign(sensors)).toBe(sign);
  });

  it('puts sensor 1 ahead of the catalyst and sensor 2 behind it along the exhaust', () => {
    fc.assert(
      fc.property(anyBay, (spec) => {
        for (const { exhaust, catalyst, sensors } of layOut(spec).banks) {
          const way = exhaust.slice(1).reduce(
            (sum, point, index) => {
              const from = exhaust[index]!;
              const along = (place: { x: number; y: number }) => {
                const inside =
                  place.x >= Math.min(from.x, point.x) - 0.1 &&
                  place.x <= Math.max(from.x, point.x) + 0.1 &&
                  place.y >= Math.min(from.y, point.y) - 0.1 &&
                  place.y <= Math.max(from.y, point.y) + 0.1;
                return inside ? sum.length + Math.abs(place.x - from.x) + Math.abs(place.y - from.y) : null;
              };
              return {
                length: sum.length + Math.abs(point.x - from.x) + Math.abs(point.y - from.y),
                first: sum.first ?? along(sensors[0]),
                cat: sum.cat ?? along(catalyst),
                second: sum.second ?? along(sensors[1]),
              };
            },
            { length: 0, first: null, cat: null, second: null } as {
              length: number;
              first: number | null;
              cat: number | null;
              second: number | null;
            },
          );
          if (way.first === null || way.cat === null || way.second === null) return false;
          if (!(way.first < way.cat && way.cat < way.second)) return false;
        }
        return true;
      }),
    );
  });

  it('stays inside its frame, label included, for every engine', () => {
    fc.assert(
      fc.property(anyBay, (spec) => {
        const drawn = layOut(spec);
        const points = drawn.banks.flatMap((item) => [...item.cylinders, ...item.sensors, item.catalyst, item.name]);
        const label =
          spec.sensor === null ? null : placeLabel(spec, bankOf(drawn, spec.bank).sensors[spec.sensor - 1]!);
        return (
          points.every(
            (point) => point.x > 20 && point.x < bayWidth - 20 && point.y > 36 && point.y < bayHeight - 36,
          ) &&
          (!label ||
            (label.x >= 0 && label.x + labelWidth <= bayWidth && label.y >= 0 && label.y + labelHeight <= bayHeight))
        );
      }),
    );
  });

  it('numbers cylinders as the family does', () => {
    const numbers = (spec: BaySpec, bank: number) => bankOf(layOut(spec), bank).cylinders.map((item) => item.number);
    expect(numbers(bay, 1)).toEqual([1, 3, 5]);
    expect(numbers(bay, 2)).toEqual([2, 4, 6]);
    expect(numbers({ ...bay, numbering: 'row' }, 2)).toEqual([4, 5, 6]);
    expect(numbers({ ...bay, numbering: 'none' }, 1)).toEqual([null, null, null]);
  });

  it('is read back from its name', () => {
    fc.assert(
      fc.property(anyBay, (spec) => {
        expect(readBay(nameBay(spec))).toEqual({ ...spec });
      }),
    );
  });
});

describe('pictures by address', () => {
  const name = (id: string) => knowledge.faults.byId.get(id)?.name ?? id;
  const addresses = [
    picturePath({ kind: 'bay', bay }),
    picturePath({
      kind: 'trims',
      bars: [
        { condition: 'idle', bank: 1, percent: 25.1 },
        { condition: '2500rpm', bank: 2, percent: -7 },
      ],
    }),
    picturePath(
      {
        kind: 'ranking',
        bars: [
          { fault: 'vacuum-leak', probability: 0.46 },
          { fault: 'pcv-valve-stuck', probability: 0.2 },
        ],
      },
      name,
    ),
  ];

  it.each(addresses)('draws %s again from the address alone', (address) => {
    expect(address.length).toBeLessThanOrEqual(200);
    const drawn = drawPicture(address.slice('/pictures/'.length), name)!;
    expect(drawn).toMatch(/^<svg [^>]*viewBox="0 0 400 \d+"[^>]*role="img" aria-label="[^"]{20,}"/);
    expect(drawn).toContain('<title>');
    expect(drawn.match(/font-size="(\d+)"/g)!.every((size) => Number(/\d+/.exec(size)![0]) >= 11)).toBe(true);
    expect(drawPicture(address.slice('/pictures/'.length), name)).toBe(drawn);
  });

  it('refuses what it did not write', () => {
    const file = addresses[0]!.slice('/pictures/'.length);
    for (const wrong of [
      file.replace('firewall', 'radiator'),
      file.replace('.svg', '.gif'),
      '../bay.svg',
      '',
      `${file}x`,
      'ranking.<b>_5.00000000.svg',
    ])
      expect(drawPicture(wrong)).toBeNull();
    fc.assert(fc.property(fc.string({ maxLength: 300 }), (text) => drawPicture(text) === null));
  });

  it('escapes names that came from data', () => {
    const odd = () => '<script>"&';
    const spec = { kind: 'ranking', bars: [{ fault: 'vacuum-leak', probability: 0.5 }] } as const;
    const drawn = drawPicture(picturePath(spec, odd).slice('/pictures/'.length), odd)!;
    expect(drawn).not.toContain('<script>');
  });

  it('marks with a shape, not with colour alone, and shows no green, amber or red', () => {
    const drawn = drawPicture(addresses[0]!.slice('/pictures/'.length))!;
    expect(drawn.match(/Z" fill="/g)).toHaveLength(1);
    expect(drawn).toContain('>B1 S2<');
    for (const [, colour] of drawn.matchAll(/="(#[0-9a-f]{6})"/g)) {
      const [red, green, blue] = [1, 3, 5].map((at) => Number.parseInt(colour!.slice(at, at + 2), 16)) as [
        number,
        number,
        number,
      ];
      expect(red - blue < 40 && Math.abs(red - green) < 70).toBe(true);
    }
  });

  it.each([
    [{ vehicle: 'Toyota Camry', layout: 'v', year: 2004 }, 'bank-1-sensor-2', /cabin side, behind the catalyst/],
    [{ vehicle: 'Buick LeSabre', layout: 'v', year: 2000 }, 'bank-1-sensor-1', /radiator side, ahead of the catalyst/],
    [
      { vehicle: 'Chevrolet Silverado', displacement: 5.3, year: 2005, cylinders: 8 },
      'bank-1',
      /bank 1 marked on the left/,
    ],
    [{ vehicle: 'BMW 330i', year: 2002 }, 'bank-2-sensor-1', /second half of the cylinders/],
    [{ layout: 'v', cylinders: 6, mounting: 'transverse' }, 'bank-2-sensor-1', /radiator side/],
  ] as const)('says the same side in words and picture for %j', (car, item, words) => {
    const where = advised([engine(car), request('location', item)]).where[0]!;
    expect(pictureWords(where.picture!.slice('/pictures/'.length))).toMatch(words);
    const side = /(cabin|radiator) side|on the (left|right)/.exec(
      pictureWords(where.picture!.slice('/pictures/'.length))!,
    )?.[0];
    const asWords: Record<string, RegExp> = {
      'cabin side': /firewall/,
      'radiator side': /behind the radiator/,
      'on the left': /left one/,
      'on the right': /right one/,
    };
    if (side) expect(where.text).toMatch(asWords[side]!);
  });

  it('draws nothing where the side is not known', () => {
    expect(
      advised([engine({ vehicle: 'Nissan Titan', year: 2006 }), request('location', 'bank-1')]).where[0]!.picture,
    ).toBeNull();
    expect(advised([request('location', 'bank-1-sensor-2')]).where[0]!.picture).toBeNull();
  });
});
