// How much a finding counts, by who said it and how surely.
import type { Finding } from '../vocabulary/findings.ts';

/** Exponent of a finding: an unsure or second-hand statement counts in part. Source: questions sheet F (judgement). */
export function strengthOf(finding: Finding): number {
  let strength = 1;
  // What others found on the car they mostly found with tools: a workshop's finding is worth more than talk about symptoms.
  if (finding.source === 'hearsay') strength *= finding.kind === 'work-done' && finding.action === 'tested' ? 0.7 : 0.4;
  if (finding.stated === 'unsure') strength *= 0.5;
  if (finding.kind === 'reading' && finding.unitAssumed) strength *= oneUnit.has(finding.quantity) ? 0.95 : 0.7;
  if (finding.kind === 'code' && finding.status === 'history') strength *= 0.4;
  if (finding.kind === 'code' && finding.status === 'pending') strength *= 0.85;
  return strength;
}

/** Quantities that are written in one unit only: a figure without its unit is as good as one with it. */
const oneUnit: ReadonlySet<string> = new Set([
  'short-term-trim',
  'long-term-trim',
  'total-trim',
  'lambda',
  'air-fuel-ratio',
  'sensor-voltage',
  'gas-co',
  'gas-co2',
  'gas-o2',
  'gas-hc',
  'engine-speed',
]);
