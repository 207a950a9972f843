// Figures and conditions in plain words, for the lines that results say.
import type { Condition } from '../vocabulary/quantities.ts';

const conditionWords: Record<Condition, string> = {
  cold: 'cold',
  idle: 'at idle',
  '2500rpm': 'at 2,500 rpm',
  cruise: 'at steady road speed',
  load: 'under load',
  'cruise-steady': 'at steady road speed',
  overrun: 'coasting in gear',
  'key-on': 'with the ignition on and the engine off',
  'after-refuelling': 'after refuelling',
};

/** "at idle"; empty when no condition was stated. */
export function inWords(when: string | null | undefined): string {
  return when !== null && when !== undefined && when in conditionWords ? conditionWords[when as Condition] : '';
}

/** "Bank 2 at idle", "At idle", "Bank 1", or the word given for neither. */
export function placeInWords(
  bank: number | null | undefined,
  when: string | null | undefined,
  otherwise: string,
): string {
  const parts = [bank ? `bank ${bank}` : '', inWords(when)].filter((part) => part !== '');
  const words = parts.length > 0 ? parts.join(' ') : otherwise;
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** A figure rounded to so many decimals, without trailing zeros beyond it. */
export function figure(value: number, decimals: number): string {
  const rounded = value.toFixed(decimals);
  return Number(rounded) === 0 ? (0).toFixed(decimals) : rounded;
}

/** The same with its sign, "+8", "-2.3". */
export function signed(value: number, decimals: number): string {
  const text = figure(value, decimals);
  return Number(text) > 0 ? `+${text}` : text;
}
