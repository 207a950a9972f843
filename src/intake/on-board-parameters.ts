// What the data bytes of on-board replies mean: for each parameter its length and the readings in it. read-bytes.ts calls it.
// Source: SAE J1979 / ISO 15031-5, service 01 parameter table (scales from memory, checked in tests against decoded replies of two
// general-purpose libraries and of a community signal list).
import type { Quantity } from '../vocabulary/quantities.ts';

export interface ParameterReading {
  readonly quantity: Quantity;
  readonly value: number;
  readonly bank: number | null;
  readonly sensor: number | null;
}

interface Parameter {
  /** Data bytes. */
  readonly length: number;
  readonly read: (bytes: readonly number[]) => ParameterReading[];
}

const word = (bytes: readonly number[], at = 0) => bytes[at]! * 256 + bytes[at + 1]!;
const trim = (byte: number) => ((byte - 128) * 100) / 128;
const nothing = () => [];

function one(quantity: Quantity, length: number, value: (bytes: readonly number[]) => number): Parameter {
  return { length, read: (bytes) => [{ quantity, value: value(bytes), bank: null, sensor: null }] };
}

/** Trim bytes: the second, where present, is of bank 3 or 4; 0xFF stands for a bank that is not there. */
function trims(quantity: Quantity, bank: number): Parameter {
  return { length: 1, read: ([byte]) => (byte === 0xff ? [] : [{ quantity, value: trim(byte!), bank, sensor: null }]) };
}

/** Conventional sensor: volts, and the short-term trim of its bank unless the byte says that it is not used for trim. */
function sensor(bank: number, position: number): Parameter {
  return {
    length: 2,
    read: ([volts, share]) => [
      { quantity: 'sensor-voltage', value: volts! / 200, bank, sensor: position },
      ...(share === 0xff ? [] : [{ quantity: 'short-term-trim' as const, value: trim(share!), bank, sensor: null }]),
    ],
  };
}

/** Wide-range sensor: lambda, with volts (24 to 2B) or pump current (34 to 3B). All ones: no value. */
function wideRange(bank: number, position: number, second: 'volts' | 'current'): Parameter {
  return {
    length: 4,
    read: (bytes) => {
      const readings: ParameterReading[] = [];
      if (word(bytes) !== 0xffff)
        readings.push({ quantity: 'lambda', value: (word(bytes) * 2) / 65_536, bank, sensor: position });
      if (word(bytes, 2) === 0xffff) return readings;
      if (second === 'current')
        readings.push({ quantity: 'pump-current', value: word(bytes, 2) / 256 - 128, bank, sensor: position });
      return readings;
    },
  };
}

