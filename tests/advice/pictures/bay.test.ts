// Golden geometry of the plan view: for every layout, mounting, bank, pipe and catalyst that can be drawn, the marked sensor lies on
// the side that the words say, ahead of or behind the catalyst as its number says, and nothing leaves the frame.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { layOut } from '../../../src/advice/pictures/bay-geometry.ts';
import { type BayGeometry, bay, type Point } from '../../../src/advice/pictures/bay-parts.ts';
import { type BaySpec, canBeDrawn, nameBay, readBay } from '../../../src/advice/pictures/bay-spec.ts';
import { describeBay, drawBay } from '../../../src/advice/pictures/draw-bay.ts';
import { labelHeight, labelWidth, placeLabel } from '../../../src/advice/pictures/place-label.ts';

const v6: BaySpec = {
  layout: 'v',
  cylinders: 6,
  mounting: 'transverse',
  bankOne: 'firewall',
  exhaust: 'unknown',
  one: 'unknown',
  numbering: 'odd',
  catalyst: 'under-floor',
  pipes: 'separate',
  engineAt: 'front',
  sure: 'memory',
  bank: 1,
  sensor: 2,
};

/** The exhaust's side and cylinder 1's end change only the drawing of one row, and the latter only across the car. */
function matters({ bankOne, mounting, exhaust, one }: BaySpec): boolean {
  const isOneRow = bankOne === 'only' || bankOne === 'front-cylinders';
  return (isOneRow || exhaust === 'unknown') && ((isOneRow && mounting === 'transverse') || one === 'unknown');
}

/** All bays that can be drawn, every one of them: the space is small enough to walk. */
function everyBay(): BaySpec[] {
  const all: BaySpec[] = [];
  for (const layout of ['inline', 'v', 'narrow', 'flat', 'w', 'rotary'] as const)
    for (const mounting of ['transverse', 'longitudinal'] as const)
      for (const bankOne of ['only', 'firewall', 'radiator', 'right', 'left', 'front-cylinders', 'unknown'] as const)
        for (const exhaust of ['firewall', 'radiator', 'right', 'left', 'unknown'] as const)
          for (const one of ['right', 'left', 'unknown'] as const)
            for (const catalyst of ['under-floor', 'close', 'pre'] as const)
              for (const pipes of ['separate', 'y-pipe', 'crossover'] as const)
                for (const engineAt of ['front', 'rear'] as const)
                  for (const cylinders of [2, 3, 4, 5, 6, 8, 10, 12])
                    for (const bank of [1, 2])
                      for (const sensor of [1, 2, null]) {
                        const spec = {
                          ...v6,
                          layout,
                          mounting,
                          bankOne,
                          exhaust,
                          one,
                          catalyst,
                          pipes,
                          engineAt,
                          cylinders,
                          bank,
                          sensor,
                        };
                        if (canBeDrawn(spec) && matters(spec)) all.push(spec);
                      }
  return all;
}

const bays = everyBay();

/** One assertion for all bays: the names of those that fail, a few of them. */
function failing(specs: readonly BaySpec[], holds: (spec: BaySpec) => boolean): string[] {
  return specs
    .filter((spec) => !holds(spec))
    .map(nameBay)
    .slice(0, 5);
}

const bankOf = (drawn: BayGeometry, bank: number) => drawn.banks.find((item) => item.bank === bank)!;
const mean = (points: readonly Point[], axis: 'x' | 'y') =>
  points.reduce((sum, point) => sum + point[axis], 0) / points.length;

/** Distance along a run at which a point lies; null when it is not on it. */
function distanceOn(run: readonly Point[], place: Point): number | null {
  let sum = 0;
  for (let index = 1; index < run.length; index += 1) {
    const [from, to] = [run[index - 1]!, run[index]!];
    const within = (axis: 'x' | 'y') =>
      place[axis] >= Math.min(from[axis], to[axis]) - 0.1 && place[axis] <= Math.max(from[axis], to[axis]) + 0.1;
    if (within('x') && within('y')) return sum + Math.abs(place.x - from.x) + Math.abs(place.y - from.y);
    sum += Math.abs(to.x - from.x) + Math.abs(to.y - from.y);
  }
  return null;
}

