// The live-data parameters of service 01 (and of freeze frames), as data: which bytes, which scale, which quantity. decode-parameter.ts
// and encode-parameter.ts read it; bit fields have files of their own.
// Source: sae-j1979 (from memory; every scale compared with a community list and with recorded replies).
import type { Quantity } from '../../vocabulary/quantities.ts';

/** One figure inside a parameter's bytes: value = raw x multiply / divide + add, raw unsigned, high byte first. */
export interface Field {
  readonly name: string;
  readonly unit: string;
  /** The vocabulary's quantity, where it has one and the unit is the same. */
  readonly quantity: Quantity | null;
  /** First byte after the parameter's own, and how many. */
  readonly at: number;
  readonly bytes: 1 | 2;
  readonly multiply: number;
  readonly divide: number;
  readonly add: number;
  readonly bank: number | null;
  readonly sensor: number | null;
  /** Raw value that says "there is none". */
  readonly absent: number | null;
}

export interface Parameter {
  /** Bytes that a reply holds. */
  readonly length: number;
  readonly fields: readonly Field[];
}

type Shape = Partial<Omit<Field, 'name' | 'unit'>>;

function field(name: string, unit: string, shape: Shape = {}): Field {
  return {
    name,
    unit,
    quantity: null,
    at: 0,
    bytes: 1,
    multiply: 1,
    divide: 1,
    add: 0,
    bank: null,
    sensor: null,
    absent: null,
    ...shape,
  };
}

const word = { bytes: 2 } as const;
const percent = { multiply: 100, divide: 255 } as const;
const trim = { multiply: 100, divide: 128, add: -100 } as const;
const celsius = { add: -40 } as const;

const single = (name: string, unit: string, shape: Shape = {}): Parameter => ({
  length: shape.bytes ?? 1,
  fields: [field(name, unit, shape)],
});

function trimOf(kind: 'short' | 'long', bank: number): Parameter {
  const quantity = `${kind}-term-trim` as const;
  return single(`${kind}-term trim`, '%', { ...trim, quantity, bank });
}

/** Place of the sensor behind each of the eight parameters of a block, two banks with four sensors, or four with two. */
export type SensorLayout = 'two-banks' | 'four-banks';

function placeOf(index: number, layout: SensorLayout): { bank: number; sensor: number } {
  return layout === 'two-banks'
    ? { bank: 1 + Math.floor(index / 4), sensor: 1 + (index % 4) }
    : { bank: 1 + Math.floor(index / 2), sensor: 1 + (index % 2) };
}

function block(first: number, make: (place: { bank: number; sensor: number }) => Parameter, layout: SensorLayout) {
  return Array.from({ length: 8 }, (_, index) => [first + index, make(placeOf(index, layout))] as const);
}

function twoPoint(place: { bank: number; sensor: number }): Parameter {
  return {
    length: 2,
    fields: [
      field('sensor voltage', 'V', { ...place, divide: 200, quantity: 'sensor-voltage' }),
      field('short-term trim of this sensor', '%', {
        bank: place.bank,
        ...trim,
        at: 1,
        absent: 255,
        quantity: 'short-term-trim',
      }),
    ],
  };
}

const ratio = { ...word, multiply: 2, divide: 65_536, quantity: 'lambda' } as const;

function wideRangeVoltage(place: { bank: number; sensor: number }): Parameter {
  return {
    length: 4,
    fields: [
      field('lambda', '1', { ...place, ...ratio }),
      // A wide-range circuit's own voltage: no two-point signal, so no quantity of the vocabulary.
      field('wide-range voltage', 'V', { ...place, ...word, at: 2, multiply: 8, divide: 65_536 }),
    ],
  };
}

function wideRangeCurrent(place: { bank: number; sensor: number }): Parameter {
  return {
    length: 4,
    fields: [
      field('lambda', '1', { ...place, ...ratio }),
      field('pump current', 'mA', { ...place, ...word, at: 2, divide: 256, add: -128, quantity: 'pump-current' }),
    ],
  };
}

const catalyst = (bank: number, sensor: number): Parameter =>
  single('catalyst temperature', 'degC', {
    ...word,
    divide: 10,
    add: -40,
    bank,
    sensor,
    quantity: 'catalyst-temperature',
  });

/** Trim from the rear sensors: two bytes, this bank and the one two further on. */
const rearTrim = (name: string, bank: number): Parameter =>
  single(`${name} from the rear sensor`, '%', { ...trim, bank });

