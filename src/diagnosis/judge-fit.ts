// Honesty: how badly the best explanation fits, which findings clash, and whether a helper is asked in.
import type { Conflict, Fit } from '../vocabulary/answer-document.ts';
import type { CaseModel, World } from './case-model.ts';
import { bestExplained, type TermLoss, totalLoss } from './fit-losses.ts';
import { findThird } from './third-faults.ts';

/** From this surprise on a helper is asked in: the fit is worse than in 95 of 100 cases that the model itself would make. */
const handOverSurprise = 0.9;

/** From this surprise on the findings that clash are named. */
const namedSurprise = 0.5;

/** Losses beyond this are named as clashing [nats]: a reading three spreads off. */
const clashingLoss = 2.6;

export function judgeFit(model: CaseModel, conflicts: readonly Conflict[]): Fit {
  const world = model.worlds[0]!;
  if (world.terms.every((term) => term.findings.length === 0)) {
    return {
      surprise: 0,
      clash: [],
      handOver: { wanted: false, because: 'there is nothing to go on yet: no code, reading or symptom' },
    };
  }
  const explained = bestExplained(world);
  const total = totalLoss(explained.losses);
  const surprise = Math.round(surpriseOf(total.loss, total.readings, total.marks) * 1000) / 1000;
  const opposed = oppositeCodes(model);
  const clash = surprise >= namedSurprise ? clashing(world, explained.losses) : [];
  for (const id of opposed) if (!clash.includes(id)) clash.push(id);
  const fitsBadly = surprise > handOverSurprise || (opposed.length > 0 && surprise > 0.3);
  const wanted = fitsBadly || conflicts.length >= 2;
  const third = fitsBadly ? findThird(model, explained) : null;
  return {
    surprise,
    clash,
    handOver: { wanted, because: wanted ? because(fitsBadly, third) : null },
  };
}

function because(fitsBadly: boolean, third: readonly string[] | null): string {
  if (!fitsBadly) return 'several of the things you report cannot all be true';
  if (third)
    return `no single cause, and no two together, explain what you report well; three at once would: ${third.join(', ')}. That is rare, so a wrong figure is as likely`;
  return 'no single cause, and no two together, explain what you report well';
}

/**
 * Losses of 1200 posts drawn from the model itself (0 to 11 readings, 0 to 12 codes and symptoms, engines of one and two banks) under
 * their best explanation: a least-squares line for mean and variance, in nats: constant, for each reading, for each code or symptom.
 * tests/accuracy/calibration.ts draws such posts afresh and prints how often they are found surprising.
 */
const usualMean = [-0.79, 0.69, 0.6] as const;
const usualVariance = [-0.63, 0.75, 0.94] as const;
const leastMean = 0.3;
const leastVariance = 0.5;

/**
 * 0 where the explanation falls short no more than the middle one of such posts, rising to 1: 1 - 2 p, with p the share of
 * posts that fall short further.
 *
 * @param loss     in nats
 * @param readings number of readings, strengths counted
 * @param marks    number of codes and symptoms, strengths counted
 */
export function surpriseOf(loss: number, readings: number, marks: number): number {
  const line = (of: readonly [number, number, number]) => of[0] + of[1] * readings + of[2] * marks;
  const mean = Math.max(leastMean, line(usualMean));
  const variance = Math.max(leastVariance, line(usualVariance));
  return Math.max(0, 1 - 2 * gammaTail(loss, mean, variance));
}

/** Probability beyond a value of a gamma distribution, by the cube-root normal approximation (Wilson and Hilferty 1931). */
export function gammaTail(value: number, mean: number, variance: number): number {
  const shape = (mean * mean) / variance;
  const z = (Math.cbrt(Math.max(0, value) / mean) - (1 - 1 / (9 * shape))) * 3 * Math.sqrt(shape);
  return normalTail(z);
}

/** Source: Abramowitz and Stegun 1964, 26.2.17; within 1e-7. */
function normalTail(z: number): number {
  if (z < 0) return 1 - normalTail(-z);
  const t = 1 / (1 + 0.2316419 * z);
  const series = t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  return (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) * series;
}

/**
 * The finding that fits worst and the one it clashes with: the finding without which it would be least surprising. More findings that
 * fall short follow.
 */
function clashing(world: World, losses: readonly TermLoss[]): string[] {
  const worst = [...losses.keys()]
    .filter((term) => losses[term]!.loss > clashingLoss && losses[term]!.term.findings.length > 0)
    .sort((a, b) => losses[b]!.loss - losses[a]!.loss);
  const first = worst[0];
  if (first === undefined) return [];
  // A change of the correction is a pair already.
  const { term } = losses[first]!;
  const isPair = term.kind === 'reading' && term.base !== undefined;
  const partner = isPair ? null : clashesMostWith(world, first);
  const order = [first, ...(partner === null ? [] : [partner]), ...worst.slice(1, 3)];
  return [...new Set(order.flatMap((term) => losses[term]!.term.findings))];
}

/** The term whose absence would make another one most expected, over the single faults; null where none matters. */
function clashesMostWith(world: World, finding: number): number | null {
  const { bySingle } = world.posterior;
  const { nobody } = world.table;
  const { terms, evaluator } = world;
  const likelihoodOf = (term: number) => bySingle.map((_, single) => evaluator.ofTerm(term, single, nobody));
  const own = likelihoodOf(finding);
  let most = 0;
  let found: number | null = null;
  for (let other = 0; other < terms.length; other += 1) {
    if (other === finding || terms[other]!.findings.length === 0 || terms[other]!.kind === 'factor') continue;
    const its = likelihoodOf(other);
    let withBoth = 0;
    let withOther = 0;
    let withOwn = 0;
    let withNeither = 0;
    for (let single = 0; single < bySingle.length; single += 1) {
      const mass = bySingle[single]!;
      withBoth += mass;
      withOther += mass / own[single]!;
      withOwn += mass / its[single]!;
      withNeither += mass / (own[single]! * its[single]!);
    }
    // How much likelier the finding is given the rest when the other one is left out.
    const eased = Math.log(withOwn / withNeither) - Math.log(withBoth / withOther);
    if (eased > most) {
      most = eased;
      found = other;
    }
  }
  return found;
}

/** Lean and rich codes of the same bank at once. */
function oppositeCodes(model: CaseModel): string[] {
  const stored = model.findings.filter(
    (finding) => finding.kind === 'code' && finding.car === 0 && finding.time === 'now' && finding.stated === 'present',
  );
  for (const [lean, rich] of [
    ['P0171', 'P0172'],
    ['P0174', 'P0175'],
  ] as const) {
    const one = stored.find((finding) => finding.kind === 'code' && finding.code === lean);
    const other = stored.find((finding) => finding.kind === 'code' && finding.code === rich);
    if (one && other) return [one.id, other.id];
  }
  return [];
}
