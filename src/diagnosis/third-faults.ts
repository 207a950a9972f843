// Whether a third fault at once would explain what the best one or two leave over. judge-fit.ts asks when a case fits badly. A bounded
// search, not part of the exact sum: only the likeliest pairs are extended, so that it can miss a triple but never invents one.
import type { CaseModel, World } from './case-model.ts';
import { directLikelihood } from './direct-likelihood.ts';
import { type Explained, lossOf, totalLoss } from './fit-losses.ts';
import { leads, pairMass } from './hypotheses.ts';
import { type Prediction, predict } from './predict.ts';
import type { ReadingTerm } from './terms.ts';

/** Pairs of faults that are extended, each at its likeliest severities. */
const pairsTried = 6;

/** Probability against everything of one and two faults from which a triple is named. */
const leastProbability = 0.25;

/**
 * @param explained the best explanation by one or two faults
 * @returns names of three faults, the likeliest root first; null where no triple is both likely enough and a better fit
 */
export function findThird(model: CaseModel, explained: Explained): string[] | null {
  const world = model.worlds[0]!;
  const before = totalLoss(explained.losses);
  let best: { readonly singles: readonly number[]; readonly mass: number } | null = null;
  for (const [a, b] of likeliestPairs(world)) {
    const pairLikelihood = world.evaluator.both(a, b);
    const pairMassOf = massOfPair(world, a, b);
    for (let third = 0; third < world.table.nobody; third += 1) {
      const prior = priorOfThird(world, a, b, third);
      if (prior === 0) continue;
      const likelihood = directLikelihood(world.terms, world.table, [a, b, third]);
      const ratio = Math.exp(likelihood.reduce((sum, value) => sum + Math.log(value), 0) - pairLikelihood);
      const mass = pairMassOf * prior * ratio;
      if (!best || mass > best.mass) best = { singles: [a, b, third], mass };
    }
  }
  if (!best || best.mass / (1 + best.mass) < leastProbability) return null;
  const after = totalLoss(lossesOf(world, best.singles));
  if (after.loss > before.loss - 1) return null;
  return best.singles.map((single) => model.faults[world.hypotheses.singles[single]!.fault]!.name);
}

/** The likeliest pairs of singles, by the likeliest pairs of faults. */
function likeliestPairs(world: World): Array<readonly [number, number]> {
  const { together } = world.posterior;
  const { start, faults, singles } = world.hypotheses;
  const count = faults.length;
  return Array.from(together.keys())
    .filter((index) => together[index]! > 0)
    .sort((x, y) => together[y]! - together[x]!)
    .slice(0, pairsTried)
    .map((index) => {
      const first = Math.floor(index / count);
      const second = index % count;
      let most = -Infinity;
      let found: readonly [number, number] = [start[first]!, start[second]!];
      for (let a = start[first]!; a < start[first + 1]!; a += 1) {
        for (let b = start[second]!; b < start[second + 1]!; b += 1) {
          const mass = Math.log(singles[a]!.share * singles[b]!.share) + world.evaluator.both(a, b);
          if (mass > most) {
            most = mass;
            found = [a, b];
          }
        }
      }
      return found;
    });
}

/** Posterior mass of one pair of singles. */
function massOfPair(world: World, a: number, b: number): number {
  const { singles, faults } = world.hypotheses;
  const [one, other] = [singles[a]!, singles[b]!];
  const prior = world.pair[one.fault * faults.length + other.fault]! * one.share * other.share;
  return prior * Math.exp(world.evaluator.both(a, b) - world.posterior.evidence);
}

/** Probability that a third fault joins two: as a second joins one, by its own share and what brings it about (judgement). */
function priorOfThird(world: World, a: number, b: number, third: number): number {
  const { singles, aloneOnly } = world.hypotheses;
  const { fault, share } = singles[third]!;
  if (aloneOnly[fault] || fault === singles[a]!.fault || fault === singles[b]!.fault) return 0;
  const chain = Math.max(
    1,
    leads(world.hypotheses, singles[a]!.fault, fault),
    leads(world.hypotheses, singles[b]!.fault, fault),
  );
  return Math.min(0.5, pairMass * (world.single[fault]! / (1 - pairMass)) * chain) * share;
}

function lossesOf(world: World, singles: readonly number[]): Explained['losses'] {
  const likelihood = directLikelihood(world.terms, world.table, singles);
  return world.terms.map((term, index) => ({
    term,
    loss: lossOf(term, likelihood[index]!, term.kind === 'reading' ? peakOf(world, term, singles) : 1),
  }));
}

/** The most that the three could make of any figure in place of this one. */
function peakOf(world: World, term: ReadingTerm, singles: readonly number[]): number {
  if (term.limit !== null) return 1;
  const { nobody, around } = world.table;
  const state = world.table.stateOf(singles[0] ?? nobody, singles[1] ?? nobody, singles[2] ?? nobody);
  const prediction: Prediction = { middle: 0, spread: 1 };
  return Math.max(
    ...term.alternatives.map(({ observable, weight }) => {
      predict(state, observable, around, prediction);
      return weight / (prediction.spread * term.widen);
    }),
  );
}
