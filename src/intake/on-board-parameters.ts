// Which figures of an on-board parameter count as readings of a post. The bytes themselves are decoded by
// calculators/on-board; read-bytes.ts calls this file.
import { decodeParameter } from '../calculators/on-board/decode-parameter.ts';
import { parameterLength } from '../calculators/on-board/decode-reply.ts';
import type { Quantity } from '../vocabulary/quantities.ts';

export interface ParameterReading {
  readonly quantity: Quantity;
  readonly value: number;
  readonly bank: number | null;
  readonly sensor: number | null;
}

/**
 * Reading of a reply stops at these: the rear trims (55 to 58) have one byte or two by the number of banks, and 4F, 59 and 60 hold no
 * quantity of ours.
 */
const stops = new Set([0x4f, 0x55, 0x56, 0x57, 0x58, 0x59, 0x60]);

/** Absolute load: above 100 % under boost, so not comparable with the calculated load (04) that posts call engine load. */
const absoluteLoad = 0x43;

/** Data bytes of a parameter; null when the rest of the reply cannot be stepped through. */
export function readableLength(parameter: number): number | null {
  return stops.has(parameter) ? null : parameterLength(parameter);
}

/**
 * Readings in the data bytes of one parameter; empty when it holds none of ours or the bytes say "not used". Sensors 14 to 1B, 24 to 2B
 * and 34 to 3B are taken as four on each of two banks, the usual layout (parameter 13).
 */
export function readParameter(parameter: number, bytes: readonly number[]): ParameterReading[] {
  if (parameter === absoluteLoad || stops.has(parameter)) return [];
  const decoded = decodeParameter(parameter, bytes);
  if (!decoded.valid) return [];
  return decoded.value.flatMap(({ quantity, value, bank, sensor }) =>
    quantity === null || isUnused(parameter, quantity, bytes)
      ? []
      : [{ quantity, value: Number(value.toPrecision(9)), bank, sensor }],
  );
}

/** All ones: of a trim (06 to 09) a bank that is not there, of a wide-range sensor (24 to 3B) no value. */
function isUnused(parameter: number, quantity: Quantity, bytes: readonly number[]): boolean {
  if (parameter >= 0x06 && parameter <= 0x09) return bytes[0] === 0xff;
  if (quantity === 'lambda') return bytes[0] === 0xff && bytes[1] === 0xff;
  if (quantity === 'pump-current') return bytes[2] === 0xff && bytes[3] === 0xff;
  return false;
}
