// Findings -> what the calculators make of them. answer.ts calls it between intake and diagnosis. It chooses the calculators that
// the figures of the case allow, and puts arithmetic and meaning into words; the calculations themselves are in calculators/.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import type { Finding } from '../vocabulary/findings.ts';
import { deriveConsumption } from './derive-consumption.ts';
import { deriveGas } from './derive-gas.ts';
import { deriveTrims } from './derive-trims.ts';
import { viewFindings } from './view.ts';

/** At most this many results; a pasted log would otherwise fill the answer. */
const mostResults = 40;

/**
 * @param findings  all findings of the case; only those about the car asked about (car 0) that are stated as present are calculated
 *                  with. Figures of an earlier time serve as the baseline of those of now.
 * @returns results in the order gas, trims, consumption, ...; each id is unique, and the same findings give the same results in the same
 *          order. A calculation that the figures ask for and physics forbids is there with `valid` false and its reason.
 */
export function derive(findings: readonly Finding[], _knowledge: Knowledge): Derived[] {
  const now = viewFindings(findings, 'now');
  const before = viewFindings(findings, 'before');
  return [...deriveGas(now), ...deriveTrims(now), ...deriveConsumption(now, before)].slice(0, mostResults);
}
