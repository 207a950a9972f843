// Whether a lean or rich code would be expected at a total trim, by the limits that makers have published.
import { checkNumber } from './check-number.ts';
import type { Result } from './result.ts';

/** Published limits of single makers on the trim that sets a code [%]. Sources: mitsubishi-outlander-2003; common practice; toyota-trim-monitor. */
const publishedLimits = [12.5, 25, 35] as const;

/**
 * @param totalTrim total trim, warm and in closed loop [%], -100 to 150
 * @returns how many of the three published limits are passed, 0 to 3; `due` in words; `side` of the code
 * No percentage is a rule: each maker sets its own, and a code also needs the trim to last.
 */
export function trimCodeDue(
  totalTrim: number,
): Result<number, { due: 'no' | 'on some cars' | 'on most cars' | 'on any car'; side: 'lean' | 'rich' }> {
  const wrong = checkNumber('The total trim', totalTrim, -100, 150, '%');
  if (wrong) return wrong;
  const passed = publishedLimits.filter((limit) => Math.abs(totalTrim) >= limit).length;
  const due = (['no', 'on some cars', 'on most cars', 'on any car'] as const)[passed]!;
  return { valid: true, value: passed, due, side: totalTrim >= 0 ? 'lean' : 'rich' };
}
