// Masks places on the earth: pairs of degrees, degrees with minutes, map links. mask-personal-data.ts calls it. Two decimals side by
// side are far more often readings than a place, so a pair needs something that says so.

/** Map links, ISO 6709 strings and degrees with minutes say it by their form. */
const forms: readonly RegExp[] = [
  /\bhttps?:\/\/[^\s]{0,80}(?:maps|goo\.gl|osm|openstreetmap|w3w|what3words)[^\s]{0,300}/gi,
  /\bgeo:-?\d{1,2}\.\d{1,10},-?\d{1,3}\.\d{1,10}/gi,
  /[+-]\d{2,3}\.\d{2,8}[+-]\d{2,3}\.\d{2,8}(?:[+-]\d{1,6}(?:\.\d{1,4})?)?\//g,
  /\b\d{1,2}\u00b0\s?\d{1,2}['\u2019\u2032]\s?(?:\d{1,2}(?:\.\d{1,3})?["\u201d\u2033])?\s?[NS],?\s{0,2}\d{1,3}\u00b0\s?\d{1,2}['\u2019\u2032]\s?(?:\d{1,2}(?:\.\d{1,3})?["\u201d\u2033])?\s?[EW]\b/g,
];

interface Found {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** Positions replaced by `[position]`. Linear: numbers are found once, each is looked at with its neighbours. */
export function maskPositions(text: string): string {
  let masked = text;
  for (const form of forms) masked = masked.replace(form, '[position]');
  return maskPairs(masked);
}

function maskPairs(text: string): string {
  const numbers = [...text.matchAll(/(?<![\w.])[-+]?\d{1,12}(?:\.\d{1,12})?/g)].map(
    (match): Found => ({ start: match.index, end: match.index + match[0].length, text: match[0] }),
  );
  let masked = '';
  let from = 0;
  for (let index = 0; index + 1 < numbers.length; index += 1) {
    const [first, second] = [numbers[index]!, numbers[index + 1]!];
    if (first.start < from) continue;
    if (isNeighbour(text, numbers[index - 1], first) || isNeighbour(text, second, numbers[index + 2])) continue;
    const place = placeOf(text, first, second);
    if (!place) continue;
    masked += `${text.slice(from, place.start)}[position]`;
    from = place.end;
  }
  return masked + text.slice(from);
}

/** Between two numbers of a row of readings. */
function isNeighbour(text: string, first: Found | undefined, second: Found | undefined): boolean {
  if (!first || !second) return false;
  return (
    /^[\s,;/|]{1,4}$/.test(text.slice(first.end, Math.min(second.start, first.end + 5))) &&
    second.start - first.end <= 4
  );
}

const between = /^\s?\u00b0?\s?([NS])?\s?[,;/&]?\s{0,2}(?:(lon|long|longitude|lng)\.?[ :=]{0,2})?$/i;
const behind = /^\s?(\u00b0)?\s?([EW])?(?![A-Za-z])/i;
const led = /\b(?:lat|latitude)\.?[ :=]{0,2}$/i;
const told =
  /\b(?:position|positioned|location|located|gps|co-?ordinates|coords|(?:i am|i'm|we are|car is|it is|it's|stands|parked|stuck|sits|live|am|broke down|broken down|stranded|find me|find us|find it) (?:at|near|by|here|is)|here)[ :=(,-]{0,4}(?:is |at |near )?\(?$/i;
/** Unit of a reading behind the second number. */
const unit = /^\s?(?:v|volts?|mv|ma|%|kpa|psi|bar|g\/s|ohms?|c|f|ms|s|rpm)\b|^\s?%/i;
/** How far back words that tell of a place are looked for. */
const reach = 60;

function placeOf(text: string, first: Found, second: Found): { start: number; end: number } | null {
  const decimals = [first, second].map((number) => number.text.split('.')[1]?.length ?? 0);
  const fewest = Math.min(...decimals);
  if (fewest < 3 || Math.abs(Number(first.text)) > 90 || Math.abs(Number(second.text)) > 180) return null;
  if (second.start - first.end > 16) return null;
  const gap = between.exec(text.slice(first.end, second.start));
  if (!gap) return null;
  const after = text.slice(second.end, second.end + 12);
  const hemisphere = behind.exec(after);
  const ahead = text.slice(Math.max(0, first.start - reach), first.start);
  const isLed = led.test(ahead);
  const start = isLed ? first.start - (led.exec(ahead)?.[0].length ?? 0) : first.start;
  const end = second.end + (hemisphere?.[2] ? hemisphere[0].length : 0);
  const isNamed = gap[1] !== undefined || gap[2] !== undefined || isLed || hemisphere?.[2] !== undefined;
  if (isNamed && !(hemisphere?.[2] === undefined && unit.test(after))) return { start, end };
  if (unit.test(after) || fewest < 4) return null;
  const isComma = text.slice(first.end, second.start).includes(',');
  return told.test(ahead) || (isComma && fewest >= 5) ? { start, end } : null;
}
