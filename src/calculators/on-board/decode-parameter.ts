// Bytes of one live-data parameter -> its figures.
import { type Result, refuse } from '../result.ts';
import { type Field, parameterOf, type SensorLayout } from './parameters.ts';

export interface Decoded extends Pick<Field, 'name' | 'unit' | 'quantity' | 'bank' | 'sensor'> {
  readonly value: number;
}

/** Figures that control units send for an input that is missing or not yet ready, by quantity; a value, but no measurement. */
const placeholders: Partial<Record<NonNullable<Field['quantity']>, readonly number[]>> = {
  'short-term-trim': [-100, 99.21875],
  'long-term-trim': [-100, 99.21875],
  'coolant-temperature': [215, -40],
  'intake-temperature': [215, -40],
};

/**
 * @param id    parameter number, 0x04 to 0x5E
 * @param bytes the data bytes behind it; surplus bytes are padding and ignored
 * @returns one entry a figure; a field that says "none" (FF in a sensor's trim byte) is left out. `placeholder` names the figures that are
 *          defaults of a missing input rather than measurements. Refused when the parameter is unknown or bytes are missing
 * Source: sae-j1979.
 */
export function decodeParameter(
  id: number,
  bytes: readonly number[],
  layout: SensorLayout = 'two-banks',
): Result<Decoded[], { placeholder: readonly string[] }> {
  const parameter = parameterOf(id, layout);
  if (!parameter) return refuse('That parameter is not one of the standard ones that I can read.');
  if (bytes.length < parameter.length) return refuse('The reply is too short for what it says it is.');
  const value: Decoded[] = [];
  const placeholder: string[] = [];
  for (const item of parameter.fields) {
    const high = bytes[item.at]!;
    const low = item.bytes === 2 ? bytes[item.at + 1]! : 0;
    if (!isByte(high) || !isByte(low)) return refuse('The reply holds something that is not a byte.');
    const raw = item.bytes === 2 ? 256 * high + low : high;
    if (raw === item.absent) continue;
    const { name, unit, quantity, bank, sensor } = item;
    const figure = (raw * item.multiply) / item.divide + item.add;
    value.push({ name, unit, quantity, bank, sensor, value: figure });
    if (quantity !== null && placeholders[quantity]?.includes(figure)) placeholder.push(name);
  }
  return { valid: true, value, placeholder };
}

function isByte(value: number): boolean {
  return Number.isInteger(value) && value >= 0 && value <= 255;
}
