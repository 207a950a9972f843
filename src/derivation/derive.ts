// Findings -> what the calculators make of them. answer.ts calls it between intake and diagnosis. It chooses the calculators that
// the figures of the case allow, and puts arithmetic and meaning into words; the calculations themselves are in calculators/.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import type { Finding } from '../vocabulary/findings.ts';
import { compareBefore } from './compare-before.ts';
import { deriveAir } from './derive-air.ts';
import { deriveConsumption } from './derive-consumption.ts';
import { deriveGas } from './derive-gas.ts';
import { deriveLimits } from './derive-limits.ts';
import { deriveMixture } from './derive-mixture.ts';
import { deriveRating } from './derive-rating.ts';
import { deriveSensor } from './derive-sensor.ts';
import { deriveTrims } from './derive-trims.ts';
import { viewFindings } from './view.ts';

/** At most this many results; a pasted log would otherwise fill the answer. */
const mostResults = 40;

/**
 * @param findings  all findings of the case; only those about the car asked about (car 0) that are stated as present are calculated
 *                  with. Figures of an earlier time serve as the baseline of those of now.
 * @returns results in the order gas, trims, mixture, air, sensor, consumption, limits, before and after; each id is unique, and the same findings give
 *          the same results in the same order. A calculation that the figures ask for and physics forbids is there with `valid` false and its reason.
 */
export function derive(findings: readonly Finding[], knowledge: Knowledge): Derived[] {
  const now = viewFindings(findings, 'now');
  const before = viewFindings(findings, 'before');
  const gas = deriveGas(now);
  const trims = deriveTrims(now);
  return [
    ...gas,
    ...trims,
    ...deriveMixture(now),
    ...deriveAir(now),
    ...deriveSensor(now),
    ...deriveConsumption(now, before, gas),
    ...deriveRating(now, before, knowledge),
    ...deriveLimits(now, gas, knowledge),
    ...compareBefore([...gas, ...trims], [...deriveGas(before), ...deriveTrims(before)]),
  ].slice(0, mostResults);
}
