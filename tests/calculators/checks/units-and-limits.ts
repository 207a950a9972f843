// Unit conversions against a library and printed tables; in-service verdicts against the texts of the programmes.
import { convertUnit, type UnitId } from '../../../src/calculators/convert-unit.ts';
import { inServiceVerdict, type TestReading } from '../../../src/calculators/in-service-verdict.ts';
import { type Check, library, take } from './check.ts';

/** What a library calls each unit, where it has it. */
const named: ReadonlyArray<readonly [UnitId, UnitId, string, string]> = [
  ['psi', 'kPa', 'psi', 'kPa'],
  ['bar', 'psi', 'bar', 'psi'],
  ['mmHg', 'kPa', 'mmHg', 'kPa'],
  ['atm', 'bar', 'atm', 'bar'],
  ['MPa', 'psi', 'MPa', 'psi'],
  ['degF', 'degC', 'degF', 'degC'],
  ['degC', 'degF', 'degC', 'degF'],
  ['K', 'degC', 'K', 'degC'],
  ['mi', 'km', 'mile', 'km'],
  ['km', 'mi', 'km', 'mile'],
  ['mph', 'km/h', 'mile/hour', 'km/hour'],
  ['m/s', 'km/h', 'm/s', 'km/hour'],
  ['cu in', 'L', 'in^3', 'L'],
  ['cm3', 'L', 'cm^3', 'L'],
  ['US gal', 'L', 'gallon', 'L'],
  ['US qt', 'L', 'quart', 'L'],
  ['lb/min', 'g/s', 'lbm/minute', 'g/s'],
  ['kg/h', 'g/s', 'kg/hour', 'g/s'],
  ['lb', 'kg', 'lbm', 'kg'],
];
const byLibrary: Check[] = named.flatMap(([from, to, theirs, target]) =>
  [1, 17.5, 250].map((value): Check => {
    const expected = library(`number(${value} ${theirs}, ${target})`);
    return {
      calculator: 'convert-unit',
      what: `${value} ${from} in ${to}`,
      from: 'mathjs 15.2.0, units',
      kind: 'library',
      got: () => take(convertUnit(value, from, to)),
      expected,
      tolerance: Math.max(1e-9, (from === 'mmHg' ? 4e-6 : 2e-6) * Math.abs(expected)),
      why: 'the library rounds psi to seven digits and takes mmHg for the torr, 3 millionths less',
    };
  }),
);

const printed: Check[] = (
  [
    [1, 'psi', 'kPa', 6.894757, 5e-7, 'nist-sp-811, B.8'],
    [1, 'inHg', 'kPa', 3.386389, 5e-7, 'nist-sp-811, B.8 (mercury at 0 degC)'],
    [1, 'mmHg', 'kPa', 0.1333224, 5e-8, 'nist-sp-811, B.8'],
    [1, 'inH2O', 'kPa', 0.2490889, 5e-8, 'nist-sp-811, B.8 (conventional)'],
    [1, 'lb/min', 'g/s', 7.559873, 5e-7, 'nist-sp-811, B.8'],
    [1, 'cu in', 'L', 0.01638706, 5e-9, 'nist-sp-811, B.8'],
    [1, 'US gal', 'L', 3.785412, 5e-7, 'nist-sp-811, B.8'],
    [1, 'imp gal', 'L', 4.54609, 5e-7, 'nist-sp-811, B.8'],
    [25, 'mpg US', 'L/100 km', 235.215 / 25, 5e-5, 'nist-sp-811, B.8: divide 235.215 by miles a gallon'],
    [40, 'mpg imp', 'L/100 km', 7.062, 5e-4, 'definitions of mile and imperial gallon'],
    [8, 'L/100 km', 'km/L', 12.5, 1e-9, 'definition'],
    [0.02, '%', 'ppm', 200, 1e-9, 'definition'],
    [101, 'degF', 'degC', 38.333, 5e-4, 'nist-sp-811, B.8'],
  ] as const
).map(([value, from, to, expected, tolerance, source]) => ({
  calculator: 'convert-unit',
  what: `${value} ${from} in ${to}`,
  from: source,
  kind: source.startsWith('definition') ? 'definition' : 'published',
  got: () => take(convertUnit(value, from, to)),
  expected,
  tolerance,
}));

/** The UK figures for catalyst cars from 1 July 2002, each limit met exactly and passed by the least step that analysers show. */
const uk = [
  { quantity: 'gas-co', when: 'idle', low: null, high: 0.3 },
  { quantity: 'gas-co', when: '2500rpm', low: null, high: 0.2 },
  { quantity: 'gas-hc', when: '2500rpm', low: null, high: 200 },
  { quantity: 'lambda', when: '2500rpm', low: 0.97, high: 1.03 },
] as const;
const good: TestReading[] = [
  { quantity: 'gas-co', when: 'idle', value: 0.3 },
  { quantity: 'gas-co', when: '2500rpm', value: 0.2 },
  { quantity: 'gas-hc', when: '2500rpm', value: 200 },
  { quantity: 'lambda', when: '2500rpm', value: 1.03 },
];
const limits: Check[] = (
  [
    ['all at the limit', {}, 'pass'],
    ['idle CO 0.31', { 0: 0.31 }, 'fail'],
    ['fast idle CO 0.21', { 1: 0.21 }, 'fail'],
    ['HC 201 ppm', { 2: 201 }, 'fail'],
    ['lambda 1.031', { 3: 1.031 }, 'fail'],
    ['lambda 0.97', { 3: 0.97 }, 'pass'],
    ['lambda 0.969', { 3: 0.969 }, 'fail'],
  ] as const
).map(([what, change, verdict]) => ({
  calculator: 'in-service-verdict',
  what: `${what}: ${verdict}`,
  from: 'uk-sched-7b, part I: not exceeding 0.3, 0.2 and 0.02 %; lambda 0.97 to 1.03',
  kind: 'published',
  got: () => {
    const values: Readonly<Record<number, number>> = change;
    const result = inServiceVerdict(
      good.map((reading, index) => ({ ...reading, value: values[index] ?? reading.value })),
      uk,
    );
    return result.valid && result.verdict === verdict ? 1 : 0;
  },
  expected: 1,
  tolerance: 0,
}));

export const unitAndLimitChecks: readonly Check[] = [...byLibrary, ...printed, ...limits];
