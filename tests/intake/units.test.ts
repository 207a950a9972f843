// Unit factors against mathjs, a general-purpose library with its own unit table, and against published equivalents.
import { unit } from 'mathjs';
import { describe, expect, it } from 'vitest';
import { splitTokens } from '../../src/intake/tokens.ts';
import { readUnit, type UnitId, unitConversions } from '../../src/intake/units.ts';
import type { Quantity } from '../../src/vocabulary/quantities.ts';

const from = 'mathjs 15.2.0';
const rows: ReadonlyArray<{ id: UnitId; quantity: Quantity; value: number; expected: number; from: string }> = [
  { id: 'psi', quantity: 'fuel-pressure', value: 43.5, expected: unit(43.5, 'psi').toNumber('kPa'), from },
  { id: 'bar', quantity: 'fuel-pressure', value: 3, expected: unit(3, 'bar').toNumber('kPa'), from },
  {
    id: 'millimetre-mercury',
    quantity: 'manifold-pressure',
    value: 300,
    expected: 300 * 0.1333224,
    from: 'NIST SP 811, appendix B.8: conventional millimetre of mercury',
  },
  {
    id: 'inch-mercury',
    quantity: 'manifold-pressure',
    value: 18,
    expected: 18 * 3.386389,
    from: 'NIST SP 811, appendix B.8: conventional inch of mercury',
  },
  { id: 'fahrenheit', quantity: 'coolant-temperature', value: 195, expected: unit(195, 'degF').toNumber('degC'), from },
  { id: 'mile', quantity: 'distance', value: 100, expected: unit(100, 'mile').toNumber('km'), from },
  { id: 'mile-per-hour', quantity: 'vehicle-speed', value: 60, expected: unit(60, 'mi/h').toNumber('km/h'), from },
  {
    id: 'mile-per-us-gallon',
    quantity: 'fuel-consumption',
    value: 25,
    expected: 100 / (unit(25, 'mile').toNumber('km') / unit(1, 'gallon').toNumber('L')),
    from,
  },
  {
    id: 'mile-per-imperial-gallon',
    quantity: 'fuel-consumption',
    value: 40,
    expected: 7.06,
    from: 'UK Vehicle Certification Agency tables: 40 mpg is 7.1 L/100 km (from memory, rounded)',
  },
  { id: 'kilogram-per-hour', quantity: 'air-flow', value: 12, expected: unit(12, 'kg/h').toNumber('g/s'), from },
  { id: 'pound-per-minute', quantity: 'air-flow', value: 1, expected: unit(1, 'lbm/minute').toNumber('g/s'), from },
  { id: 'cubic-inch', quantity: 'displacement', value: 350, expected: unit(350, 'in^3').toNumber('L'), from },
  { id: 'gram-per-mile', quantity: 'gas-mass', value: 10, expected: unit(10, 'g/mile').toNumber('g/km'), from },
  {
    id: 'quart-per-1000-miles',
    quantity: 'oil-consumption',
    value: 1,
    expected: unit(1, 'quart').toNumber('L') / unit(1, 'mile').toNumber('km'),
    from,
  },
  {
    id: 'mile-per-quart',
    quantity: 'oil-consumption',
    value: 1000,
    expected: unit(1, 'quart').toNumber('L') / unit(1, 'mile').toNumber('km'),
    from,
  },
];

describe('units', () => {
  it.each(rows)('turns $value $id into the unit of $quantity', ({ id, quantity, value, expected }) => {
    expect(unitConversions[id][quantity]!(value)).toSatisfy(
      (own: number) =>
        Math.abs(own - expected) <= 1e-6 * Math.abs(expected) + (id === 'mile-per-imperial-gallon' ? 0.01 : 0),
    );
  });

  it.each([
    ['%', 'percent'],
    ['per cent', 'percent'],
    ['mV', 'millivolt'],
    ['in Hg', 'inch-mercury'],
    ['inches of vacuum', 'inch-mercury'],
    ['m.p.g.', 'mile-per-gallon'],
    ['miles to the gallon', 'mile-per-gallon'],
    ['l/100km', 'litre-per-100-km'],
    ['g/sec', 'gram-per-second'],
    ['kg/h', 'kilogram-per-hour'],
    ['\u00b0C', 'celsius'],
    ['deg F', 'fahrenheit'],
    ['\u03a9', 'ohm'],
    ['k ohms', 'kilohm'],
    ['ppm', 'ppm'],
    ['quarts per 1000 miles', 'quart-per-1000-miles'],
  ])('reads %s as %s', (text, id) => {
    const tokens = splitTokens(`5${text.toLowerCase().replace('\u03a9', '\u03c9')}`);
    expect(readUnit(tokens, 1)?.unit).toBe(id);
  });
});
