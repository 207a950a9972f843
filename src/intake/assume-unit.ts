// The unit of a number that was typed without one, judged by its quantity and size; readings made so are marked `unitAssumed`.
import type { Quantity } from '../vocabulary/quantities.ts';
import type { UnitId } from './units.ts';

/** Where the writer seems to live: decides miles or kilometres, US or imperial gallons, Fahrenheit or Celsius. */
export interface Habits {
  readonly gallon: 'us' | 'imperial';
  readonly metric: boolean;
}

type Rule = readonly [low: number, high: number, unit: UnitId];

/** For each quantity the ranges of typed numbers (by size, sign ignored) and the unit that each range suggests. Judgement: ranges that do not overlap in practice. */
const rules: Partial<Record<Quantity, readonly Rule[]>> = {
  'short-term-trim': [[0, 100, 'percent']],
  'long-term-trim': [[0, 100, 'percent']],
  'total-trim': [[0, 150, 'percent']],
  'sensor-voltage': [
    [0, 2, 'volt'],
    [10, 1275, 'millivolt'],
  ],
  'pump-current': [[0, 30, 'milliampere']],
  'gas-co': [
    [0, 15, 'percent'],
    [15.0001, 99_999, 'percent'],
  ],
  'gas-co2': [[0, 99, 'percent']],
  'gas-o2': [[0, 99, 'percent']],
  'gas-hc': [[0, 30_000, 'ppm']],
  'gas-nox': [[0, 10_000, 'ppm']],
  'air-flow': [[0, 700, 'gram-per-second']],
  'manifold-pressure': [
    [0.2, 3, 'bar'],
    [10, 255, 'kilopascal'],
  ],
  'engine-speed': [
    [0, 0, 'rpm'],
    [250, 20_000, 'rpm'],
  ],
  'vehicle-speed': [[0, 300, 'mile-per-hour']],
  'coolant-temperature': [
    [0, 125, 'celsius'],
    [125.0001, 300, 'fahrenheit'],
  ],
  'intake-temperature': [
    [0, 80, 'celsius'],
    [80.0001, 300, 'fahrenheit'],
  ],
  'engine-load': [[0, 400, 'percent']],
  'throttle-position': [[0, 110, 'percent']],
  'fuel-pressure': [
    [1, 10, 'bar'],
    [20, 110, 'psi'],
    [150, 900, 'kilopascal'],
    [1000, 4000, 'psi'],
  ],
  'heater-resistance': [[0.5, 100, 'ohm']],
  'battery-voltage': [[6, 32, 'volt']],
  'fuel-consumption': [[7, 70, 'mile-per-gallon']],
  distance: [[1000, 1_000_000, 'mile']],
  'catalyst-temperature': [
    [200, 1000, 'celsius'],
    [1000.0001, 2200, 'fahrenheit'],
  ],
  'ignition-advance': [[0, 60, 'degree']],
  switches: [[0, 50, 'hertz']],
  compression: [
    [5, 25, 'bar'],
    [60, 260, 'psi'],
    [500, 2500, 'kilopascal'],
  ],
  'back-pressure': [[0.1, 15, 'psi']],
  'edge-time': [[15, 5000, 'millisecond']],
};

/** Unit for a bare number of a quantity; `none` for the two that have no unit; null when its size says that it is something else. */
export function assumeUnit(quantity: Quantity, value: number, habits: Habits): UnitId | 'none' | null {
  if (quantity === 'lambda') return value >= 0.4 && value <= 12 ? 'none' : null;
  if (quantity === 'air-fuel-ratio') return value >= 7 && value <= 30 ? 'none' : null;
  if (quantity === 'misfire-count') return Number.isInteger(value) && value >= 0 ? 'none' : null;
  if (quantity === 'distance' && habits.metric && Math.abs(value) >= 1000) return 'kilometre';
  if (
    (quantity === 'coolant-temperature' || quantity === 'intake-temperature') &&
    !habits.metric &&
    habits.gallon === 'us' &&
    value > 100
  )
    return 'fahrenheit';
  if (quantity === 'vehicle-speed' && habits.metric) return 'km-per-hour';
  if (quantity === 'fuel-consumption' && habits.metric && value <= 25) return 'litre-per-100-km';
  const size = Math.abs(value);
  return rules[quantity]?.find(([low, high]) => size >= low && size <= high)?.[2] ?? null;
}

/** Reads a writer's habits from the words of a post: spelling, tests and units of one country or another. */
export function habitsOf(folded: string): Habits {
  const uk =
    /\b(mot|petrol|litres?|tyres?|bonnet|motorway|garage in|tickover|\u00a3|uk|quid|exhaust centre|colour|vosa|v5|aircon|windscreen|boot|vauxhall|nct)\b|\u00a3/.test(
      folded,
    );
  const us =
    /\b(smog|gas mileage|gas station|gasoline|california|freeway|tires?|hood|muffler|dollars|bucks|emissions state)\b|\$/.test(
      folded,
    );
  const metric =
    /\b(\d{1,9} ?(km|kms|kph|km\/h|kilomet(er|re)s)|l\/100|kilomet(er|re)s?)\b/.test(folded) &&
    !/\b\d{1,9} ?(mi|miles)\b/.test(folded);
  return { gallon: uk && !us ? 'imperial' : 'us', metric };
}
