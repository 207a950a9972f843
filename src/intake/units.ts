// Units as people type them, and the way from each to the vocabulary's unit of each quantity that it can measure.
// Factors: NIST SP 811 (2008), Appendix B.8 and B.9, unless a line names another source.
import type { Quantity } from '../vocabulary/quantities.ts';
import { buildPhraseTable, matchPhrase, type PhraseTable } from './phrase-table.ts';
import type { Token } from './tokens.ts';
import { spellings, type UnitId } from './unit-words.ts';

export type { UnitId } from './unit-words.ts';

const usGallon = 3.785411784; // L, NIST SP 811 B.8
const imperialGallon = 4.54609; // L, NIST SP 811 B.8
const usQuart = usGallon / 4;
const mile = 1.609344; // km, NIST SP 811 B.8
const psi = 6.894757; // kPa
const inchOfMercury = 3.38639; // kPa, conventional
const cubicInch = 0.016387064; // L
const fahrenheit = (value: number) => (value - 32) / 1.8;
const same = (value: number) => value;
const times = (factor: number) => (value: number) => value * factor;
const over = (numerator: number) => (value: number) => (value === 0 ? Number.NaN : numerator / value);

type Conversions = Partial<Record<Quantity, (value: number) => number>>;

function pressure(factor: number): Conversions {
  const convert = times(factor);
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
    'gas-hc': times(10_000),
    'gas-nox': times(10_000),
  },
  volt: { 'sensor-voltage': same, 'battery-voltage': same },
  millivolt: { 'sensor-voltage': times(0.001), 'battery-voltage': times(0.001) },
  milliampere: { 'pump-current': same },
  microampere: { 'pump-current': times(0.001) },
  rpm: { 'engine-speed': same },
  kilopascal: pressure(1),
  megapascal: pressure(1000),
  bar: pressure(100),
  millibar: pressure(0.1),
  psi: pressure(psi),
  'inch-mercury': pressure(inchOfMercury),
  'millimetre-mercury': pressure(0.1333224),
  'inch-water': pressure(0.2490889),
  celsius: temperature(same),
  fahrenheit: temperature(fahrenheit),
  degree: { ...temperature(same), 'ignition-advance': same },
  // "over 80 kms" of a moving car is said of its speed.
  kilometre: { distance: same, 'vehicle-speed': same },
  mile: { distance: times(mile) },
  'km-per-hour': { 'vehicle-speed': same },
  'mile-per-hour': { 'vehicle-speed': times(mile) },
  'mile-per-gallon': { 'fuel-consumption': over((100 * usGallon) / mile) },
  'mile-per-us-gallon': { 'fuel-consumption': over((100 * usGallon) / mile) },
  'mile-per-imperial-gallon': { 'fuel-consumption': over((100 * imperialGallon) / mile) },
  'litre-per-100-km': { 'fuel-consumption': same },
  'km-per-litre': { 'fuel-consumption': over(100) },
  'gram-per-second': { 'air-flow': same },
  'kilogram-per-hour': { 'air-flow': times(1 / 3.6) },
  'pound-per-minute': { 'air-flow': times(453.59237 / 60) },
  ppm: { 'gas-hc': same, 'gas-nox': same, 'gas-co': times(0.0001), 'gas-o2': times(0.0001) },
  ohm: { 'heater-resistance': same },
  kilohm: { 'heater-resistance': times(1000) },
  megohm: { 'heater-resistance': times(1_000_000) },
  millisecond: { 'edge-time': same },
  second: { 'edge-time': times(1000) },
  'gram-per-km': { 'gas-mass': same },
  'gram-per-mile': { 'gas-mass': times(1 / mile) },
  litre: { displacement: same },
  'cubic-centimetre': { displacement: times(0.001) },
  'cubic-inch': { displacement: times(cubicInch) },
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
