// One case held against the model: worlds, terms, posterior, all that the parts of a diagnosis are read from. diagnose.ts makes
// one for a post; questions, plan, evidence and fit look into it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Fault } from '../knowledge/schema/fault.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import type { Finding } from '../vocabulary/findings.ts';
import { type Attributed, attribute } from './attribute.ts';
import { compileFindings } from './compile-findings.ts';
import { type ContextCondition, conditionsThatHold } from './context.ts';
import { derivedTerms } from './derived-terms.ts';
import { type EngineView, viewEngine } from './engine.ts';
import { type Evaluator, newEvaluator } from './evaluator.ts';
import { type Hypotheses, listHypotheses, priors } from './hypotheses.ts';
import { type Posterior, weigh } from './posterior.ts';
import type { Surroundings } from './predict.ts';
import { type SettledTable, settledTable } from './settled-table.ts';
import type { Term } from './terms.ts';

/** One way in which the engine may be built, weighed. */
export interface World {
  /** Posterior probability of this way; all worlds together sum to 1. */
  readonly weight: number;
  /** True when the front sensor is taken to be a wide-range one. */
  readonly wide: boolean;
  readonly hypotheses: Hypotheses;
  readonly table: SettledTable;
  readonly terms: readonly Term[];
  readonly evaluator: Evaluator;
  readonly posterior: Posterior;
  readonly around: Surroundings;
  /** Priors of each fault alone and of each pair (faults x faults, first < second). */
  readonly single: Float64Array;
  readonly pair: Float64Array;
}

export interface CaseModel {
  readonly engine: EngineView;
  readonly conditions: ReadonlySet<ContextCondition>;
  readonly faults: readonly Fault[];
  /** Most probable first. */
  readonly worlds: readonly World[];
  readonly attributed: Attributed;
  /** Prior of each fault as main cause, context counted; sums to 1. */
  readonly prior: Float64Array;
  readonly findings: readonly Finding[];
  readonly knowledge: Knowledge;
}

/**
 * Weighs everything.
 *
 * @param derived  results of the calculators; those that only say again what raw figures say are left alone
 * @param mentions suspects that the posts name (ids of knowledge/mentions)
 */
export function modelCase(
  findings: readonly Finding[],
  knowledge: Knowledge,
  derived: readonly Derived[] = [],
  mentions: readonly string[] = [],
): CaseModel {
  const engine = viewEngine(findings, knowledge);
  const conditions = conditionsThatHold(findings, engine.banksKnown ? engine.banks : null);
  const named = mentionFactors(mentions, knowledge);
  const factors = Float64Array.from(knowledge.faults, (fault) =>
    fault.prior.when.reduce(
      (product, item) => (conditions.has(item.is as ContextCondition) ? product * item.times : product),
      named.get(fault.id) ?? 1,
    ),
  );
  const worlds = engine.metering.flatMap(({ metering, weight }) =>
    engine.frontSensor.map(({ wide, weight: ofSensor }) => ({ metering, wide, weight: weight * ofSensor })),
  );
  const built = worlds.map(({ metering, wide, weight }): World => {
    const hypotheses = listHypotheses(knowledge, engine.banks, metering);
    const inWorld = worldFactors(knowledge, factors, conditions, metering);
    const { single, pair } = priors(hypotheses, inWorld);
    const around: Surroundings = {
      manifoldPressureMetering: metering === 'manifold-pressure',
      banks: engine.banks,
    };
    const table = settledTable(hypotheses, engine.displacement, around);
    const terms = [...compileFindings(findings, hypotheses, table, engine, knowledge, wide), ...derivedTerms(derived)];
    const evaluator = newEvaluator(table, terms);
    const posterior = weigh(hypotheses, single, pair, evaluator);
    return { weight, wide, hypotheses, table, terms, evaluator, posterior, around, single, pair };
  });
  const best = Math.max(...built.map((world) => world.posterior.evidence));
  const weightOf = (world: World) => world.weight * Math.exp(world.posterior.evidence - best);
  const total = built.reduce((sum, world) => sum + weightOf(world), 0);
  const weighed = built
    .map((world) => ({ ...world, weight: weightOf(world) / total }))
    .sort((a, b) => b.weight - a.weight);
  const mixed = mix(weighed, knowledge.faults.length);
  return {
    engine,
    conditions,
    faults: knowledge.faults,
    worlds: weighed,
    attributed: attribute(weighed[0]!.hypotheses, mixed.alone, mixed.together, mixed.prior),
    prior: mixed.prior,
    findings,
    knowledge,
  };
}

/** What naming its suspects does to the odds of each fault; the strongest mention of a fault counts alone. */
function mentionFactors(mentions: readonly string[], knowledge: Knowledge): Map<string, number> {
  const factors = new Map<string, number>();
  for (const id of mentions)
    for (const { fault, times } of knowledge.mentions.byId.get(id)?.faults ?? [])
      factors.set(fault, Math.max(factors.get(fault) ?? 1, times));
  return factors;
}

/** In a world whose metering was not said, its conditions hold for the prior all the same. */
function worldFactors(
  knowledge: Knowledge,
  factors: Float64Array,
  conditions: ReadonlySet<ContextCondition>,
  metering: 'air-meter' | 'manifold-pressure',
): Float64Array {
  const condition: ContextCondition = metering === 'air-meter' ? 'air-meter-metering' : 'manifold-pressure-metering';
  if (conditions.has(condition)) return factors;
  return Float64Array.from(knowledge.faults, (fault, index) =>
    fault.prior.when.reduce(
      (product, item) => (item.is === condition ? product * item.times : product),
      factors[index]!,
    ),
  );
}

function mix(worlds: readonly World[], count: number) {
  const alone = new Float64Array(count);
  const together = new Float64Array(count * count);
  const prior = new Float64Array(count);
  for (const { weight, posterior, single } of worlds) {
    for (let fault = 0; fault < count; fault += 1) {
      alone[fault]! += weight * posterior.alone[fault]!;
      prior[fault]! += weight * single[fault]!;
    }
    for (let index = 0; index < together.length; index += 1) {
      together[index]! += weight * posterior.together[index]!;
    }
  }
  return { alone, together, prior };
}
