// How far each finding falls short under the best explanation of a case, and how far all of them do against what is usual.
// judge-fit.ts words it, third-faults.ts looks whether a third fault would close the gap.
import type { World } from './case-model.ts';
import type { ReadingTerm, Term } from './terms.ts';

/** A symptom that the fault does not bring about is no contradiction, only something else: its loss counts no further [nats]. */
const mostSymptomLoss = 2.2;
const mostCodeLoss = 4;
/** One figure alone, however far off, may be misread: two are needed to call a case contradictory. */
const mostReadingLoss = 6;
/** What a code or symptom may lose without being out of the ordinary [nats]. */
const ordinaryMark = 1.5;

export interface TermLoss {
  readonly term: Term;
  /** -log(likelihood / the most that any value in its place could have), strength left out, capped. */
  readonly loss: number;
}

export interface Explained {
  /** The singles of the best explanation: one or two. */
  readonly singles: readonly number[];
  readonly losses: readonly TermLoss[];
}

/** The most probable explanation, single or pair, and what every term loses under it. */
export function bestExplained(world: World): Explained {
  const { nobody } = world.table;
  const [first, second] = bestHypothesis(world);
  const losses = world.terms.map((term, index) => {
    const likelihood = world.evaluator.ofTerm(index, first, second);
    return { term, loss: lossOf(term, likelihood, term.kind === 'reading' ? peakOf(world, term, first, second) : 1) };
  });
  return { singles: second === nobody ? [first] : [first, second], losses };
}

/** @param peak the most that any figure could have in place of this one */
export function lossOf(term: Term, likelihood: number, peak: number): number {
  const value = Math.max(1e-12, likelihood ** (1 / term.strength));
  if (term.kind === 'factor') return 0;
  if (term.kind === 'reading') return Math.min(mostReadingLoss, Math.max(0, Math.log(peak / value)));
  return Math.min('code' in term.about ? mostCodeLoss : mostSymptomLoss, -Math.log(value));
}

/** What all losses come to, and the numbers of readings and of codes and symptoms that they come from (strengths counted). */
export function totalLoss(losses: readonly TermLoss[]): { loss: number; readings: number; marks: number } {
  let loss = 0;
  let readings = 0;
  let marks = 0;
  for (const { term, loss: own } of losses) {
    if (term.findings.length === 0 || term.kind === 'factor') continue;
    if (term.kind === 'reading') {
      loss += term.strength * own;
      readings += term.strength;
    } else {
      loss += term.strength * Math.max(0, own - ordinaryMark);
      marks += term.strength;
    }
  }
  return { loss, readings, marks };
}

/** The most that two singles could make of any figure in place of this one. */
function peakOf({ table }: World, term: ReadingTerm, first: number, second: number): number {
  if (term.limit !== null) return 1;
  const columns = table.columns(term.alternatives.map((alternative) => alternative.observable));
  return Math.max(
    ...term.alternatives.map(({ weight }, index) => {
      const { classes, spread } = columns[index]!;
      return weight / (spread[classes.of[first]! * classes.count + classes.of[second]!]! * term.widen);
    }),
  );
}

/** The most probable single, or the most probable pair of singles where the likeliest pair of faults outweighs it. */
function bestHypothesis(world: World): readonly [number, number] {
  const { bySingle, together } = world.posterior;
  const { start, faults, singles } = world.hypotheses;
  let best = 0;
  for (let single = 1; single < bySingle.length; single += 1) if (bySingle[single]! > bySingle[best]!) best = single;
  let pair = 0;
  for (let index = 1; index < together.length; index += 1) if (together[index]! > together[pair]!) pair = index;
  const alone = world.posterior.alone[singles[best]!.fault]!;
  if (together[pair]! <= alone) return [best, world.table.nobody];
  const first = Math.floor(pair / faults.length);
  const second = pair % faults.length;
  let most = -Infinity;
  let found: readonly [number, number] = [best, world.table.nobody];
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
}