describe('the plan view', () => {
  it('is checked over a large number of engines', () => {
    expect(bays.length).toBeGreaterThan(2000);
    expect(new Set(bays.map((spec) => spec.layout)).size).toBe(6);
  });

  // Up is the front of the car, so right in the picture is right from the driver's seat: the sides that the words say.
  it('marks the sensor on the side that its words say', () => {
    const sides: ReadonlyArray<[RegExp, 'x' | 'y', 1 | -1]> = [
      [/marked on the cabin side/, 'y', 1],
      [/marked on the radiator side/, 'y', -1],
      [/marked on the right/, 'x', 1],
      [/marked on the left/, 'x', -1],
    ];
    const sided = bays.filter((spec) => sides.some(([pattern]) => pattern.test(describeBay(spec))));
    const isThere = (spec: BaySpec) => {
      const [, axis, sign] = sides.find(([pattern]) => pattern.test(describeBay(spec)))!;
      const drawn = layOut(spec);
      const [own, other] = [bankOf(drawn, spec.bank), bankOf(drawn, 3 - spec.bank)];
      if (Math.sign(mean(own.cylinders, axis) - mean(other.cylinders, axis)) !== sign) return false;
      if (spec.sensor === null) return true;
      const marked = own.sensors[spec.sensor - 1];
      if (!marked) return false;
      // Sensor 2 of the radiator bank sits under the floor on many: only its own pipe tells its bank.
      if (axis === 'y' && spec.sensor === 2) return true;
      const [x, y, width, height] = drawn.block;
      return Math.sign(marked[axis] - (axis === 'x' ? x + width / 2 : y + height / 2)) === sign;
    };
    expect(sided.length).toBeGreaterThan(500);
    expect(failing(sided, isThere)).toEqual([]);
  });

  it('puts the exhaust of a single row on the side that is known', () => {
    for (const spec of bays.filter((item) => item.bankOne === 'only' && item.layout !== 'flat')) {
      const drawn = layOut(spec);
      const [x, y, width, height] = drawn.block;
      const front = drawn.banks[0]!.sensors[0]!;
      if (spec.mounting === 'transverse' && spec.exhaust === 'radiator') expect(front.y).toBeLessThan(y);
      if (spec.mounting === 'transverse' && spec.exhaust === 'firewall') expect(front.y).toBeGreaterThan(y + height);
      if (spec.mounting === 'longitudinal' && spec.exhaust === 'left') expect(front.x).toBeLessThan(x);
      if (spec.mounting === 'longitudinal' && spec.exhaust === 'right') expect(front.x).toBeGreaterThan(x + width);
    }
  });

  it('puts cylinder 1 at the end that is known', () => {
    for (const spec of bays.filter((item) => item.mounting === 'transverse' && item.one !== 'unknown')) {
      const drawn = layOut(spec);
      const one = drawn.banks.flatMap((item) => item.cylinders).find((cylinder) => cylinder.number === 1);
      if (!one || (spec.bankOne !== 'only' && spec.bankOne !== 'front-cylinders')) continue;
      const [x, , width] = drawn.block;
      expect(Math.sign(one.x - (x + width / 2)), nameBay(spec)).toBe(spec.one === 'right' ? 1 : -1);
    }
  });

  it('puts sensor 1 ahead of the first catalyst and sensor 2 behind it, clear of each other, along the exhaust', () => {
    const inOrder = (spec: BaySpec) => {
      const drawn = layOut(spec);
      const runs = drawn.banks.flatMap((item) => item.runs);
      return drawn.banks.every(({ catalysts, sensors: [one, two] }) => {
        const [first, ...others] = catalysts.filter((item) => item.isFirst);
        if (!first) return true;
        const run = runs.find((item) => distanceOn(item, first) !== null && two && distanceOn(item, two) !== null);
        if (others.length > 0 || !run || !one) return false;
        const at = distanceOn(run, first)!;
        const behind = distanceOn(run, two!)!;
        // Where pipes join, sensor 1 of the other row sits on a run that ends ahead of the catalyst.
        const branch = runs.find((item) => distanceOn(item, one) !== null && distanceOn(run, item.at(-1)!) !== null);
        const ahead = distanceOn(run, one) ?? (branch ? distanceOn(run, branch.at(-1)!)! : Number.NaN);
        return (
          behind - at >= 27 &&
          at - ahead >= 27 &&
          catalysts.every((item) => item.isFirst || distanceOn(run, item)! - behind >= 27)
        );
      });
    };
    expect(failing(bays, inOrder)).toEqual([]);
  });

  it('gives a joined exhaust one rear sensor, and one front sensor when it joins ahead of it, both of bank 1', () => {
    for (const spec of bays.filter((item) => item.pipes !== 'separate')) {
      const drawn = layOut(spec);
      const [one, two] = [bankOf(drawn, 1).sensors, bankOf(drawn, 2).sensors];
      expect([one[1] !== null, two[1] !== null], nameBay(spec)).toEqual([true, false]);
      expect([one[0] !== null, two[0] !== null], nameBay(spec)).toEqual([true, spec.pipes === 'y-pipe']);
    }
  });

  it('lets no bend of a pipe run through a catalyst, nor a sensor lie on the block, a catalyst or another sensor', () => {
    const apart = (a: Point, b: Point) => Math.hypot(a.x - b.x, a.y - b.y);
    const isClear = (spec: BaySpec) => {
      const drawn = layOut(spec);
      const [x, y, width, height] = drawn.block;
      const catalysts = drawn.banks.flatMap((item) => item.catalysts);
      const sensors = drawn.banks.flatMap((item) => item.sensors).filter((item) => item !== null);
      const bends = drawn.banks.flatMap((item) => item.runs.flatMap((run) => run.slice(1, -1)));
      return (
        catalysts.every((catalyst) => bends.every((bend) => apart(bend, catalyst) > 19)) &&
        sensors.every(
          (sensor) =>
            !(sensor.x > x - 8 && sensor.x < x + width + 8 && sensor.y > y - 8 && sensor.y < y + height + 8) &&
            [...sensors, ...catalysts].every((other) => other === sensor || apart(other, sensor) > 18),
        ) &&
        drawn.banks.every((item) =>
          item.cylinders.every((one, index) =>
            item.cylinders.slice(index + 1).every((other) => apart(one, other) >= 29),
          ),
        )
      );
    };
    expect(failing(bays, isClear)).toEqual([]);
  });

  it('stays inside its frame, label included, and lets no label hide another sensor or a cylinder', () => {
    const isInside = (spec: BaySpec) => {
      const drawn = layOut(spec);
      const sensors = drawn.banks.flatMap((item) => item.sensors).filter((item) => item !== null);
      const cylinders = drawn.banks.flatMap((item) => item.cylinders);
      const names = drawn.banks.length > 1 ? drawn.banks.map((item) => item.name) : [];
      const within = [...cylinders, ...sensors, ...drawn.banks.flatMap((item) => item.catalysts), ...names].every(
        (point) => point.x > 20 && point.x < bay.width - 20 && point.y > bay.top && point.y < bay.bottom,
      );
      if (spec.sensor === null) return within;
      const marked = bankOf(drawn, spec.bank).sensors[spec.sensor - 1];
      if (!marked) return false;
      const label = placeLabel(drawn, marked);
      const covers = (point: Point) =>
        point.x > label.x - 6 &&
        point.x < label.x + labelWidth + 6 &&
        point.y > label.y - 6 &&
        point.y < label.y + labelHeight + 6;
      return (
        within &&
        label.x >= 0 &&
        label.x + labelWidth <= bay.width &&
        label.y >= 40 &&
        label.y + labelHeight <= bay.bottom + 8 &&
        ![...cylinders, ...sensors.filter((sensor) => sensor !== marked)].some(covers)
      );
    };
    expect(failing(bays, isInside)).toEqual([]);
  });

  it('numbers cylinders as the family does', () => {
    const numbers = (spec: BaySpec, bank: number) => bankOf(layOut(spec), bank).cylinders.map((item) => item.number);
    expect(numbers(v6, 1)).toEqual([1, 3, 5]);
    expect(numbers(v6, 2)).toEqual([2, 4, 6]);
    expect(numbers({ ...v6, numbering: 'row' }, 2)).toEqual([4, 5, 6]);
    expect(numbers({ ...v6, numbering: 'none' }, 1)).toEqual([null, null, null]);
    // Source: locations reference, from memory. Flat four: 1 front right, 3 rear right, 2 front left, 4 rear left.
    const flat = layOut({ ...v6, layout: 'flat', cylinders: 4, bankOne: 'only', mounting: 'longitudinal' }).banks[0]!;
    const at = (number: number) => flat.cylinders.find((item) => item.number === number)!;
    expect(at(1).x).toBeGreaterThan(at(2).x);
    expect(at(1).y).toBeLessThan(at(3).y);
    expect(at(2).y).toBeLessThan(at(4).y);
  });

  it('is read back from its name, which is shorter than an address may be', () => {
    for (const spec of bays) {
      expect(readBay(nameBay(spec))).toEqual(spec);
      expect(nameBay(spec).length).toBeLessThan(160);
    }
  });

  it('refuses names of bays that cannot be', () => {
    const name = nameBay(v6);
    for (const wrong of [
      name.replace('v6', 'v7'),
      name.replace('v6', 'v99'),
      name.replace('firewall', 'left'),
      name.replace('firewall', 'only'),
      name.replace('.t.', '.l.'),
      name.replace('b1s2', 'b3s2'),
      name.replace('separate', 'y-pipe').replace('b1', 'b2'),
      `${name}x`,
    ])
      expect(readBay(wrong), wrong).toBeNull();
    fc.assert(fc.property(fc.string({ maxLength: 200 }), (text) => readBay(text) === null));
  });

  it('states the viewpoint, how sure it is, and the front of the car in every drawing', () => {
    for (const spec of bays.filter((_, index) => index % 97 === 0)) {
      const drawn = drawBay(spec);
      expect(drawn).toContain('left and right as from the driver’s seat');
      expect(drawn).toMatch(/FRONT OF THE CAR|towards the front/);
      expect(drawn).toMatch(/sketch|looked up/);
      const marks = drawn.match(/Z" fill="#14506b"/g)?.length ?? 0;
      expect(marks).toBe(
        spec.sensor === null ? 0 : spec.bankOne === 'unknown' && spec.pipes === 'separate' ? 2 : marks,
      );
      if (spec.sensor !== null) expect(marks).toBeGreaterThan(0);
      for (const [, size] of drawn.matchAll(/font-size="([\d.]+)"/g)) expect(Number(size)).toBeGreaterThanOrEqual(12);
    }
  });
});
