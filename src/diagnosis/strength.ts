// How much a finding counts, by who said it and how surely.
import type { Finding } from '../vocabulary/findings.ts';

/** Exponent of a finding: an unsure or second-hand statement counts in part. Source: questions sheet F (judgement). */
export function strengthOf(finding: Finding): number {
  let strength = 1;
  if (finding.source === 'hearsay') strength *= 0.4;
  if (finding.stated === 'unsure') strength *= 0.5;
  if (finding.kind === 'reading' && finding.unitAssumed) strength *= 0.7;
  if (finding.kind === 'code' && finding.status === 'history') strength *= 0.4;
  if (finding.kind === 'code' && finding.status === 'pending') strength *= 0.85;
  return strength;
}
