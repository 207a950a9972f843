// Masks telephone numbers: international with their plus, national in the forms that no reading has, any grouping behind words such
// as "call me on". mask-personal-data.ts calls it.

/** What follows a number that is no telephone's. */
const notBefore = '(?![\\w%]|\\.\\d|\\s?(?:miles|mi\\b|km|kms|rpm|volts?\\b|psi|kpa))';
const international = new RegExp(
  `(?<![\\w.])(?:\\+|00)(?=[1-9])\\d{1,3}(?:[ ().\\/-]{0,2}\\d{1,8}){1,6}${notBefore}`,
  'g',
);
const national: readonly RegExp[] = [
  // (202) 555-0143, (020) 7946 0123
  new RegExp(`(?<![\\w.])\\(\\d{2,5}\\)\\s?\\d{3,4}[ -]?\\d{3,4}${notBefore}`, 'g'),
  // 202-555-0143, 202.555.0143, 1-800-555-0143
  new RegExp(`(?<![\\w.-])(?:1[ .-])?\\d{3}[.-]\\d{3}[.-]\\d{4}${notBefore}`, 'g'),
  // 020 7946 0123, 0161 496 0123, 07700 900123, 0171 3920012
  new RegExp(`(?<![\\w.-])0[1-9]?\\d{1,4}[ /-]\\d{3,8}(?:[ -]?\\d{3,4})?${notBefore}`, 'g'),
  new RegExp(
    `(?<![\\w.-])(?<!\\b(?:part|code|serial|engine|model|order)\\s(?:no\\.?|number)?\\s?(?:is\\s)?)0[1-9]\\d{8,9}${notBefore}`,
    'g',
  ),
  // 01 99 00 12 34, but not a row of bytes
  new RegExp(`(?<![\\w.-])(?<![0-9A-Fa-f]{2} )0[1-9](?: \\d{2}){4}(?! [0-9A-Fa-f]{2}\\b)${notBefore}`, 'g'),
];
const cued =
  /(?<!part |code |serial |engine |model |paint |order )\b((?:phone|ph|tel|telephone|mobile|mob|cell|call|ring|text|contact|whatsapp|number is|reach me|i am on|i'm on|my number)(?:\s?(?:me|us|on|at|is|no|number|phone|:|\.|#|=)){0,4}\s{0,2})(\(?\d[\d ().-]{5,18}\d)(?![\w%]|\.\d)/gi;

/** Telephone numbers replaced by `[phone]`; bounded patterns, each run once over the text. */
export function maskPhones(text: string): string {
  let masked = text.replace(international, (found) => (isInternational(found) ? '[phone]' : found));
  for (const pattern of national) masked = masked.replace(pattern, (found) => (isNational(found) ? '[phone]' : found));
  return masked.replace(cued, (found, lead: string, number: string) =>
    digitsOf(number) >= 7 && digitsOf(number) <= 15 ? `${lead}[phone]` : found,
  );
}

function isInternational(found: string): boolean {
  const digits = digitsOf(found);
  // "+12.5 -3.4" are trims: their groups are short and parted by points.
  return digits >= 8 && digits <= 17 && !/\d\.\d{1,2}(?!\d)/.test(found);
}

/** Not "0171 0174" or "0171 0174 0420": codes without their letter. */
function isNational(found: string): boolean {
  const digits = digitsOf(found);
  if (digits < 9 || digits > 12) return false;
  return !found.split(/[ /-]/).every((group) => /^0\d{3}$/.test(group));
}

function digitsOf(text: string): number {
  return text.replaceAll(/\D/g, '').length;
}
