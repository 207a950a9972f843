// Units as people type them, and the way from each to the vocabulary's unit of each quantity that it can measure.
// The factors are those of calculators/convert-unit.ts; only powers of ten of a unit stand here.
import { type UnitId as ConvertibleUnit, convertUnit } from '../calculators/convert-unit.ts';
import type { Quantity } from '../vocabulary/quantities.ts';
import { buildPhraseTable, matchPhrase, type PhraseTable } from './phrase-table.ts';
import type { Token } from './tokens.ts';
import { spellings, type UnitId } from './unit-words.ts';

export type { UnitId } from './unit-words.ts';

const same = (value: number) => value;
const times = (factor: number) => (value: number) => value * factor;
const over = (numerator: number) => (value: number) => (value === 0 ? Number.NaN : numerator / value);

/** What one `from` is in `to`; of a distance by volume, the dividend that gives its volume by distance. */
function factorOf(from: ConvertibleUnit, to: ConvertibleUnit): number {
  const factor = convertUnit(1, from, to);
  return factor.valid ? factor.value : Number.NaN;
}

const mile = factorOf('mi', 'km');
const usQuart = factorOf('US qt', 'L');
const fahrenheit = (value: number) => {
  const celsius = convertUnit(value, 'degF', 'degC');
  return celsius.valid ? celsius.value : Number.NaN;
};

type Conversions = Partial<Record<Quantity, (value: number) => number>>;

function pressure(kilopascals: number): Conversions {
  const convert = times(kilopascals);
  return { 'fuel-pressure': convert, 'manifold-pressure': convert, compression: convert, 'back-pressure': convert };
}
function temperature(convert: (value: number) => number): Conversions {
  return { 'coolant-temperature': convert, 'intake-temperature': convert, 'catalyst-temperature': convert };
}

/** For each unit, the quantities that it can measure and how its value becomes the vocabulary's. */
export const unitConversions: Readonly<Record<UnitId, Conversions>> = {
  percent: {
    'short-term-trim': same,
    'long-term-trim': same,
    'total-trim': same,
    'gas-co': same,
    'gas-co2': same,
    'gas-o2': same,
    'engine-load': same,
    'throttle-position': same,
    'gas-hc': times(factorOf('%', 'ppm')),
    'gas-nox': times(factorOf('%', 'ppm')),
  },
  volt: { 'sensor-voltage': same, 'battery-voltage': same },
  millivolt: { 'sensor-voltage': times(0.001) },
  milliampere: { 'pump-current': same },
  microampere: { 'pump-current': times(0.001) },
  rpm: { 'engine-speed': same },
  kilopascal: pressure(factorOf('kPa', 'kPa')),
  megapascal: pressure(factorOf('MPa', 'kPa')),
  bar: pressure(factorOf('bar', 'kPa')),
  millibar: pressure(factorOf('mbar', 'kPa')),
  psi: pressure(factorOf('psi', 'kPa')),
  'inch-mercury': pressure(factorOf('inHg', 'kPa')),
  'millimetre-mercury': pressure(factorOf('mmHg', 'kPa')),
  'inch-water': pressure(factorOf('inH2O', 'kPa')),
  celsius: temperature(same),
  fahrenheit: temperature(fahrenheit),
  degree: { ...temperature(same), 'ignition-advance': same },
  // "over 80 kms" of a moving car is said of its speed.
  kilometre: { distance: same, 'vehicle-speed': same },
  mile: { distance: times(mile) },
  'km-per-hour': { 'vehicle-speed': same },
  'mile-per-hour': { 'vehicle-speed': times(factorOf('mph', 'km/h')) },
  'mile-per-gallon': { 'fuel-consumption': over(factorOf('mpg US', 'L/100 km')) },
  'mile-per-us-gallon': { 'fuel-consumption': over(factorOf('mpg US', 'L/100 km')) },
  'mile-per-imperial-gallon': { 'fuel-consumption': over(factorOf('mpg imp', 'L/100 km')) },
  'litre-per-100-km': { 'fuel-consumption': same },
  'km-per-litre': { 'fuel-consumption': over(factorOf('km/L', 'L/100 km')) },
  'gram-per-second': { 'air-flow': same },
  'kilogram-per-hour': { 'air-flow': times(factorOf('kg/h', 'g/s')) },
  'pound-per-minute': { 'air-flow': times(factorOf('lb/min', 'g/s')) },
  ppm: {
    'gas-hc': same,
    'gas-nox': same,
    'gas-co': times(factorOf('ppm', '%')),
    'gas-o2': times(factorOf('ppm', '%')),
  },
  ohm: { 'heater-resistance': same },
  kilohm: { 'heater-resistance': times(1000) },
  megohm: { 'heater-resistance': times(1_000_000) },
  millisecond: { 'edge-time': same },
  second: { 'edge-time': times(1000) },
  'gram-per-km': { 'gas-mass': same },
  'gram-per-mile': { 'gas-mass': times(1 / mile) },
  litre: { displacement: same },
  'cubic-centimetre': { displacement: times(factorOf('cm3', 'L')) },
  'cubic-inch': { displacement: times(factorOf('cu in', 'L')) },
  hertz: { switches: same },
  'per-10-seconds': { switches: times(0.1) },
  'to-one': { 'air-fuel-ratio': same },
  'mile-per-quart': { 'oil-consumption': over((1000 * usQuart) / mile) },
  'mile-per-litre': { 'oil-consumption': over(1000 / mile) },
  'quart-per-1000-miles': { 'oil-consumption': times(usQuart / mile) },
  'litre-per-1000-miles': { 'oil-consumption': times(1 / mile) },
  'litre-per-1000-km': { 'oil-consumption': same },
};

const table: PhraseTable<UnitId> = buildPhraseTable(
  (Object.keys(spellings) as UnitId[]).flatMap((unit) =>
    spellings[unit].split(' | ').map((spelling) => [spelling, unit] as const),
  ),
);

/** Short spellings that are units only when glued to the number. */
const onlyGlued = new Set(['r', 'gs', 'hg', 'k', 'lt', 'rev']);

/** The unit that begins at token `index`; null when none does. */
export function readUnit(tokens: readonly Token[], index: number): { unit: UnitId; last: number } | null {
  const found = matchPhrase(table, tokens, index);
  if (!found) return null;
  const first = tokens[index]!;
  // "3.5 V6": a letter with a digit glued to it is no unit.
  if (
    found.last === index + 1 &&
    first.text.length === 1 &&
    tokens[index + 1]?.kind === 'number' &&
    !tokens[index + 1]!.spaced
  )
    return null;
  // In "1850 %CO2" the sign belongs to what it is glued to.
  const follower = tokens[index + 1];
  if (first.text === '%' && first.spaced && follower && !follower.spaced && follower.kind === 'word') return null;
  if (found.last === index + 1 && first.spaced && onlyGlued.has(first.text)) return null;
  return { unit: found.value, last: found.last };
}
