// Parameters whose bytes stand for words: fuel system status (03), sensors present (13, 1D), on-board standard (1C) and fuel (51).
import { type Result, refuse } from '../result.ts';

/** Meaning of each status bit of parameter 03. Trims mean something only in closed loop. Source: sae-j1979, parameter 03. */
const fuelSystem = new Map<number, string>([
  [0x00, 'off'],
  [0x01, 'open-loop-not-ready'],
  [0x02, 'closed-loop'],
  [0x04, 'open-loop-driving'],
  [0x08, 'open-loop-fault'],
  [0x10, 'closed-loop-sensor-fault'],
]);

/**
 * @param bytes A for the first fuel system, B for the second
 * @returns status of each; exactly one bit may be set
 */
export function decodeFuelSystem(bytes: readonly number[]): Result<[string, string]> {
  const first = fuelSystem.get(bytes[0] ?? -1);
  const second = fuelSystem.get(bytes[1] ?? 0);
  if (first === undefined || second === undefined)
    return refuse('That fuel system status is none that the standard knows.');
  return { valid: true, value: [first, second] };
}

export function encodeFuelSystem(statuses: readonly [string, string]): Result<[number, number]> {
  const byteOf = (status: string) => [...fuelSystem].find(([, name]) => name === status)?.[0];
  const first = byteOf(statuses[0]);
  const second = byteOf(statuses[1]);
  if (first === undefined || second === undefined)
    return refuse('That fuel system status is none that the standard knows.');
  return { valid: true, value: [first, second] };
}

export interface SensorPlace {
  readonly bank: number;
  readonly sensor: number;
}

/**
 * @param parameter 0x13 (two banks of four) or 0x1D (four banks of two); a car answers one of them
 * @returns the oxygen sensors that the car has, in the order of the bits
 * Source: sae-j1979, parameters 13 and 1D.
 */
export function decodeSensorsPresent(parameter: 0x13 | 0x1d, byte: number): Result<SensorPlace[]> {
  if (!(Number.isInteger(byte) && byte >= 0 && byte <= 255)) return refuse('The sensor list must be one byte.');
  const perBank = parameter === 0x13 ? 4 : 2;
  const value: SensorPlace[] = [];
  for (let bit = 0; bit < 8; bit += 1)
    if (byte & (1 << bit)) value.push({ bank: 1 + Math.floor(bit / perBank), sensor: 1 + (bit % perBank) });
  return { valid: true, value };
}

export function encodeSensorsPresent(parameter: 0x13 | 0x1d, sensors: readonly SensorPlace[]): Result<number> {
  const perBank = parameter === 0x13 ? 4 : 2;
  let byte = 0;
  for (const { bank, sensor } of sensors) {
    const bit = (bank - 1) * perBank + sensor - 1;
    if (!(sensor >= 1 && sensor <= perBank && bit >= 0 && bit <= 7))
      return refuse('That sensor has no place in this list.');
    byte |= 1 << bit;
  }
  return { valid: true, value: byte };
}

/** Parameter 51 by byte; 0 is "not available". Source: sae-j1979, table of fuel types. */
const fuelTypes = [
  'none',
  'petrol',
  'methanol',
  'ethanol',
  'diesel',
  'lpg',
  'cng',
  'propane',
  'electric',
  'bi-fuel on petrol',
  'bi-fuel on methanol',
  'bi-fuel on ethanol',
  'bi-fuel on lpg',
  'bi-fuel on cng',
  'bi-fuel on propane',
  'bi-fuel on electricity',
  'electric and combustion',
  'hybrid petrol',
  'hybrid ethanol',
  'hybrid diesel',
  'hybrid electric',
  'hybrid mixed',
  'hybrid regenerative',
  'bi-fuel on diesel',
] as const;

export function decodeFuelType(byte: number): Result<(typeof fuelTypes)[number]> {
  const value = fuelTypes[byte];
  return value === undefined ? refuse('That fuel type is none that the standard knows.') : { valid: true, value };
}

/** Parameter 1C by byte, from 1. Source: sae-j1979, table of requirements. */
const standards = [
  'OBD II (CARB)',
  'OBD (EPA)',
  'OBD and OBD II',
  'OBD I',
  'none',
  'EOBD',
  'EOBD and OBD II',
  'EOBD and OBD',
  'EOBD, OBD and OBD II',
  'JOBD',
  'JOBD and OBD II',
  'JOBD and EOBD',
  'JOBD, EOBD and OBD II',
] as const;

export function decodeStandard(byte: number): Result<(typeof standards)[number]> {
  const value = standards[byte - 1];
  return value === undefined ? refuse('That on-board standard is none that I know.') : { valid: true, value };
}
