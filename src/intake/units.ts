// Units as people type them, and the way from each to the vocabulary's unit of each quantity that it can measure.
// Factors: NIST SP 811 (2008), Appendix B.8 and B.9, unless a line names another source.
import type { Quantity } from '../vocabulary/quantities.ts';
import { buildPhraseTable, matchPhrase, type PhraseTable } from './phrase-table.ts';
import type { Token } from './tokens.ts';

export type UnitId =
  | 'percent'
  | 'volt'
  | 'millivolt'
  | 'milliampere'
  | 'microampere'
  | 'rpm'
  | 'kilopascal'
  | 'megapascal'
  | 'bar'
  | 'millibar'
  | 'psi'
  | 'inch-mercury'
  | 'millimetre-mercury'
  | 'inch-water'
  | 'celsius'
  | 'fahrenheit'
  | 'degree'
  | 'kilometre'
  | 'mile'
  | 'km-per-hour'
  | 'mile-per-hour'
  | 'mile-per-gallon'
  | 'mile-per-us-gallon'
  | 'mile-per-imperial-gallon'
  | 'litre-per-100-km'
  | 'km-per-litre'
  | 'gram-per-second'
  | 'kilogram-per-hour'
  | 'pound-per-minute'
  | 'ppm'
  | 'ohm'
  | 'kilohm'
  | 'megohm'
  | 'millisecond'
  | 'second'
  | 'gram-per-km'
  | 'gram-per-mile'
  | 'litre'
  | 'cubic-centimetre'
  | 'cubic-inch'
  | 'hertz'
  | 'per-10-seconds'
  | 'to-one'
  | 'mile-per-quart'
  | 'mile-per-litre'
  | 'quart-per-1000-miles'
  | 'litre-per-1000-miles'
  | 'litre-per-1000-km';

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

