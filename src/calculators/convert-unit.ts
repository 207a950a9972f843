// The one door for unit conversions. Own exact factors rather than a library: the well-kept libraries weigh more than the rest of
// the program, and none of them carries fuel consumption or ppm. tests/calculators/convert-unit.test.ts holds every factor
// against one of those libraries and the printed tables of NIST SP 811.
import { type Result, refuse } from './result.ts';

/** A unit: its kind, and value in the kind's base unit = value x factor + offset; `inverse` kinds are factor / value. */
interface Unit {
  readonly kind: string;
  readonly factor: number;
  readonly offset?: number;
  readonly inverse?: true;
}

const usGallon = 3.785411784; // [L] exact
const imperialGallon = 4.54609; // [L] exact
const mile = 1.609344; // [km] exact
const pound = 0.45359237; // [kg] exact
const inch = 0.0254; // [m] exact
const poundForce = pound * 9.80665; // [N] exact
const conventionalMercury = 13_595.1 * 9.80665; // [Pa/m], mercury at 0 degC

/** Base units: kPa, degC, km, L, g/s, L/100 km, km/h, kg, % (share), V, mA, s, W, L/h. Source: nist-sp-811, appendix B.8 (exact definitions). */
const units = {
  kPa: { kind: 'pressure', factor: 1 },
  Pa: { kind: 'pressure', factor: 0.001 },
  MPa: { kind: 'pressure', factor: 1000 },
  bar: { kind: 'pressure', factor: 100 },
  mbar: { kind: 'pressure', factor: 0.1 },
  psi: { kind: 'pressure', factor: poundForce / (inch * inch) / 1000 },
  inHg: { kind: 'pressure', factor: (conventionalMercury * inch) / 1000 },
  mmHg: { kind: 'pressure', factor: conventionalMercury / 1_000_000 },
  inH2O: { kind: 'pressure', factor: (1000 * 9.80665 * inch) / 1000 },
  atm: { kind: 'pressure', factor: 101.325 },
  degC: { kind: 'temperature', factor: 1 },
  degF: { kind: 'temperature', factor: 5 / 9, offset: -160 / 9 },
  K: { kind: 'temperature', factor: 1, offset: -273.15 },
  km: { kind: 'length', factor: 1 },
  mi: { kind: 'length', factor: mile },
  m: { kind: 'length', factor: 0.001 },
  'km/h': { kind: 'speed', factor: 1 },
  mph: { kind: 'speed', factor: mile },
  'm/s': { kind: 'speed', factor: 3.6 },
  L: { kind: 'volume', factor: 1 },
  mL: { kind: 'volume', factor: 0.001 },
  cm3: { kind: 'volume', factor: 0.001 },
  'cu in': { kind: 'volume', factor: inch * inch * inch * 1000 },
  'US gal': { kind: 'volume', factor: usGallon },
  'imp gal': { kind: 'volume', factor: imperialGallon },
  'US qt': { kind: 'volume', factor: usGallon / 4 },
  'g/s': { kind: 'mass-flow', factor: 1 },
  'kg/h': { kind: 'mass-flow', factor: 1 / 3.6 },
  'lb/min': { kind: 'mass-flow', factor: (pound * 1000) / 60 },
  'lb/h': { kind: 'mass-flow', factor: (pound * 1000) / 3600 },
  'L/100 km': { kind: 'consumption', factor: 1 },
  'mpg US': { kind: 'consumption', factor: (100 * usGallon) / mile, inverse: true },
  'mpg imp': { kind: 'consumption', factor: (100 * imperialGallon) / mile, inverse: true },
  'km/L': { kind: 'consumption', factor: 100, inverse: true },
  'US gal/100 mi': { kind: 'consumption', factor: usGallon / mile },
  kg: { kind: 'mass', factor: 1 },
  g: { kind: 'mass', factor: 0.001 },
  lb: { kind: 'mass', factor: pound },
  '%': { kind: 'share', factor: 1 },
  ppm: { kind: 'share', factor: 0.0001 },
} as const satisfies Record<string, Unit>;

export type UnitId = keyof typeof units;
export const unitIds = Object.keys(units) as UnitId[];

/**
 * @returns `value` of `from` in the unit `to`. Refused for units of different kinds, for figures that are no numbers, and for a
 * consumption of zero, which has no reciprocal.
 * Pressures are kept as they are: a vacuum or a boost against ambient is turned into absolute pressure by manifoldPressure.
 */
export function convertUnit(value: number, from: UnitId, to: UnitId): Result {
  const source: Unit = units[from];
  const target: Unit = units[to];
  if (source.kind !== target.kind) return refuse(`${from} cannot be turned into ${to}: they measure different things.`);
  if (!Number.isFinite(value)) return refuse('That is not a number that can be converted.');
  if (source.kind === 'consumption' && !(value > 0)) return refuse('A consumption must be above zero.');
  const base = source.inverse ? source.factor / value : value * source.factor + (source.offset ?? 0);
  return { valid: true, value: target.inverse ? target.factor / base : (base - (target.offset ?? 0)) / target.factor };
}

/** Whether both units measure the same thing. */
export function areConvertible(from: UnitId, to: UnitId): boolean {
  return units[from].kind === units[to].kind;
}
