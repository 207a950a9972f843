// Causes and pairs for the answer document: ranked, rounded so that they still sum to 1, with their evidence.
import type { Cause, Together } from '../vocabulary/answer-document.ts';
import type { CaseModel } from './case-model.ts';
import { tabulateTerms, weighEvidence } from './weigh-evidence.ts';

/** Causes below this are left out; what they hold is shared over the rest in proportion. */
const leastProbability = 0.001;
/** Causes that are always listed. */
const alwaysListed: readonly string[] = ['no-fault-use-pattern', 'outside-the-trade'];
/** Evidence is told for causes of at least this probability. */
const leastExplained = 0.01;
/** Probabilities are whole millionths, so that they sum to 1 to the last digit. */
const parts = 1_000_000;

export function listCauses(model: CaseModel): Cause[] {
  const { probability } = model.attributed;
  const listed = Array.from(probability.keys()).filter(
    (fault) => probability[fault]! >= leastProbability || alwaysListed.includes(model.faults[fault]!.id),
  );
  const held = listed.reduce((sum, fault) => sum + probability[fault]!, 0);
  const whole = new Map(listed.map((fault) => [fault, Math.round((probability[fault]! / held) * parts)]));
  const order = listed.sort(
    (a, b) => whole.get(b)! - whole.get(a)! || (model.faults[a]!.id < model.faults[b]!.id ? -1 : 1),
  );
  // What rounding left over goes to the first: a few millionths.
  const sum = order.reduce((total, fault) => total + whole.get(fault)!, 0);
  whole.set(order[0]!, whole.get(order[0]!)! + parts - sum);
  const table = tabulateTerms(model);
  return order.map((fault, rank) => ({
    fault: model.faults[fault]!.id,
    name: model.faults[fault]!.name,
    bank: bankOf(model, fault),
    probability: whole.get(fault)! / parts,
    ...(rank < 3 || probability[fault]! >= leastExplained
      ? weighEvidence(model, table, fault)
      : { for: [], against: [] }),
  }));
}

/** A bank is named at this share of what speaks for both alike, if it outweighs the other bank this many times. */
const namedShare = 0.25;
const clearly = 4;

/** The most probable bank of a fault, 1-based; null where both are alike or the engine has one. */
function bankOf(model: CaseModel, fault: number): number | null {
  if (model.engine.banks === 1) return null;
  const mass = [0, 0, 0];
  for (const { weight, hypotheses, posterior } of model.worlds) {
    for (let single = hypotheses.start[fault]!; single < hypotheses.start[fault + 1]!; single += 1) {
      const place = hypotheses.singles[single]!.mainBank ?? 2;
      mass[place]! += weight * (posterior.bySingle[single]! + posterior.inPairs[single]!);
    }
  }
  const [one = 0, two = 0, alike = 0] = mass;
  const better = two > one ? 1 : 0;
  const more = Math.max(one, two);
  // Alike on both banks is the plainest picture; a bank is named where it has most, or much and the other next to nothing.
  const clear =
    more > alike ? more > Math.min(one, two) : more > namedShare * alike && more > clearly * Math.min(one, two);
  return clear ? better + 1 : null;
}

/** Pairs below this are not worth a line. */
const leastTogether = 0.02;

export function listTogether(model: CaseModel): Together[] {
  return model.attributed.pairs
    .filter((pair) => pair.probability >= leastTogether)
    .slice(0, 5)
    .map(({ root, other, probability, chained }) => {
      const first = model.faults[root]!;
      const second = model.faults[other]!;
      return {
        faults: [first.id, second.id],
        root: first.id,
        probability: Math.round(probability * parts) / parts,
        why: chained
          ? `${first.name} brings about ${second.name} in time: the first must be put right first`
          : `${first.name} explains more of it, ${second.name} the rest`,
      };
    });
}