const spellings: Readonly<Record<UnitId, readonly string[]>> = {
  percent: ['%', 'percent', 'per cent', 'pct', 'prozent', '% vol', 'vol %', '%vol', 'percentage points'],
  volt: ['v', 'volt', 'volts', 'vdc', 'v dc', 'volts dc', 'vots', 'vlots'],
  millivolt: ['mv', 'millivolt', 'millivolts', 'm v'],
  milliampere: ['ma', 'milliamp', 'milliamps', 'milliampere'],
  microampere: ['\u03bca', 'ua', 'microamps'],
  rpm: [
    'rpm',
    'rpms',
    "rpm's",
    'r p m',
    'revs',
    'rev/min',
    'revs per minute',
    'revs/min',
    '1/min',
    'u/min',
    'rev',
    'rp m',
    'rmp',
    'tr/min',
  ],
  kilopascal: ['kpa', 'kilopascal', 'kilopascals', 'k pa'],
  megapascal: ['mpa', 'megapascal'],
  bar: ['bar', 'bars'],
  millibar: ['mbar', 'millibar', 'hpa', 'millibars'],
  psi: [
    'psi',
    'p s i',
    'psig',
    'lbs of pressure',
    'pounds of pressure',
    'lb of pressure',
    'lbs/in',
    'pounds per square inch',
    'pounds',
    'lbs',
    'lb',
    'psi of boost',
  ],
  'inch-mercury': [
    'inhg',
    'in hg',
    'in. hg',
    'inches of mercury',
    'inches hg',
    'inches of hg',
    'in of hg',
    'inches vacuum',
    'inches of vacuum',
    'inches of vac',
    'in of vacuum',
    '" hg',
    '"hg',
    '" of vacuum',
    '" vacuum',
    '"hg vacuum',
    'in vacuum',
    'inch of vacuum',
    'hg',
    'hg of vacuum',
    'inches mercury',
  ],
  'millimetre-mercury': ['mmhg', 'mm hg', 'mm of mercury'],
  'inch-water': ['inh2o', 'in h2o', 'inches of water', '"h2o', '" of water'],
  celsius: [
    'c',
    '\u00b0c',
    'deg c',
    'degc',
    'degrees c',
    'celsius',
    'degrees celsius',
    'deg celsius',
    'centigrade',
    'degrees centigrade',
    '\u00b0 c',
    '\u00b0celsius',
    'degree c',
  ],
  fahrenheit: [
    'f',
    '\u00b0f',
    'deg f',
    'degf',
    'degrees f',
    'fahrenheit',
    'degrees fahrenheit',
    '\u00b0 f',
    'degree f',
    'farenheit',
    'degrees farenheit',
  ],
  degree: [
    '\u00b0',
    'deg',
    'degs',
    'degrees',
    'degree',
    'deg btdc',
    'degrees btdc',
    '\u00b0 btdc',
    'degrees before top dead centre',
    'degrees of timing',
    'deg of timing',
    'btdc',
    'degrees advance',
    'deg advance',
    'degrees of advance',
  ],
  kilometre: ['km', 'kms', 'kilometre', 'kilometres', 'kilometer', 'kilometers', 'klm', 'klms', 'k km', 'kkm'],
  mile: ['miles', 'mile', 'mi', 'mls', 'mile s', 'mikes', 'kmiles', 'kmi', 'k mi'],
  'km-per-hour': [
    'km/h',
    'kmh',
    'kph',
    'km per hour',
    'kms per hour',
    'kmph',
    'km/hr',
    'k/h',
    'kms/h',
    'kilometres per hour',
    'kilometers per hour',
    'km an hour',
    'kms an hour',
  ],
  'mile-per-hour': ['mph', 'm p h', 'miles per hour', 'miles an hour', 'mi/h'],
  'mile-per-gallon': [
    'mpg',
    'mpgs',
    'm p g',
    'miles per gallon',
    'miles to the gallon',
    'miles a gallon',
    'miles/gallon',
    'miles/gal',
    'miles per gal',
    'mi/gal',
    'mp g',
    'to the gallon',
  ],
  'mile-per-us-gallon': ['us mpg', 'mpg us', 'mpg (us)', 'miles per us gallon'],
  'mile-per-imperial-gallon': [
    'uk mpg',
    'mpg uk',
    'imperial mpg',
    'mpg imperial',
    'mpg (uk)',
    'mpg (imperial)',
    'mpg imp',
    'miles per imperial gallon',
  ],
  'litre-per-100-km': [
    'l/100km',
    'l/100 km',
    'l/100',
    'l/100kms',
    'litres per 100 km',
    'liters per 100 km',
    'litres per 100km',
    'liters per 100km',
    'litres/100km',
    'litres/100 km',
    'liters/100km',
    'liters/100 km',
    'litres per 100',
    'liters per 100',
    'litres per hundred',
    'litres per 100 kilometres',
    'liters per 100 kilometers',
    'l per 100',
    'l per 100 km',
    'l per 100km',
    'lt/100km',
    'ltr/100km',
    'litres to the 100',
    'litre per 100km',
    'liter per 100km',
    'litres a hundred',
    'litres to 100 km',
  ],
  'km-per-litre': [
    'km/l',
    'kmpl',
    'km per litre',
    'km per liter',
    'kms/l',
    'kms per litre',
    'km/litre',
    'km/ltr',
    'kilometres per litre',
    'kpl',
  ],
  'gram-per-second': [
    'g/s',
    'g/sec',
    'gm/s',
    'gm/sec',
    'grams/sec',
    'grams/s',
    'grams per second',
    'grams a second',
    'gps',
    'gs',
    'g per s',
    'grams per sec',
    'gr/s',
    'gr/sec',
    'grams second',
    'g/second',
    'gm per sec',
  ],
  'kilogram-per-hour': ['kg/h', 'kg/hr', 'kgh', 'kg per hour', 'kilos per hour', 'kg/hour', 'kilograms per hour'],
  'pound-per-minute': ['lb/min', 'lbs/min', 'lb per min', 'pounds per minute', 'lbs per minute', 'lb/minute'],
  ppm: ['ppm', 'p p m', 'parts per million', 'ppm vol', 'ppm hexane', 'ppmv'],
  ohm: ['ohm', 'ohms', '\u03c9', 'r', 'homs'],
  kilohm: ['kohm', 'kohms', 'k ohm', 'k ohms', 'kilohm', 'kilohms', 'kilo ohms', 'kilo ohm', 'k\u03c9', 'k \u03c9'],
  megohm: ['mohm', 'mohms', 'megohm', 'megohms', 'meg ohm', 'meg ohms', 'm\u03c9', 'm ohm', 'm ohms'],
  millisecond: ['ms', 'msec', 'msecs', 'millisecond', 'milliseconds'],
  second: ['s', 'sec', 'secs', 'seconds'],
  'gram-per-km': ['g/km', 'gm/km', 'grams per km', 'grams per kilometre', 'grams/km', 'g per km', 'gpk'],
  'gram-per-mile': [
    'g/mi',
    'g/mile',
    'gm/mi',
    'gpm',
    'grams per mile',
    'grams/mile',
    'g per mile',
    'grams/mi',
    'gm/mile',
  ],
  litre: ['l', 'litre', 'litres', 'liter', 'liters', 'ltr', 'ltrs', 'lt', 'lts', 'lit'],
  'cubic-centimetre': ['cc', 'ccm', 'cm3', 'cubic centimetres', 'cubic centimeters'],
  'cubic-inch': ['ci', 'cid', 'cubic inch', 'cubic inches', 'cu in', 'cui', 'cubes', 'cubic', 'c i'],
  hertz: [
    'hz',
    'hertz',
    'times a second',
    'times per second',
    'switches per second',
    'switches a second',
    'per second',
    'a second',
    'crosscounts per second',
    'cross counts per second',
    'crossings per second',
    'x per second',
    'times/sec',
    'times per sec',
    'times/s',
    'cycles per second',
    'times each second',
  ],
  'per-10-seconds': [
    'times in 10 seconds',
    'switches in 10 seconds',
    'times in ten seconds',
    'switches in ten seconds',
    'times per 10 seconds',
    'times every 10 seconds',
    'cross counts in 10 seconds',
    'crosscounts in 10 seconds',
    'crossings in 10 seconds',
    'times every ten seconds',
    'in 10 seconds',
  ],
  'to-one': [':1', ': 1', 'to 1', 'to one', 'parts air'],
  'mile-per-quart': [
    'miles per quart',
    'miles a quart',
    'miles/quart',
    'miles to the quart',
    'miles per qt',
    'miles/qt',
    'miles to a quart',
    'miles on a quart',
    'miles per quart of oil',
  ],
  'mile-per-litre': [
    'miles per litre',
    'miles a litre',
    'miles per liter',
    'miles to the litre',
    'miles/litre',
    'miles per litre of oil',
  ],
  'quart-per-1000-miles': [
    'quart per 1000 miles',
    'quarts per 1000 miles',
    'quart every 1000 miles',
    'quarts every 1000 miles',
    'quart per 1000',
    'qt per 1000 miles',
    'quart in 1000 miles',
    'quarts in 1000 miles',
    'qt/1000 miles',
    'quart per 1k miles',
    'quart every 1000',
    'qt every 1000 miles',
    'quart per thousand miles',
    'quarts per thousand miles',
    'quart every thousand miles',
    'quart of oil every 1000 miles',
    'quart of oil per 1000 miles',
    'quarts of oil every 1000 miles',
    'quarts of oil per 1000 miles',
    'quart of oil per thousand miles',
  ],
  'litre-per-1000-miles': [
    'litre per 1000 miles',
    'litres per 1000 miles',
    'litre every 1000 miles',
    'litres every 1000 miles',
    'l per 1000 miles',
    'l/1000 miles',
    'litre per thousand miles',
    'litre every thousand miles',
    'liter per 1000 miles',
    'liters per 1000 miles',
    'litre of oil every 1000 miles',
    'litre of oil per 1000 miles',
    'litres of oil per 1000 miles',
    'litres of oil every 1000 miles',
  ],
  'litre-per-1000-km': [
    'litre per 1000 km',
    'litres per 1000 km',
    'l/1000km',
    'l/1000 km',
    'l per 1000 km',
    'litre every 1000 km',
    'liter per 1000 km',
    'liters per 1000 km',
    'litres every 1000 km',
    'litre per 1000km',
    'litres per 1000km',
    'l per 1000km',
    'litre of oil per 1000 km',
    'litre of oil every 1000 km',
    'litres of oil per 1000 km',
    'liter every 1000 km',
    'litre every 1000km',
    'litre of oil per 1000km',
    'litre of oil every 1000km',
  ],
};

const table: PhraseTable<UnitId> = buildPhraseTable(
  (Object.keys(spellings) as UnitId[]).flatMap((unit) => spellings[unit].map((spelling) => [spelling, unit] as const)),
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
