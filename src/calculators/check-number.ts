// The one check on every figure that a calculator takes: it is a number, and one that the quantity can have.
import { type Refusal, refuse } from './result.ts';

/**
 * @param name what it is, in plain words, as it begins a sentence ("CO", "The short-term trim")
 * @param low  lowest possible value, in the same unit
 * @param high highest possible value
 * @param unit as shown to people; empty for a plain number
 * @param hint what may have gone wrong, a sentence of its own
 * @returns null when the figure will do
 */
export function checkNumber(
  name: string,
  value: number,
  low: number,
  high: number,
  unit: string,
  hint = '',
): Refusal | null {
  if (value >= low && value <= high) return null;
  const about = hint === '' ? '' : ` ${hint}`;
  if (!Number.isFinite(value)) return refuse(`${name} is not a number that can be used.${about}`);
  const shown = `${Number(value.toPrecision(6))}${unit === '' ? '' : ` ${unit}`}`;
  return refuse(
    value < low && low === 0
      ? `${name} of ${shown} is below zero, which is not possible.${about}`
      : `${name} of ${shown} is outside what is possible (${low} to ${high}${unit === '' ? '' : ` ${unit}`}).${about}`,
  );
}
