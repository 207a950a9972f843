// The US register: rows of the agency's own list found again under the names that people type, slips tolerated, in under a millisecond.
import fc from 'fast-check';
import { all, create } from 'mathjs';
import { describe, expect, it } from 'vitest';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { registerLine } from '../../src/knowledge/schema/register.ts';
import { findCar } from '../../src/register/find-car.ts';

const knowledge = loadKnowledgeFolder();
const math = create(all!);
const sizes = (vehicle: string, year: number) =>
  findCar(vehicle, year, knowledge)?.engines.map((engine) => `${engine.displacement.toFixed(1)}/${engine.cylinders}`) ??
  null;

/** Combined consumption from city and highway figures [mpg US]: 55 and 45 %, the agency's weights; unit by a general library. */
const combined = (city: number, highway: number) =>
  100 / math.unit(1 / (0.55 / city + 0.45 / highway), 'mi/gal').toNumber('km/liter');

describe('findCar', () => {
  // City and highway miles a gallon, as the agency's list has them (us-epa-fuel-economy, row numbers beside them).
  it.each<{ vehicle: string; year: number; litres: number; cylinders: number; mpg: [number, number][]; from: string }>([
    {
      vehicle: 'Toyota Camry',
      year: 2004,
      litres: 2.4,
      cylinders: 4,
      mpg: [
        [21, 30],
        [20, 29],
      ],
      from: '19810, 19809',
    },
    { vehicle: 'Toyota Camry', year: 2004, litres: 3.3, cylinders: 6, mpg: [[18, 27]], from: '19812' },
    {
      vehicle: 'Toyota Corolla',
      year: 2004,
      litres: 1.8,
      cylinders: 4,
      mpg: [
        [28, 36],
        [25, 34],
      ],
      from: '19676, 19675',
    },
    { vehicle: 'Acura 3.0CL', year: 1997, litres: 3, cylinders: 6, mpg: [[18, 26]], from: '13311' },
  ])(
    'gives the $vehicle of $year with $litres litres its certified consumption',
    ({ vehicle, year, litres, cylinders, mpg }) => {
      const engine = findCar(vehicle, year, knowledge)!.engines.find(
        (item) => item.displacement === litres && item.cylinders === cylinders,
      )!;
      const each = mpg.map(([city, highway]) => combined(city, highway));
      // Within the rounding to a tenth.
      expect(Math.abs(engine.consumption[0] - Math.min(...each))).toBeLessThanOrEqual(0.051);
      expect(Math.abs(engine.consumption[1] - Math.max(...each))).toBeLessThanOrEqual(0.051);
    },
  );

  it.each([
    ['Toyota Camry', 2004, ['2.4/4', '3.0/6', '3.3/6']],
    ['Ford F-150', 2006, ['4.2/6', '4.6/8', '5.4/8']],
    ['Ford F150 XLT', 2006, ['4.2/6', '4.6/8', '5.4/8']],
    ['Chevrolet Silverado', 2003, ['4.3/6', '4.8/8', '5.3/8', '6.0/8']],
    ['GMC Sierra 1500', 2012, ['4.3/6', '4.8/8', '5.3/8', '6.2/8']],
    ['Honda CR-V', 2005, ['2.4/4']],
    ['Mazda3', 2006, ['2.0/4', '2.3/4']],
    ['Honda Accord EX', 2004, ['2.4/4', '3.0/6']],
    ['Volkswagen Jetta', 2003, ['1.8/4', '1.9/4', '2.0/4', '2.8/6']],
    ['Mercedes E320', 1998, ['3.2/6']],
  ])('knows what a %s of %d came with', (vehicle, year, engines) => {
    expect(sizes(vehicle, year)).toEqual(engines);
  });

  it('leaves a hybrid or another model of a longer name out', () => {
    expect(sizes('Toyota Camry', 2008)).toEqual(['2.4/4', '3.5/6']);
    expect(findCar('Toyota Camry', 2008, knowledge)!.engines[0]!.consumption[0]).toBeGreaterThan(9);
    expect(findCar('Toyota Camry Hybrid', 2008, knowledge)!.engines[0]!.consumption[0]).toBeLessThan(8);
  });

  it.each([
    ['Toyota Camery', 2004, 'Toyota Camry'],
    ['Toyota Corrola', 2004, 'Toyota Corolla'],
    ['Ford Exploder', 1999, 'Ford Explorer'],
    ['Honda Acord', 2004, 'Honda Accord'],
    ['Nissan Pathfnider', 1998, 'Nissan Pathfinder'],
    ['Chevrolet Trailblzer', 2004, 'Chevrolet Trailblazer'],
  ])('takes %s for a slip of the pen', (vehicle, year, name) => {
    expect(findCar(vehicle, year, knowledge)).toMatchObject({ name, isRespelled: true });
  });

  it.each([
    ['another year', 'Toyota Camry', 1975],
    ['a model that the maker does not have', 'Toyota Mondeo', 2004],
    ['short names that are one letter apart', 'BMW X4', 2004],
    ['figures that are one apart', 'BMW 327i', 2003],
    ['a maker alone', 'Toyota', 2004],
    ['no maker', 'Camry', 2004],
    ['a car that was not sold there', 'Renault Megane', 2004],
    ['nothing', '', 2004],
  ])('finds nothing for %s', (_, vehicle, year) => {
    expect(findCar(vehicle, year, knowledge)).toBeNull();
  });

  it('copes with any name and year', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 200 }), fc.integer({ min: 0, max: 3000 }), (name, year) => {
        for (const vehicle of [name, `Ford ${name}`, `Chevrolet ${name.slice(0, 60)}`])
          findCar(vehicle, year, knowledge);
        return true;
      }),
      { numRuns: 100 },
    );
  });

  it('takes well under a millisecond, misspelled names included, in the yardstick of the same machine', () => {
    const names = ['Ford Exploder', 'Chevrolet Silverado', 'Toyota Camery', 'GMC Sierra 1500', 'Honda Accord EX'];
    const time = (call: () => void) => {
      const times = Array.from({ length: 60 }, () => {
        const start = performance.now();
        call();
        return performance.now() - start;
      });
      return times.sort((a, b) => a - b)[30]!;
    };
    for (const vehicle of names) findCar(vehicle, 2004, knowledge);
    const yardstick = time(() => JSON.parse(JSON.stringify(knowledge.places)));
    const each = time(() => {
      for (const vehicle of names) findCar(vehicle, 2004, knowledge);
    });
    // Measured: five look-ups take some 19 times the copying of the places through JSON, 0.06 to 0.18 ms each.
    expect(each / yardstick).toBeLessThan(60);
  });
});

