// Trouble codes as two bytes each, both ways, and the replies of services 03, 07 and 0A that list them.
import { type Result, refuse } from '../result.ts';

const letters = 'PCBU';

/**
 * Top two bits the letter, next two the first digit, then three hexadecimal digits.
 *
 * @param high, low bytes, 0 to 255
 * @returns the code in capitals, or null for 00 00, which is padding
 * Source: sae-j1979 with obd-code-standard.
 */
export function codeFromBytes(high: number, low: number): string | null {
  if (high === 0 && low === 0) return null;
  const letter = letters[(high >> 6) & 3]!;
  const rest = ((high & 0x3f) << 8) | (low & 0xff);
  return letter + rest.toString(16).toUpperCase().padStart(4, '0');
}

/**
 * @param code "P0171"; P, C, B or U, a digit 0 to 3 and three hexadecimal digits
 * @returns the two bytes
 */
export function bytesFromCode(code: string): Result<[number, number]> {
  const match = /^([PCBU])([0-3])([0-9A-F]{3})$/.exec(code);
  if (!match) return refuse('A standard code is P, B, C or U with a digit 0 to 3 and three more characters.');
  const rest = Number.parseInt(match[3]!, 16);
  const high = (letters.indexOf(match[1]!) << 6) | (Number(match[2]) << 4) | (rest >> 8);
  return { valid: true, value: [high, rest & 0xff] };
}

/** What each service's codes are. */
const statusOfService: Readonly<Record<number, 'stored' | 'pending' | 'permanent'>> = {
  67: 'stored',
  71: 'pending',
  74: 'permanent',
};

/**
 * @param payload reply of one control unit, beginning with 43, 47 or 4A; on CAN a count follows, on older buses three codes a message,
 *                filled with zeros (several such messages may be strung together without their first byte)
 * @returns codes in order, each once; `status` by service; `announced` the count byte of CAN, else null. Refused for another service or a
 *          count that the bytes do not hold
 */
export function decodeCodes(
  payload: readonly number[],
): Result<string[], { status: 'stored' | 'pending' | 'permanent'; announced: number | null }> {
  const status = statusOfService[payload[0] ?? -1];
  if (!status) return refuse('This is not a reply that lists trouble codes.');
  const data = payload.slice(1);
  // Pairs alone mean the older form; an odd number of bytes has the count in front.
  const announced = data.length % 2 === 1 ? data[0]! : null;
  const pairs = announced === null ? data : data.slice(1);
  if (announced !== null && pairs.length < 2 * announced)
    return refuse('The reply is cut short: it announces more codes than it holds.');
  const end = announced === null ? pairs.length : 2 * announced;
  const codes = new Set<string>();
  for (let at = 0; at + 1 < end; at += 2) {
    const code = codeFromBytes(pairs[at]!, pairs[at + 1]!);
    if (code !== null) codes.add(code);
  }
  return { valid: true, value: [...codes], status, announced };
}

/** The reply on CAN that lists these codes: service, count, two bytes a code. */
export function encodeCodes(codes: readonly string[], service: 0x43 | 0x47 | 0x4a = 0x43): Result<number[]> {
  if (codes.length > 255) return refuse('A reply can list at most 255 codes.');
  const payload: number[] = [service, codes.length];
  for (const code of codes) {
    const bytes = bytesFromCode(code);
    if (!bytes.valid) return bytes;
    payload.push(...bytes.value);
  }
  return { valid: true, value: payload };
}