function table(layout: SensorLayout): ReadonlyMap<number, Parameter> {
  return new Map<number, Parameter>([
    [0x04, single('calculated load', '%', { ...percent, quantity: 'engine-load' })],
    [0x05, single('coolant temperature', 'degC', { ...celsius, quantity: 'coolant-temperature' })],
    [0x06, trimOf('short', 1)],
    [0x07, trimOf('long', 1)],
    [0x08, trimOf('short', 2)],
    [0x09, trimOf('long', 2)],
    [0x0a, single('fuel pressure', 'kPa', { multiply: 3, quantity: 'fuel-pressure' })],
    [0x0b, single('manifold pressure', 'kPa', { quantity: 'manifold-pressure' })],
    [0x0c, single('engine speed', '1/min', { ...word, divide: 4, quantity: 'engine-speed' })],
    [0x0d, single('road speed', 'km/h', { quantity: 'vehicle-speed' })],
    [0x0e, single('ignition advance', 'deg', { divide: 2, add: -64, quantity: 'ignition-advance' })],
    [0x0f, single('intake air temperature', 'degC', { ...celsius, quantity: 'intake-temperature' })],
    [0x10, single('air flow', 'g/s', { ...word, divide: 100, quantity: 'air-flow' })],
    [0x11, single('throttle position', '%', { ...percent, quantity: 'throttle-position' })],
    ...block(0x14, twoPoint, layout),
    [0x1f, single('time since start', 's', word)],
    [0x21, single('distance with the lamp on', 'km', word)],
    [
      0x22,
      single('rail pressure over manifold', 'kPa', { ...word, multiply: 79, divide: 1000, quantity: 'fuel-pressure' }),
    ],
    [0x23, single('rail pressure', 'kPa', { ...word, multiply: 10, quantity: 'fuel-pressure' })],
    ...block(0x24, wideRangeVoltage, layout),
    [0x2c, single('commanded exhaust recirculation', '%', percent)],
    [0x2d, single('error of exhaust recirculation', '%', trim)],
    [0x2e, single('commanded purge', '%', percent)],
    [0x2f, single('fuel level', '%', percent)],
    [0x30, single('warm-ups since codes were cleared', '1')],
    [0x31, single('distance since codes were cleared', 'km', word)],
    [0x33, single('outside air pressure', 'kPa')],
    ...block(0x34, wideRangeCurrent, layout),
    [0x3c, catalyst(1, 1)],
    [0x3d, catalyst(2, 1)],
    [0x3e, catalyst(1, 2)],
    [0x3f, catalyst(2, 2)],
    [0x42, single('module voltage', 'V', { ...word, divide: 1000, quantity: 'battery-voltage' })],
    [0x43, single('absolute load', '%', { ...word, ...percent, quantity: 'engine-load' })],
    [0x44, single('commanded lambda', '1', { ...word, multiply: 2, divide: 65_536 })],
    [0x45, single('relative throttle position', '%', percent)],
    [0x46, single('outside temperature', 'degC', celsius)],
    [0x47, single('throttle position B', '%', percent)],
    [0x49, single('pedal position D', '%', percent)],
    [0x4a, single('pedal position E', '%', percent)],
    [0x4c, single('commanded throttle', '%', percent)],
    [0x4d, single('running time with the lamp on', 'min', word)],
    [0x4e, single('time since codes were cleared', 'min', word)],
    [0x52, single('ethanol in the fuel', '%', percent)],
    [0x55, rearTrim('short-term trim', 1)],
    [0x56, rearTrim('long-term trim', 1)],
    [0x57, rearTrim('short-term trim', 2)],
    [0x58, rearTrim('long-term trim', 2)],
    [0x59, single('rail pressure, absolute', 'kPa', { ...word, multiply: 10 })],
    [0x5a, single('relative pedal position', '%', percent)],
    [0x5c, single('oil temperature', 'degC', celsius)],
    [0x5e, single('fuel rate', 'L/h', { ...word, divide: 20 })],
  ]);
}

const byLayout: Readonly<Record<SensorLayout, ReadonlyMap<number, Parameter>>> = {
  'two-banks': table('two-banks'),
  'four-banks': table('four-banks'),
};

/** Ids of all scaled parameters, rising. */
export const parameterIds: readonly number[] = [...byLayout['two-banks'].keys()].sort((a, b) => a - b);

/** @param layout which sensors the car has: parameter 13 says two banks, parameter 1D four */
export function parameterOf(id: number, layout: SensorLayout = 'two-banks'): Parameter | null {
  return byLayout[layout].get(id) ?? null;
}