const table = new Map<number, Parameter>([
  [0x00, { length: 4, read: nothing }],
  [0x01, { length: 4, read: nothing }],
  [0x02, { length: 2, read: nothing }],
  [0x03, { length: 2, read: nothing }],
  [0x04, one('engine-load', 1, ([a]) => (a! * 100) / 255)],
  [0x05, one('coolant-temperature', 1, ([a]) => a! - 40)],
  [0x06, trims('short-term-trim', 1)],
  [0x07, trims('long-term-trim', 1)],
  [0x08, trims('short-term-trim', 2)],
  [0x09, trims('long-term-trim', 2)],
  [0x0a, one('fuel-pressure', 1, ([a]) => a! * 3)],
  [0x0b, one('manifold-pressure', 1, ([a]) => a!)],
  [0x0c, one('engine-speed', 2, (bytes) => word(bytes) / 4)],
  [0x0d, one('vehicle-speed', 1, ([a]) => a!)],
  [0x0e, one('ignition-advance', 1, ([a]) => a! / 2 - 64)],
  [0x0f, one('intake-temperature', 1, ([a]) => a! - 40)],
  [0x10, one('air-flow', 2, (bytes) => word(bytes) / 100)],
  [0x11, one('throttle-position', 1, ([a]) => (a! * 100) / 255)],
  [0x12, { length: 1, read: nothing }],
  [0x13, { length: 1, read: nothing }],
  [0x1c, { length: 1, read: nothing }],
  [0x1d, { length: 1, read: nothing }],
  [0x1e, { length: 1, read: nothing }],
  [0x1f, { length: 2, read: nothing }],
  [0x20, { length: 4, read: nothing }],
  [0x21, { length: 2, read: nothing }],
  [0x22, one('fuel-pressure', 2, (bytes) => word(bytes) * 0.079)],
  [0x23, one('fuel-pressure', 2, (bytes) => word(bytes) * 10)],
  [0x2c, { length: 1, read: nothing }],
  [0x2d, { length: 1, read: nothing }],
  [0x2e, { length: 1, read: nothing }],
  [0x2f, { length: 1, read: nothing }],
  [0x30, { length: 1, read: nothing }],
  [0x31, { length: 2, read: nothing }],
  [0x33, { length: 1, read: nothing }],
  [0x3c, one('catalyst-temperature', 2, (bytes) => word(bytes) / 10 - 40)],
  [0x3d, one('catalyst-temperature', 2, (bytes) => word(bytes) / 10 - 40)],
  [0x3e, one('catalyst-temperature', 2, (bytes) => word(bytes) / 10 - 40)],
  [0x3f, one('catalyst-temperature', 2, (bytes) => word(bytes) / 10 - 40)],
  [0x40, { length: 4, read: nothing }],
  [0x41, { length: 4, read: nothing }],
  [0x42, one('battery-voltage', 2, (bytes) => word(bytes) / 1000)],
  [0x43, { length: 2, read: nothing }],
  [0x44, { length: 2, read: nothing }],
  [0x45, { length: 1, read: nothing }],
  [0x46, { length: 1, read: nothing }],
  [0x47, { length: 1, read: nothing }],
  [0x49, { length: 1, read: nothing }],
  [0x4a, { length: 1, read: nothing }],
  [0x4c, { length: 1, read: nothing }],
  [0x4d, { length: 2, read: nothing }],
  [0x4e, { length: 2, read: nothing }],
  [0x51, { length: 1, read: nothing }],
  [0x52, { length: 1, read: nothing }],
  [0x5a, { length: 1, read: nothing }],
  [0x5b, { length: 1, read: nothing }],
  [0x5c, { length: 1, read: nothing }],
  [0x5e, { length: 2, read: nothing }],
]);
// Sensors 14 to 17 sit on bank 1 and 18 to 1B on bank 2 where the car reports its sensors by parameter 13, the usual layout.
for (let index = 0; index < 8; index += 1) {
  const [bank, position] = [index < 4 ? 1 : 2, (index % 4) + 1];
  table.set(0x14 + index, sensor(bank, position));
  table.set(0x24 + index, wideRange(bank, position, 'volts'));
  table.set(0x34 + index, wideRange(bank, position, 'current'));
}
const catalystPlaces = [
  [1, 1],
  [2, 1],
  [1, 2],
  [2, 2],
] as const;
catalystPlaces.forEach(([bank, position], index) => {
  table.set(0x3c + index, {
    length: 2,
    read: (bytes) => [{ quantity: 'catalyst-temperature', value: word(bytes) / 10 - 40, bank, sensor: position }],
  });
});

/** Data bytes of a parameter; null when the table does not hold it. */
export function parameterLength(parameter: number): number | null {
  return table.get(parameter)?.length ?? null;
}

/** Readings in the data bytes of one parameter; empty when it holds none of ours or the bytes say "not used". */
export function decodeParameter(parameter: number, bytes: readonly number[]): ParameterReading[] {
  const entry = table.get(parameter);
  if (!entry || bytes.length < entry.length) return [];
  return entry
    .read(bytes.slice(0, entry.length))
    .map((reading) => ({ ...reading, value: Number(reading.value.toPrecision(9)) }));
}

/**
 * Two bytes of a trouble code as the standard writes it; null for the filler 0000.
 * Source: ISO 15031-6: two bits letter, two bits first digit, three hexadecimal digits.
 */
export function decodeTroubleCode(high: number, low: number): string | null {
  if (high === 0 && low === 0) return null;
  return `${'PCBU'[high >> 6]}${(high >> 4) & 3}${(high & 15).toString(16)}${low.toString(16).padStart(2, '0')}`.toUpperCase();
}
