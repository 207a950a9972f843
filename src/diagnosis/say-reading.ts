// One reading against what a cause would give, in a mechanic's words and with both numbers: "it would take about +6 % fuel correction
// at 2500 rpm; you read +21 %". say-evidence.ts asks.
import { type Observable, type ObservableName, offScale } from './observables.ts';
import type { Prediction } from './predict.ts';
import type { ReadingTerm } from './terms.ts';

/** What a reading is held against. */
interface Expected {
  /** What the cause as it fits best would give, on the observable's scale. */
  readonly prediction: Prediction;
  readonly observable: Observable;
  /** Its correction at idle on that bank [%]. */
  readonly idle: number;
  /** 1 or 2; with two, the bank is named where it matters. */
  readonly banks: number;
  /** Weight for the cause: a figure that fits it and still speaks against it fits others better, and that is said. */
  readonly bits: number;
}

export function sayReading(term: ReadingTerm, { prediction, observable, idle, banks, bits }: Expected): string {
  const { name } = observable;
  const { words, number, place } = sayings[name];
  const where = `${place ? pointNames[observable.point] : ''}${banks > 1 && perBank.has(name) ? ` on bank ${observable.bank + 1}` : ''}`;
  if (term.base !== undefined) {
    const there = scaled(term.base, idle, prediction.middle);
    const end = compared(term, { middle: there - term.base, spread: prediction.spread }, bits);
    return `with ${signed(term.base)} at idle it would take about ${signed(there)}${where}; you read ${signed(term.base + term.value)}${end}`;
  }
  const end = compared(term, prediction, bits);
  const expected = number(offScale(name, prediction.middle));
  const bound = term.limit === 'at-least' ? 'at least ' : term.limit === 'at-most' ? 'at most ' : '';
  const read = number(offScale(name, term.value));
  return `${words.replace('#', expected.startsWith('an ') ? expected : `about ${expected}`)}${where}; you read ${bound}${read}${end}`;
}

/**
 * The correction elsewhere that goes with the idle figure read: the model's severities are steps, and a fault between two of them
 * keeps their proportion.
 */
function scaled(read: number, idle: number, change: number): number {
  return Math.abs(idle) >= leastScaled && read * idle > 0 ? (read * (idle + change)) / idle : read + change;
}
const leastScaled = 5;

function compared(term: ReadingTerm, { middle, spread }: Prediction, bits: number): string {
  if (term.limit !== null) return '';
  const off = Math.abs(term.value - middle) / (spread * term.widen);
  if (bits < 0 && off < fitting) return ', and other causes come closer';
  return bits > 0 && off > missing ? ', and other causes miss it by more' : '';
}

/** Spreads within which a figure fits, and beyond which it is missed. */
const fitting = 1;
const missing = 2;

const pointNames = [' at idle', ' at 2500 rpm', ' at cruise', ' under load'];

const perBank: ReadonlySet<ObservableName> = new Set([
  'trim',
  'short-trim',
  'trim-change',
  'front-lambda',
  'front-voltage',
  'front-swing',
  'wide-voltage',
  'wide-voltage-fifth',
  'wide-swing',
  'wide-switches',
  'pump-current',
  'rear-voltage',
  'rear-swing',
  'switches',
]);

interface Saying {
  /** What the cause would do; # stands for the figure. */
  readonly words: string;
  readonly number: (value: number) => string;
  /** True when it differs from one operating point to another. */
  readonly place: boolean;
}

const signed = (value: number) =>
  `${Math.abs(value) < 0.5 ? '' : value < 0 ? '-' : '+'}${Math.abs(value).toFixed(0)} %`;
const volts = (value: number) => `${Math.max(0, value).toFixed(2)} V`;
const above = (digits: number, unit: string) => (value: number) => `${Math.max(0, value).toFixed(digits)} ${unit}`;
const steps = (to: number, unit: string) => (value: number) => `${Math.max(0, Math.round(value / to) * to)} ${unit}`;
const lambda = (value: number) => `lambda ${value.toFixed(2)}`;

const sayings: Readonly<Record<ObservableName, Saying>> = {
  trim: { words: 'it would take # fuel correction', number: signed, place: true },
  'short-trim': { words: 'the short-term part would be #', number: signed, place: true },
  'trim-change': { words: 'the correction would move by #', number: signed, place: true },
  'front-lambda': { words: 'the front sensor would report #', number: lambda, place: true },
  'front-voltage': { words: 'the front sensor would show #', number: volts, place: true },
  'front-swing': { words: 'the front sensor would swing over #', number: volts, place: true },
  'wide-voltage': { words: 'the front sensor would show #', number: volts, place: true },
  'wide-voltage-fifth': { words: 'the front sensor would show #', number: volts, place: true },
  'wide-swing': { words: 'the front sensor would swing over #', number: volts, place: true },
  'wide-switches': {
    words: 'the front sensor would cross its middle # a second',
    number: above(1, 'times'),
    place: true,
  },
  'pump-current': {
    words: 'the front sensor would pump #',
    number: (value) => `${value < 0 ? '-' : '+'}${Math.abs(value).toFixed(2)} mA`,
    place: true,
  },
  'rear-voltage': { words: 'the rear sensor would show #', number: volts, place: true },
  'rear-swing': { words: 'the rear sensor would swing over #', number: volts, place: true },
  'tail-lambda': { words: 'the tailpipe would show #', number: lambda, place: true },
  co: { words: 'it would leave # CO', number: above(1, '%'), place: true },
  co2: { words: 'it would leave # CO2', number: above(1, '%'), place: true },
  o2: { words: 'it would leave # O2', number: above(1, '%'), place: true },
  hc: { words: 'it would leave # HC', number: steps(10, 'ppm'), place: true },
  nox: { words: 'it would leave # NOx', number: steps(50, 'ppm'), place: true },
  'air-flow': { words: 'the meter would count # of air', number: above(1, 'g/s'), place: true },
  'manifold-pressure': { words: 'the manifold would stand at #', number: above(0, 'kPa'), place: true },
  'idle-speed': { words: 'it would idle at #', number: steps(50, 'rpm'), place: false },
  coolant: { words: 'the coolant would read #', number: (value) => `${value.toFixed(0)} degC`, place: false },
  'fuel-pressure': { words: 'fuel pressure would be #', number: steps(10, 'kPa'), place: true },
  heater: {
    words: 'the heater would measure #',
    number: (value) => (value > 200 ? 'an open circuit' : `${value.toFixed(0)} ohm`),
    place: false,
  },
  switches: { words: 'the front sensor would switch # a second', number: above(1, 'times'), place: true },
  'edge-time': { words: 'an edge would take #', number: steps(10, 'ms'), place: false },
  oil: { words: 'it would use # of oil per 1000 km', number: above(1, 'L'), place: false },
  'back-pressure': { words: 'the exhaust would push back with #', number: above(0, 'kPa'), place: true },
  'fuel-use': { words: 'it would change fuel use by #', number: signed, place: false },
  misfires: { words: '# would be counted', number: above(0, 'misfires'), place: true },
  compression: { words: 'compression would be #', number: steps(50, 'kPa'), place: false },
};
