import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { advised, code, diagnosis, engine, knowledge, request } from './build.ts';

type Car = Parameters<typeof engine>[0];

/** Where the item is, in the first place that the answer gives. */
function place(car: Car | null, item: string) {
  return advised([...(car ? [engine(car)] : []), request('location', item)]).where[0]!;
}

describe('locate', () => {
  // Side of the bank against makers' own texts, as the sources name them; `from memory` rows are not checked here.
  it.each<{ car: Car; item: string; says: RegExp; certainty: string; from: string }>([
    {
      car: { vehicle: 'Hyundai Santa Fe', layout: 'v', year: 2005 },
      item: 'bank-1',
      says: /firewall/,
      certainty: 'certain',
      from: 'hyundai-36-003',
    },
    {
      car: { vehicle: 'Hyundai Sonata', cylinders: 6, layout: 'v', year: 2003 },
      item: 'bank-2-sensor-1',
      says: /behind the radiator/,
      certainty: 'certain',
      from: 'hyundai-36-003',
    },
    {
      car: { vehicle: 'Chevrolet Camaro', displacement: 5.7, year: 1998 },
      item: 'bank-1-sensor-1',
      says: /left one as seen from the driver’s seat/,
      certainty: 'certain',
      from: 'gm-v8-text',
    },
    {
      car: { vehicle: 'Chevrolet Silverado', displacement: 4.3, year: 2007 },
      item: 'bank-2-sensor-2',
      says: /right one as seen from the driver’s seat/,
      certainty: 'certain',
      from: 'gm-43-text',
    },
    {
      car: { vehicle: 'Chevrolet Malibu', displacement: 3.1, year: 2000 },
      item: 'bank-1-sensor-1',
      says: /firewall/,
      certainty: 'likely',
      from: 'gm-60-degree-text',
    },
    {
      car: { vehicle: 'Dodge Charger', displacement: 2.7, year: 2007 },
      item: 'bank-1',
      says: /right one/,
      certainty: 'likely',
      from: 'chrysler-27-text',
    },
    {
      car: { vehicle: 'Audi A7', displacement: 3.0, year: 2012 },
      item: 'bank-1-sensor-2',
      says: /right one/,
      certainty: 'certain',
      from: 'audi-30-text',
    },
    {
      car: { vehicle: 'Lexus GS350', year: 2017, displacement: 3.5 },
      item: 'bank-1',
      says: /right one/,
      certainty: 'certain',
      from: 'lexus-gs-catalyst-text',
    },
    {
      car: { vehicle: 'BMW 330i', year: 2002 },
      item: 'bank-2-sensor-1',
      says: /second half of the cylinders/,
      certainty: 'certain',
      from: 'bmw-six-cylinder-text',
    },
    {
      car: { vehicle: 'Chrysler Pacifica', year: 2021, cylinders: 6 },
      item: 'bank-1-sensor-1',
      says: /firewall[\s\S]*other way round/,
      certainty: 'likely',
      from: 'chrysler-36-text',
    },
  ])('puts $item of $car.vehicle where the maker’s text does', ({ car, item, says, certainty, from }) => {
    const where = place(car, item);
    expect(where.text).toMatch(says);
    expect(where).toMatchObject({ item, certainty, source: from });
  });

  it.each<{ what: string; car: Car; item: string; says: RegExp; certainty: string }>([
    {
      what: 'an in-line four',
      car: { layout: 'inline', cylinders: 4 },
      item: 'bank-1-sensor-1',
      says: /single bank/,
      certainty: 'certain',
    },
    {
      what: 'a four without a layout',
      car: { cylinders: 4 },
      item: 'bank-1-sensor-2',
      says: /single bank[\s\S]*behind the first catalyst/,
      certainty: 'certain',
    },
    {
      what: 'a V6 across the car',
      car: { layout: 'v', cylinders: 6, mounting: 'transverse' },
      item: 'bank-1-sensor-2',
      says: /firewall/,
      certainty: 'likely',
    },
    {
      what: 'a V8 lengthwise of no known make',
      car: { layout: 'v', cylinders: 8, mounting: 'longitudinal' },
      item: 'bank-1',
      says: /cylinder 1[\s\S]*right on most[\s\S]*left on GM[\s\S]*driver's seat/,
      certainty: 'ask',
    },
    {
      what: 'a V engine of no known mounting',
      car: { layout: 'v' },
      item: 'bank-2',
      says: /different by maker/,
      certainty: 'ask',
    },
    {
      what: 'a flat four',
      car: { layout: 'flat', cylinders: 4 },
      item: 'bank-1-sensor-1',
      says: /joined pipe/,
      certainty: 'likely',
    },
    {
      what: 'a flat six',
      car: { layout: 'flat', cylinders: 6 },
      item: 'bank-1',
      says: /right on Subaru/,
      certainty: 'ask',
    },
    {
      what: 'a rear-engined flat six',
      car: { vehicle: 'Porsche 911', year: 2005 },
      item: 'bank-1',
      says: /left one/,
      certainty: 'likely',
    },
    {
      what: 'a mid-engined flat six',
      car: { vehicle: 'Porsche Boxster', year: 2005 },
      item: 'bank-1',
      says: /right one/,
      certainty: 'likely',
    },
    { what: 'a W engine', car: { layout: 'w', cylinders: 12 }, item: 'bank-1', says: /looked up/, certainty: 'ask' },
    {
      what: 'a narrow V with two manifolds',
      car: { vehicle: 'Volkswagen R32' },
      item: 'bank-2',
      says: /second half/,
      certainty: 'likely',
    },
    { what: 'a rotary', car: { layout: 'rotary' }, item: 'bank-1-sensor-1', says: /single bank/, certainty: 'certain' },
    {
      what: 'an engine at the edge of what is known',
      car: { vehicle: 'Nissan Titan', year: 2006 },
      item: 'bank-1',
      says: /no reliable source/,
      certainty: 'ask',
    },
  ])('speaks of $what', ({ car, item, says, certainty }) => {
    const where = place(car, item);
    expect(where.text).toMatch(says);
    expect(where.certainty).toBe(certainty);
  });

  it('turns the bank round between the GM 3800 across the car and the GM 60-degree V6', () => {
    expect(place({ vehicle: 'Buick LeSabre', year: 2000 }, 'bank-1').text).toMatch(/radiator/);
    expect(place({ vehicle: 'Pontiac Montana', year: 2000 }, 'bank-1').text).toMatch(/firewall/);
  });

  it('sees a conflict when an engine of one bank is asked about bank 2, and when it has a code of bank 2', () => {
    const car = engine({ layout: 'inline', cylinders: 4 });
    expect(place({ layout: 'inline', cylinders: 4 }, 'bank-2-sensor-1').text).toMatch(/only one bank/);
    const [first] = advised([car, code('P0155')]).where;
    expect(first).toMatchObject({ item: 'bank-2-sensor-1', certainty: 'ask' });
    expect(first!.text).toMatch(/only one bank/);
  });

  it('asks which engine when the car came with several that differ', () => {
    const where = place({ vehicle: 'Honda Accord', year: 2004 }, 'bank-1-sensor-1');
    expect(where.certainty).toBe('ask');
    expect(where.text).toMatch(/Which one is yours/);
    expect(place({ vehicle: 'Honda Accord', year: 2004, layout: 'v' }, 'bank-1-sensor-1').text).toMatch(/firewall/);
    expect(place({ vehicle: 'Honda Accord', year: 2004, cylinders: 4 }, 'bank-1-sensor-1').text).toMatch(/single bank/);
  });

  it('gives the general rule and asks for the car when nothing is known', () => {
    const where = place(null, 'bank-1-sensor-2');
    expect(where.text).toMatch(/holds cylinder 1[\s\S]*behind the first catalyst[\s\S]*make, model, year/);
    expect(where.certainty).toBe('ask');
  });

  it('says how to prove it where the side is less than sure, once in an answer', () => {
    const car = { vehicle: 'Toyota Camry', layout: 'v', year: 2004 } as const;
    const { where } = advised([engine(car), request('location', 'bank-1-sensor-1'), code('P0155')]);
    expect(where.filter((item) => /prove it/.test(item.text))).toHaveLength(1);
    expect(where[0]!.text).toMatch(/cold, unplug/);
  });

  it('says when a family is from memory', () => {
    expect(place({ vehicle: 'Nissan Maxima', year: 2002 }, 'bank-1-sensor-1').text).toMatch(/from memory/);
  });

  it('uses the year and the engine’s own name to tell families apart', () => {
    expect(place({ vehicle: 'Jeep TJ', year: 2004, displacement: 4 }, 'bank-2').text).toMatch(/second half/);
    expect(place({ vehicle: 'Jeep YJ', year: 1993, displacement: 4 }, 'bank-2').text).toMatch(/only one bank/);
  });

  it('never says driver’s side or passenger side, since the country is not known', () => {
    const items = ['bank-1', 'bank-2', 'bank-1-sensor-1', 'bank-2-sensor-2', 'oxygen-sensor', 'downstream-sensor'];
    const cars = knowledge.engines.flatMap((family) =>
      family.cars.slice(0, 1).map((car) => ({ vehicle: `${family.maker} ${car}` })),
    );
    for (const car of cars)
      for (const item of items) expect(place(car, item).text).not.toMatch(/(passenger|driver’s|driver's) side/);
  });

  it('states the viewpoint wherever it says left or right', () => {
    for (const family of knowledge.engines) {
      const { text } = place({ vehicle: family.cars[0]!, layout: family.layout }, 'bank-1');
      if (/\b(left|right) one\b/.test(text)) expect(text).toMatch(/seen from the driver’s seat/);
    }
  });

  it.each([
    'air-meter',
    'pcv-valve',
    'purge-valve',
    'map-sensor',
    'coolant-sensor',
    'catalyst',
    'egr-valve',
    'fuel-filter',
  ])('knows where the %s is', (item) => {
    expect(place(null, item).item).toBe(item);
  });

  it('places what the codes name and what the likeliest causes concern', () => {
    const items = advised(
      [code('P0133'), code('P0420')],
      diagnosis([
        ['catalyst-worn', 0.5],
        ['vacuum-leak', 0.2],
        ['purge-valve-stuck-open', 0.14],
      ]),
    ).where.map((where) => where.item);
    expect(items).toEqual(['bank-1-sensor-1', 'catalyst', 'vacuum-hose']);
  });

  it('places the sensor of the bank that the ranking names', () => {
    const [first] = advised(
      [engine({ layout: 'v', cylinders: 6 })],
      diagnosis([['upstream-sensor-slow', 0.6, 2]]),
    ).where;
    expect(first!.item).toBe('bank-2-sensor-1');
  });

  it('answers an earlier question about a place once the car is known', () => {
    const { where } = advised([
      request('location', 'bank-1-sensor-2'),
      engine({ vehicle: 'Hyundai Santa Fe', layout: 'v', year: 2005, post: 1 }),
    ]);
    expect(where[0]!.text).toMatch(/firewall/);
  });

  it('keeps every text short and has a place for every part that a fault names, but for those without one', () => {
    for (const family of knowledge.engines)
      for (const item of ['bank-1-sensor-1', 'bank-2-sensor-2', 'bank-2'])
        expect(place({ vehicle: family.cars[0]!, layout: family.layout }, item).text.length).toBeLessThan(900);
    const parts = knowledge.faults.flatMap((fault) => (fault.part === null ? [] : [fault.part]));
    const sensors = ['upstream-sensor', 'downstream-sensor', 'oxygen-sensor'];
    const nowhere = parts.filter((part) => !sensors.includes(part) && !knowledge.places.byId.has(part));
    expect([...new Set(nowhere)].sort()).toEqual(['brakes', 'fuel', 'head-gasket', 'tyres', 'wiring']);
  });

  it('copes with any vehicle name and item', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 120 }), fc.string({ maxLength: 40 }), (vehicle, item) => {
        return advised([engine({ vehicle }), request('location', item)]).where.every(
          (where) => where.text.length < 1200,
        );
      }),
      { numRuns: 100 },
    );
  });
});
