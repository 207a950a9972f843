// The plan: checks and repairs by probability over cost (Kadane and Simon 1977; Heckerman, Breese and Rommelse 1995), each fault's
// check before its repair, with who may do it.
import type { Fault } from '../knowledge/schema/fault.ts';
import type { PlanStep } from '../vocabulary/answer-document.ts';
import type { CaseModel } from './case-model.ts';

/** Faults below this have no place in the plan, except the first. */
const leastProbability = 0.04;
const mostFaults = 6;
const mostSteps = 8;

/** Cost below which a step counts as this much: looking costs time as well [h]. */
const leastCost = 0.1;

/** Order of least expected cost for independent steps of which one succeeds: falling probability over cost. */
export function orderByProbabilityOverCost<Item extends { readonly probability: number; readonly cost: number }>(
  items: readonly Item[],
): Item[] {
  return [...items].sort((a, b) => b.probability / b.cost - a.probability / a.cost);
}

/** Expected cost of going through the steps in this order until one succeeds; probabilities sum to 1 or less. */
export function expectedCost(items: ReadonlyArray<{ readonly probability: number; readonly cost: number }>): number {
  let left = 1;
  let sum = 0;
  for (const { probability, cost } of items) {
    sum += left * cost;
    left -= probability;
  }
  return sum;
}

/** The fault whose turn is first by probability over cost of its cheapest way in. */
export function nextFault(faults: readonly Fault[], probability: Float64Array): number {
  let best = 0;
  let most = -1;
  for (let fault = 0; fault < faults.length; fault += 1) {
    const worth = probability[fault]! / wayIn(faults[fault]!);
    if (worth > most) {
      most = worth;
      best = fault;
    }
  }
  return best;
}

/** Expected cost of looking for the fault in the best order, each by its cheapest way in [h]. */
export function searchCost(faults: readonly Fault[], probability: Float64Array): number {
  const items = faults.map((fault, index) => ({ probability: probability[index]!, cost: wayIn(fault) }));
  return expectedCost(orderByProbabilityOverCost(items));
}

/** Cost of the cheapest step that settles whether it is this fault [h]. */
function wayIn(fault: Fault): number {
  return Math.max(
    leastCost,
    Math.min(fault.repair.cost, ...fault.checks.map((check) => check.cost / (check.guilty ?? 0.5))),
  );
}

type Step = Fault['repair'];

export function planRepairs(model: CaseModel): PlanStep[] {
  const { probability } = model.attributed;
  const order = Array.from(probability.keys()).sort((a, b) => probability[b]! - probability[a]!);
  const listed = order
    .slice(0, mostFaults)
    .filter((fault, rank) => rank === 0 || probability[fault]! >= leastProbability);
  const readAlready = readsLiveData(model);
  const entries = listed.map((index) => {
    const fault = model.faults[index]!;
    const p = probability[index]!;
    const checks = fault.checks
      .map((check) => ({
        check,
        // Live data that the owner has given already say no more when read again.
        probability:
          p *
          ((check.guilty ?? 0.5) - (check.innocent ?? 0)) *
          (check.safety === 'read-live-data' && readAlready ? knownShare : 1),
        cost: Math.max(leastCost, check.cost),
      }))
      .filter((item) => item.probability > 0);
    const first = orderByProbabilityOverCost(checks)[0];
    return {
      fault,
      p,
      check: first?.check ?? null,
      probability: first?.probability ?? p,
      cost: first?.cost ?? Math.max(leastCost, fault.repair.cost),
    };
  });
  const said = new Set<string>();
  const steps = orderByProbabilityOverCost(entries).flatMap((entry) => [
    ...(entry.check ? [stepOf(entry.check, entry.fault, entry.p, 'check', model)] : []),
    // A repair is named where its fault is likely; before that the plan is to look.
    ...(entry.p >= repairProbability || listed.length === 1
      ? [stepOf(entry.fault.repair, entry.fault, entry.p, 'repair', model)]
      : []),
  ]);
  return steps.filter((step) => !said.has(step.step) && said.add(step.step)).slice(0, mostSteps);
}

/** What a check by live data is still worth when such figures are in. */
const knownShare = 0.25;

/** True when corrections under two conditions, or the rear sensor's signal with one, are known. */
function readsLiveData(model: CaseModel): boolean {
  const kinds = new Set(
    model.findings.flatMap((finding) => {
      if (finding.kind !== 'reading' || finding.car !== 0 || finding.time !== 'now') return [];
      if (/-trim$/.test(finding.quantity)) return [`trim ${finding.when}`];
      return finding.quantity === 'sensor-voltage' ? [`volts ${finding.sensor}`] : [];
    }),
  );
  return kinds.size >= 2;
}

/** From here on a repair stands in the plan right after its check. */
const repairProbability = 0.2;

function stepOf(step: Step, fault: Fault, probability: number, kind: PlanStep['kind'], model: CaseModel): PlanStep {
  const rule = model.knowledge.safety.byId.get(step.safety);
  const withdrawn = rule?.notWith.some((sign) =>
    model.findings.some(
      (finding) =>
        finding.kind === 'symptom' &&
        finding.symptom === sign &&
        finding.stated !== 'denied' &&
        finding.car === 0 &&
        finding.time === 'now',
    ),
  );
  const owner = rule !== undefined && rule.who === 'owner' && !withdrawn;
  const mustSay = owner && rule.mustSay !== '' && !step.step.toLowerCase().includes(rule.mustSay.toLowerCase());
  return {
    step: mustSay ? `${step.step} (${rule.mustSay})` : step.step,
    fault: fault.id,
    effort: owner ? step.effort : 'workshop',
    who: owner ? 'owner' : 'workshop',
    expect: step.expect,
    caution: [...(rule?.cautions ?? [])],
    kind,
    probability: Math.round(probability * 1e6) / 1e6,
    cost: step.cost,
  };
}
