// Every single hypothesis (fault, bank, severity) with its prior and effects, and the prior of every pair of faults.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Fault } from '../knowledge/schema/fault.ts';
import { type BankShares, type Effects, effectsOf, type Metering, times } from './effects.ts';

/** One fault at one severity on one bank or both. */
interface Single {
  /** Index into `faults` of the list that it belongs to. */
  readonly fault: number;
  /** Bank it acts on: 0, 1, or null for both. */
  readonly bank: number | null;
  /** Bank that has most of it: the bank it acts on, or the one with the larger share. */
  readonly mainBank: number | null;
  readonly severity: string;
  /** Share of the fault's prior: bank weight times severity weight; sums to 1 over a fault. */
  readonly share: number;
  readonly effects: Effects;
}

export interface Hypotheses {
  readonly faults: readonly Fault[];
  readonly singles: readonly Single[];
  /** First single of each fault, one entry more than faults. */
  readonly start: Int32Array;
  /** What pairs leave out: no fault at all, and what is outside the trade. */
  readonly aloneOnly: readonly boolean[];
}

/** Faults that cannot be half of a pair: with a second fault they would say nothing. */
const alone: readonly string[] = ['no-fault-use-pattern', 'outside-the-trade'];

const cache = new WeakMap<Knowledge, Map<string, Hypotheses>>();

/** Builds the list for an engine; the same knowledge and engine give the same object. */
export function listHypotheses(knowledge: Knowledge, banks: number, metering: Metering): Hypotheses {
  const known = cache.get(knowledge) ?? new Map<string, Hypotheses>();
  cache.set(knowledge, known);
  const key = `${banks} ${metering}`;
  const built = known.get(key) ?? build(knowledge.faults, banks, metering);
  known.set(key, built);
  return built;
}

function build(faults: readonly Fault[], banks: number, metering: Metering): Hypotheses {
  const singles: Single[] = [];
  const start = new Int32Array(faults.length + 1);
  faults.forEach((fault, index) => {
    start[index] = singles.length;
    const severities =
      metering === 'manifold-pressure' && fault.severitiesBySpeedDensity
        ? fault.severitiesBySpeedDensity
        : fault.severities;
    for (const severity of severities) {
      for (const place of places(fault, banks)) {
        const share = severity.weight * place.weight;
        if (share <= 0) continue;
        const effects = effectsOf(severity.effects, banks, place.shares, metering);
        if (place.mirrored) effects.times[times.straight] = -1;
        singles.push({
          fault: index,
          bank: place.bank,
          mainBank: place.mainBank ?? place.bank,
          severity: severity.name,
          share,
          effects,
        });
      }
    }
  });
  start[faults.length] = singles.length;
  return { faults, singles, start, aloneOnly: faults.map((fault) => alone.includes(fault.id)) };
}

interface Place {
  readonly weight: number;
  readonly shares: BankShares;
  readonly bank: number | null;
  readonly mainBank?: number;
  readonly mirrored?: boolean;
}

/** Where a fault may sit; engines of one bank have one place. */
function places(fault: Fault, banks: number): Place[] {
  const uneven = fault.banks.uneven;
  const crossed = fault.severities.some((severity) => (severity.effects.sensorsSwapped ?? 0) > 0);
  // Nothing to cross on an engine of one bank; a little is left because the number of banks may be wrong.
  if (banks === 1) return [{ weight: crossed ? 0.02 : 1, shares: [1, 0], bank: null }];
  return [
    { weight: fault.banks.one / 2, shares: [1, 0], bank: 0 },
    { weight: fault.banks.one / 2, shares: [0, 1], bank: 1 },
    ...(crossed
      ? [
          { weight: fault.banks.both / 2, shares: [0.5, 0.5] as const, bank: null },
          { weight: fault.banks.both / 2, shares: [0.5, 0.5] as const, bank: null, mirrored: true },
        ]
      : [{ weight: fault.banks.both, shares: [0.5, 0.5] as const, bank: null }]),
    ...(uneven
      ? [
          { weight: uneven.weight / 2, shares: [uneven.share, 1 - uneven.share] as const, bank: null, mainBank: 0 },
          { weight: uneven.weight / 2, shares: [1 - uneven.share, uneven.share] as const, bank: null, mainBank: 1 },
        ]
      : []),
  ];
}

/** Probability, before any finding, that two faults act at once (judgement, from the design). */
export const pairMass = 0.12;

/**
 * Prior of each fault by itself and of each pair of faults.
 *
 * @param factors per fault, from the conditions that hold
 * @returns `single` sums to 1 - pairMass; `pair` is symmetric in meaning, filled for first < second, sums to pairMass
 */
export function priors(hypotheses: Hypotheses, factors: Float64Array): { single: Float64Array; pair: Float64Array } {
  const count = hypotheses.faults.length;
  const weight = Float64Array.from(hypotheses.faults, (fault, index) => fault.prior.per1000 * factors[index]!);
  const total = weight.reduce((sum, value) => sum + value, 0);
  for (let index = 0; index < count; index += 1) weight[index]! /= total;
  const pair = new Float64Array(count * count);
  let pairTotal = 0;
  for (let first = 0; first < count; first += 1) {
    for (let second = first + 1; second < count; second += 1) {
      if (hypotheses.aloneOnly[first] || hypotheses.aloneOnly[second]) continue;
      const value = weight[first]! * weight[second]! * chainFactor(hypotheses, first, second);
      pair[first * count + second] = value;
      pairTotal += value;
    }
  }
  const left = pairTotal > 0 ? pairMass : 0;
  for (let index = 0; index < pair.length; index += 1)
    pair[index] = pairTotal > 0 ? (pair[index]! * left) / pairTotal : 0;
  const single = weight.map((value) => value * (1 - left));
  return { single, pair };
}

/** How much more often two faults come together because one brings the other about. */
function chainFactor(hypotheses: Hypotheses, first: number, second: number): number {
  return Math.max(leads(hypotheses, first, second), leads(hypotheses, second, first), 1);
}

/** Factor by which `from` brings `to` about; 0 when it does not. */
export function leads(hypotheses: Hypotheses, from: number, to: number): number {
  const target = hypotheses.faults[to]!.id;
  return hypotheses.faults[from]!.leadsTo.find((item) => item.fault === target)?.times ?? 0;
}
