// Masks what names or finds a person before a text is logged, or shown or stored outside the inbox: vehicle identification
// numbers (maker, type and year stay), mail addresses, telephone numbers, plates, positions, bank and card numbers, streets.
// Readings, codes and mileages must survive: a mask that eats "0.45 0.12 0.8 V" would spoil the record.

/** Text with personal data replaced by what it was, in square brackets. Linear; takes any string. */
export function maskPersonalData(text: string): string {
  let masked = text;
  for (const { pattern, replace } of masks) masked = masked.replace(pattern, replace);
  return masked;
}

interface Mask {
  /** Bounded, without nested repeats. */
  readonly pattern: RegExp;
  readonly replace: (found: string, ...groups: string[]) => string;
}

/** In order: what another mask could tear apart comes first. */
const masks: readonly Mask[] = [
  // Mail, plain and written out.
  { pattern: /[A-Za-z0-9._%+-]{1,64}@[A-Za-z0-9-]{1,63}(?:\.[A-Za-z0-9-]{1,63}){1,5}/g, replace: () => '[mail]' },
  {
    pattern:
      /\b[A-Za-z0-9._%+-]{1,64} ?[([]? ?(?:at|AT) ?[)\]]? ?[A-Za-z0-9-]{2,63} ?[([]? ?(?:dot|DOT) ?[)\]]? ?(?:com|net|org|de|uk|co|fr|eu|io|info|edu|us|ca|au|nl|ie)\b/g,
    replace: () => '[mail]',
  },
  // Positions: map links, ISO 6709, and pairs of degrees with four decimals or more.
  {
    pattern: /\bhttps?:\/\/[^\s]{0,80}(?:maps|goo\.gl|osm|openstreetmap|w3w|what3words)[^\s]{0,300}/gi,
    replace: () => '[position]',
  },
  { pattern: /[+-]\d{2,3}\.\d{2,8}[+-]\d{2,3}\.\d{2,8}(?:[+-]\d{1,6}(?:\.\d{1,4})?)?\//g, replace: () => '[position]' },
  {
    pattern:
      /(?<![\d.])(?<!\d[,;]? )-?\d{1,2}\.\d{4,10}\u00b0?\s?[NSns]?\s?[,;\s]\s?-?\d{1,3}\.\d{4,10}\u00b0?\s?[EWew]?(?![\d.]|[,;]? ?-?\d)/g,
    replace: (found) => (isPosition(found) ? '[position]' : found),
  },
  {
    pattern:
      /\b\d{1,2}\u00b0\s?\d{1,2}['\u2019\u2032]\s?(?:\d{1,2}(?:\.\d{1,3})?["\u201d\u2033])?\s?[NS],?\s{0,2}\d{1,3}\u00b0\s?\d{1,2}['\u2019\u2032]\s?(?:\d{1,2}(?:\.\d{1,3})?["\u201d\u2033])?\s?[EW]\b/g,
    replace: () => '[position]',
  },
  // Vehicle identification numbers: with a right check digit, or named as such.
  {
    pattern:
      /\b((?:VIN|vin|Vin|chassis|Chassis|frame)(?:\s?(?:number|no|nr|#|is|:|\.)){0,3}\s{0,2}[:#]?\s{0,2})([A-HJ-NPR-Za-hj-npr-z0-9]{17})\b/g,
    replace: (_found, lead, number) => `${lead}${maskNumber(number ?? '')}`,
  },
  {
    pattern: /\b[A-HJ-NPR-Za-hj-npr-z0-9]{17}\b/g,
    replace: (found) => (hasCheckDigit(found) ? maskNumber(found) : found),
  },
  // Bank accounts and cards, by their check sums.
  {
    pattern: /\b[A-Z]{2}\d{2}(?: ?[A-Z0-9]{4}){2,7}(?: ?[A-Z0-9]{1,3})?\b/g,
    replace: (found) => (isAccount(found) ? '[account]' : found),
  },
  { pattern: /\b\d(?:[ -]?\d){12,18}\b/g, replace: (found) => (isCard(found) ? '[card]' : found) },
  // Telephone: international with its plus, or national behind a cue or in a form that no reading has.
  {
    pattern: /(?<![\w.])(?:\+|00)(?=[1-9])\d{1,3}(?:[ ().-]{0,2}\d{1,5}){2,6}(?![\w.%])/g,
    replace: (found) => (digitsOf(found) >= 8 && digitsOf(found) <= 17 ? '[phone]' : found),
  },
  { pattern: /(?<![\w.])\(\d{3,5}\)\s?\d{3,4}[ -]?\d{3,4}(?![\w.%])/g, replace: () => '[phone]' },
  { pattern: /(?<![\w.-])\d{3}[.-]\d{3}[.-]\d{4}(?![\w.%-])/g, replace: () => '[phone]' },
  { pattern: /(?<![\w.])0\d{2,4}[ -]\d{3,4}[ -]?\d{3,4}(?![\w.%])/g, replace: () => '[phone]' },
  { pattern: /(?<![\w.])0[1-9]\d{8,9}(?![\w.%])/g, replace: () => '[phone]' },
  {
    pattern:
      /\b((?:phone|tel|telephone|mobile|cell|call me|ring me|text me|whatsapp|number is|reach me)(?:\s?(?:me|on|at|is|no|number|:|\.|#)){0,3}\s{0,2})(\(?\d[\d ().-]{5,18}\d)(?![\w%])/gi,
    replace: (found, lead, number) => (digitsOf(number ?? '') >= 7 ? `${lead}[phone]` : found),
  },
  // Plates: only behind a word for them, and only with a digit in them.
  {
    pattern:
      /\b((?:licen[cs]e plates?|number plates?|plates?|registration|reg|rego|tag)(?:\s?(?:number|no|nr|is|was|:|#|\.)){1,3}\s{0,2})([A-Za-z0-9]{1,4}[ -]?[A-Za-z0-9]{1,4}(?:[ -]?[A-Za-z0-9]{1,4})?)\b/g,
    replace: (found, lead, plate) =>
      /\d/.test(plate ?? '') && /[A-Za-z]/.test(plate ?? '') ? `${lead}[plate]` : found,
  },
  { pattern: /\b[A-Z]{2}\d{2} ?[A-Z]{3}\b/g, replace: () => '[plate]' },
  // Streets with a house number.
  {
    pattern:
      /\b\d{1,5}[A-Za-z]? (?:[A-Z][a-z'.-]{1,20} ){1,3}(?:Street|St|Road|Rd|Avenue|Ave|Lane|Ln|Drive|Dr|Court|Ct|Boulevard|Blvd|Close|Crescent|Terrace|Way|Place|Pl|Square)\b(?:\.?,? (?:[A-Z][a-z]{1,20}(?: [A-Z][a-z]{1,20})?),? (?:[A-Z]{2} \d{5}|[A-Z]{1,2}\d[A-Z\d]? ?\d[A-Z]{2}))?/g,
    replace: () => '[address]',
  },
];

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

function digitsOf(text: string): number {
  return text.replaceAll(/\D/g, '').length;
}

/** Latitude and longitude in range, with a sign, a letter or six decimals that no reading has. */
function isPosition(found: string): boolean {
  const [first, second] = found.split(/[,;\s]+/).map((part) => Number.parseFloat(part));
  return (
    first !== undefined &&
    second !== undefined &&
    Math.abs(first) <= 90 &&
    Math.abs(second) <= 180 &&
    (Math.abs(first) > 1 || Math.abs(second) > 1)
  );
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