describe('the register', () => {
  it('covers nearly all of the agency’s cars, sorted, in little room', () => {
    const lines = knowledge.register.flatMap((entry) => entry.cars.split('\n'));
    expect(lines.length).toBeGreaterThan(3000);
    expect(lines.every((line) => registerLine.test(line))).toBe(true);
    expect(knowledge.register.reduce((sum, entry) => sum + entry.cars.length, 0)).toBeLessThan(300_000);
    const models = knowledge.register.map((entry) => entry.cars.split('\n').map((line) => line.split(' | ')[0]!));
    for (const names of models) expect(names).toEqual([...names].sort((a, b) => (a < b ? -1 : 1)));
  });

  // Source: us-epa-fuel-economy says it of itself: 1984 to 2015, and no petrol car takes under 4 or over 40 L/100 km.
  it('has sane figures', () => {
    for (const { cars } of knowledge.register)
      for (const [, first, last, low, high] of cars.matchAll(/ (\d\d)(?:-(\d\d))?=(\d+)(?:-(\d+))?/g)) {
        const year = (short: string) => (Number(short) >= 50 ? 1900 : 2000) + Number(short);
        expect(year(first!) >= 1984 && year(last ?? first!) <= 2015 && year(last ?? first!) >= year(first!)).toBe(true);
        expect(Number(low) >= 25 && Number(high ?? low) <= 400 && Number(high ?? low) >= Number(low)).toBe(true);
      }
  });
});
