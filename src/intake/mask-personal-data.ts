// Masks what names or finds a person before a text is logged, or shown or stored outside the inbox: vehicle identification
// numbers (maker, type and year stay), mail addresses, telephone numbers, plates, positions, bank and card numbers, streets.
// Readings, codes and mileages must survive: a mask that eats "0.45 0.12 0.8 V" would spoil the record.

import { maskPhones } from './mask-phones.ts';
import { maskPositions } from './mask-positions.ts';

/** Text with personal data replaced by what it was, in square brackets. Linear; takes any string. */
export function maskPersonalData(text: string): string {
  let masked = text;
  for (const { pattern, replace } of first) masked = masked.replace(pattern, replace);
  masked = maskPhones(maskPositions(masked));
  for (const { pattern, replace } of last) masked = masked.replace(pattern, replace);
  return masked;
}

interface Mask {
  /** Bounded, without nested repeats. */
  readonly pattern: RegExp;
  readonly replace: (found: string, ...groups: string[]) => string;
}

/** What the masks of positions and telephones could tear apart comes first. */
const first: readonly Mask[] = [
  // Mail, plain and written out.
  { pattern: /[A-Za-z0-9._%+-]{1,64}@[A-Za-z0-9-]{1,63}(?:\.[A-Za-z0-9-]{1,63}){1,5}/g, replace: () => '[mail]' },
  {
    pattern:
      /(?<![A-Za-z0-9._%+-])[A-Za-z0-9._%+-]{1,64}(?:\s?[([]\s?at\s?[)\]]\s?|\s?@\s?|\sat\s)[A-Za-z0-9-]{1,63}(?:(?:\s?[([]\s?dot\s?[)\]]\s?|\sdot\s)[A-Za-z0-9-]{1,63}){1,4}/gi,
    replace: (found) => (topDomains.test(found) ? '[mail]' : found),
  },
  {
    pattern:
      /(?<![A-Za-z0-9._%+-])[A-Za-z0-9._%+-]{1,64}\s?[([]\s?at\s?[)\]]\s?[A-Za-z0-9-]{1,63}(?:\.[A-Za-z0-9-]{1,63}){1,4}/gi,
    replace: () => '[mail]',
  },
  // Vehicle identification numbers: with a right check digit, or named as such.
  {
    pattern:
      /\b((?:V\.?I\.?N|chassis|frame)\b\.?(?:\s?(?:number|num|no|nr|#|is|:|\.|-|=)){0,3}\s{0,2}[:#]?\s{0,2})([A-HJ-NPR-Za-hj-npr-z0-9]{17})\b/gi,
    replace: (_found, lead, number) => `${lead}${maskNumber(number ?? '')}`,
  },
  {
    pattern:
      /\b((?:V\.?I\.?N|chassis|frame)\b\.?(?:\s?(?:number|num|no|nr|#|is|:|\.|-|=)){0,3}\s{0,2}[:#]?\s{0,2})([A-HJ-NPR-Z0-9]{2,9}(?:[ -][A-HJ-NPR-Z0-9]{1,9}){1,4})\b/g,
    replace: (found, lead, number) => {
      const plain = (number ?? '').replaceAll(/[ -]/g, '');
      return plain.length === 17 ? `${lead}${maskNumber(plain)}` : found;
    },
  },
  {
    pattern: /\b[A-HJ-NPR-Za-hj-npr-z0-9]{17}\b/g,
    replace: (found) => (hasCheckDigit(found) || looksLikeNumber(found) ? maskNumber(found) : found),
  },
  // Bank accounts and cards, by their check sums.
  {
    pattern: /\b[A-Z]{2}\d{2}(?: ?[A-Z0-9]{4}){2,7}(?: ?[A-Z0-9]{1,3})?\b/g,
    replace: (found) => (isAccount(found) ? '[account]' : found),
  },
  {
    pattern: /(?<![\w.-])(?:\d{4}[ -]?\d{4}[ -]?\d{4}[ -]?\d{1,7}|3[47]\d{2}[ -]?\d{6}[ -]?\d{5})(?![\w-]|\.\d)/g,
    replace: (found) => (isCard(found) ? '[card]' : found),
  },
];

const topDomains =
  /(?:com|net|org|de|uk|co|fr|eu|io|info|edu|us|ca|au|nl|ie|es|it|gov|biz|me|at|ch|be|se|no|dk|pl|nz|za|in)$/i;

const last: readonly Mask[] = [
  // Plates: behind a word for them; in capitals, with a digit and a letter.
  {
    pattern:
      /\b((?:licen[cs]e plates?|number plates?|registration|reg|rego)\b(?:\s?(?:number|no|nr|is|was|:|#|\.)){0,3}\s{0,2})([A-Z0-9]{1,7}(?:[ -][A-Z0-9]{1,4}){0,2})(?![a-z0-9])/g,
    replace: (found, lead, plate) => (isPlate(plate ?? '') ? `${lead}[plate]` : found),
  },
  {
    pattern:
      /\b((?:licen[cs]e plates?|number plates?|plates?|registration|reg|rego|tag)\b(?:\s?(?:number|no|nr|is|was|:|#|\.)){1,3}\s{0,2})([A-Za-z0-9]{1,4}[ -]?[A-Za-z0-9]{1,4}(?:[ -]?[A-Za-z0-9]{1,4})?)\b/gi,
    replace: (found, lead, plate) => (isPlate(plate ?? '') ? `${lead}[plate]` : found),
  },
  { pattern: /\b(?!MY)[A-Z]{2}\d{2} ?[A-Z]{3}\b/g, replace: () => '[plate]' },
  // Streets with a house number.
  {
    pattern:
      /\b\d{1,5}[A-Za-z]? (?:[A-Z][a-z'.-]{1,20} ){1,3}(?:Street|St|Road|Rd|Avenue|Ave|Lane|Ln|Drive|Dr|Court|Ct|Boulevard|Blvd|Close|Crescent|Terrace|Way|Place|Pl|Square)\b(?:\.?,? (?:[A-Z][a-z]{1,20}(?: [A-Z][a-z]{1,20})?),? (?:[A-Z]{2} \d{5}|[A-Z]{1,2}\d[A-Z\d]? ?\d[A-Z]{2}))?/g,
    replace: () => '[address]',
  },
];

/** Five places or more, letters and digits, not a model year before a name. */
function isPlate(plate: string): boolean {
  const plain = plate.replaceAll(/[ -]/g, '');
  if (plain.length < 4 || !/\d/.test(plain) || !/[A-Za-z]/.test(plain)) return false;
  return !/^(?:19|20)\d{2}(?:[ -]|[A-Za-z])/.test(plate) && !/^(?:\d{1,3}) [a-z]/.test(plate);
}

/** In capitals, with a serial number of five digits at its end: a number of the countries that set no check digit. */
function looksLikeNumber(found: string): boolean {
  return /^[A-Z0-9]{12}\d{5}$/.test(found) && found.replaceAll(/\d/g, '').length >= 5;
}

/** Keeps places 1 to 8 and 10 (maker, type, engine, year); hides the check digit, the works and the serial number. */
function maskNumber(number: string): string {
  return `${number.slice(0, 8)}*${number.slice(9, 10)}*******`;
}

const letterValues: ReadonlyMap<string, number> = new Map(
  [...'ABCDEFGH']
    .map((letter, index): [string, number] => [letter, index + 1])
    .concat([...'JKLMN'].map((letter, index): [string, number] => [letter, index + 1]))
    .concat([
      ['P', 7],
      ['R', 9],
    ])
    .concat([...'STUVWXYZ'].map((letter, index): [string, number] => [letter, index + 2])),
);
const placeWeights = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2] as const;

/** Whether the ninth place of a vehicle identification number is the check digit of the others (49 CFR 565.15). */
export function hasCheckDigit(number: string): boolean {
  const upper = number.toUpperCase();
  if (upper.length !== 17 || !/\d/.test(upper)) return false;
  let sum = 0;
  for (let index = 0; index < 17; index += 1) {
    const character = upper[index]!;
    const value = character >= '0' && character <= '9' ? Number(character) : letterValues.get(character);
    if (value === undefined) return false;
    sum += value * placeWeights[index]!;
  }
  const check = sum % 11 === 10 ? 'X' : String(sum % 11);
  return upper[8] === check;
}

/** Luhn's check sum. */
function isCard(found: string): boolean {
  const digits = found.replaceAll(/\D/g, '');
  if (digits.length < 13 || digits.length > 19 || !/^[2-6]/.test(digits)) return false;
  let sum = 0;
  for (let index = 0; index < digits.length; index += 1) {
    const digit = Number(digits[digits.length - 1 - index]);
    const doubled = index % 2 === 1 ? digit * 2 : digit;
    sum += doubled > 9 ? doubled - 9 : doubled;
  }
  return sum % 10 === 0;
}

/** ISO 13616: the number with its first four places moved to the end, letters as 10 to 35, leaves 1 modulo 97. */
function isAccount(found: string): boolean {
  const plain = found.replaceAll(' ', '');
  if (plain.length < 15 || plain.length > 34) return false;
  let rest = 0;
  for (const character of plain.slice(4) + plain.slice(0, 4)) {
    const value = Number.parseInt(character, 36);
    rest = (rest * (value > 9 ? 100 : 10) + value) % 97;
  }
  return rest === 1;
}
