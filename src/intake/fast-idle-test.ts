// The British roadworthiness test of a car with a catalyst reads lambda and hydrocarbons at fast idle only, so that "first test" and "second
// test" are its two runs at fast idle. read-readings.ts calls it on the readings of a post.
import type { ReadingFinding } from '../vocabulary/findings.ts';

/** How far from such a figure CO of the same test may stand in the post [UTF-16 units] (judgement: one line of a sheet). */
const sameLine = 60;

/**
 * Readings with `2500rpm` where the test leaves no other condition: lambda always, hydrocarbons where the post gives a lambda at all (cars
 * without catalyst have no lambda limit), CO that stands beside one of them. At natural idle the test reads CO alone.
 * Source: MOT inspection manual, section 8.2.1, catalyst test (from memory).
 */
export function withFastIdle(findings: readonly ReadingFinding[], folded: string): ReadingFinding[] {
  const lambdas = findings.filter(({ quantity, when }) => quantity === 'lambda' && when === null);
  const tellsRuns = /\b(first|second|1st|2nd) test\b/.test(folded);
  if (lambdas.length === 0 || !tellsRuns || !/\bm\.?o\.?t\b/.test(folded)) return [...findings];
  const fast = findings.filter(
    ({ quantity, when }) => when === null && (quantity === 'lambda' || quantity === 'gas-hc'),
  );
  return findings.map((finding) => {
    if (finding.when !== null) return finding;
    if (fast.includes(finding)) return { ...finding, when: '2500rpm' };
    const isBeside = fast.some(
      ({ span }) =>
        span && finding.span && Math.abs(span[0] - finding.span[0]) <= sameLine && span[0] !== finding.span[0],
    );
    return /^gas-(co|co2|o2)$/.test(finding.quantity) && isBeside ? { ...finding, when: '2500rpm' } : finding;
  });
}
