// What the columns of a log hold, from their names in plain words, their units and the range of their values. No program's own
// header is relied on. read-log.ts calls it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Quantity } from '../vocabulary/quantities.ts';
import { splitChunks } from './chunks.ts';
import { findPlaces } from './places.ts';
import { findMentions } from './quantity-mentions.ts';
import { foldText } from './readable-text.ts';
import { splitTokens } from './tokens.ts';
import { readUnit, type UnitId, unitConversions } from './units.ts';

export interface LogColumn {
  readonly quantity: Quantity;
  readonly bank: number | null;
  readonly sensor: number | null;
  /** To the quantity's own unit. */
  readonly convert: (value: number) => number;
  readonly unitAssumed: boolean;
}

/** Quantities that a log's summary uses; distances, counts and prices are left out. */
const wanted: ReadonlySet<Quantity> = new Set<Quantity>([
  'short-term-trim',
  'long-term-trim',
  'total-trim',
  'sensor-voltage',
  'pump-current',
  'lambda',
  'air-fuel-ratio',
  'air-flow',
  'manifold-pressure',
  'engine-speed',
  'vehicle-speed',
  'coolant-temperature',
  'intake-temperature',
  'engine-load',
  'throttle-position',
  'fuel-pressure',
  'battery-voltage',
  'catalyst-temperature',
  'ignition-advance',
]);
/** Unit by the standard where the header gives none. Source: SAE J1979 (from memory). */
const standardUnit: Partial<Record<Quantity, UnitId>> = {
  'sensor-voltage': 'volt',
  'pump-current': 'milliampere',
  'air-flow': 'gram-per-second',
  'manifold-pressure': 'kilopascal',
  'engine-speed': 'rpm',
  'vehicle-speed': 'km-per-hour',
  'coolant-temperature': 'celsius',
  'intake-temperature': 'celsius',
  'catalyst-temperature': 'celsius',
  'fuel-pressure': 'kilopascal',
  'battery-voltage': 'volt',
  'ignition-advance': 'degree',
  'short-term-trim': 'percent',
  'long-term-trim': 'percent',
  'total-trim': 'percent',
  'engine-load': 'percent',
  'throttle-position': 'percent',
};

/**
 * The column that a header names; null when it is none of ours.
 *
 * @param header as typed, with its unit in it or not
 * @param unit   the unit where the log gives it apart from the name
 */
export function readColumn(header: string, unit: string | null, knowledge: Knowledge): LogColumn | null {
  const text = foldText(
    header
      .replace(/[_]+/g, ' ')
      .replace(/([a-z])([A-Z])/g, '$1 $2')
      .slice(0, 120),
  );
  const tokens = splitTokens(text.folded);
  // What is commanded or relative is not measured; powers of ten and shares are other things by the same name.
  if (
    /\b(command|commanded|desired|target|requested|relative|barometric|ambient|average|wide range voltage|x1000|hp|kw|use percentage|pedal|accelerator|purge|evap|absolute throttle b|learn|status|since|with mil)\b/.test(
      text.folded,
    )
  )
    return null;
  const mentions = findMentions(tokens, knowledge, text.cased, () => true);
  if (mentions.some((mention) => mention.candidates.length === 0)) return null;
  const typedUnit = unit !== null && unit.trim() !== '' ? unitOf(unit) : unitIn(text.folded);
  const names = mentions.filter((mention) => mention.candidates.some(({ quantity }) => wanted.has(quantity)));
  const isTrimOfSensor =
    names.length > 1 &&
    names.some(({ candidates }) => candidates[0]!.quantity === 'sensor-voltage') &&
    names.some(({ candidates }) => candidates[0]!.quantity.endsWith('-trim'));
  if (names.length === 0 || isTrimOfSensor) return null;
  const fitting = names
    .at(-1)!
    .candidates.concat(names[0]!.candidates)
    .filter(({ quantity, strength }) => wanted.has(quantity) && (strength === 'name' || typedUnit !== null));
  const choice = fitting.find(
    ({ quantity }) => typedUnit === null || unitConversions[typedUnit][quantity] !== undefined,
  );
  if (!choice) return null;
  const { quantity } = choice;
  const unitId = typedUnit ?? standardUnit[quantity] ?? null;
  const convert = unitId === null ? (value: number) => value : unitConversions[unitId][quantity];
  if (!convert) return null;
  const place = findPlaces(tokens, splitChunks(tokens)).reduce<{ bank: number | null; sensor: number | null }>(
    (all, found) => ({ bank: found.bank ?? all.bank, sensor: found.sensor ?? all.sensor }),
    { bank: null, sensor: null },
  );
  const hasSensor =
    quantity === 'sensor-voltage' ||
    quantity === 'pump-current' ||
    quantity === 'lambda' ||
    quantity === 'air-fuel-ratio' ||
    quantity === 'catalyst-temperature';
  const hasBank = hasSensor || quantity.endsWith('-trim');
  return {
    quantity,
    bank: hasBank ? place.bank : null,
    sensor: hasSensor ? place.sensor : null,
    convert,
    unitAssumed: typedUnit === null && quantity !== 'lambda' && quantity !== 'air-fuel-ratio',
  };
}

/** The time column's factor to seconds; `clock` for 12:30:05.5; null when the header names no time. */
export function readTimeColumn(header: string): number | 'clock' | null {
  const name = header.trim().toLowerCase();
  if (
    !/^(time|timestamp|device time|gps time|engine run ?time|elapsed|t|seconds|run time|date|uhrzeit|zeit|log time|engine run tine)\b/.test(
      name,
    )
  )
    return null;
  if (/\bms\b|milli/.test(name)) return 0.001;
  if (/\bmin(ute)?s?\b/.test(name)) return 60;
  return /clock|date|stamp|device|gps/.test(name) ? 'clock' : 1;
}

function unitOf(typed: string): UnitId | null {
  const tokens = splitTokens(foldText(typed.trim()).folded);
  const unit = readUnit(tokens, 0);
  return unit && unit.last === tokens.length ? unit.unit : null;
}

/** The unit at the end of a header: "(km/h)", "[%]", "engine speed 1/min". */
function unitIn(folded: string): UnitId | null {
  const bracket = /[([]([^()[\]]{1,14})[)\]]\s*$/.exec(folded);
  if (bracket) return unitOf(bracket[1]!);
  const words = folded.trim().split(/\s+/);
  for (const count of [2, 1]) {
    if (words.length <= count) continue;
    const unit = unitOf(words.slice(-count).join(' '));
    if (unit) return unit;
  }
  return null;
}
