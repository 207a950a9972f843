// Honesty: how badly the best explanation fits, which findings clash, and whether a helper is asked in.
import type { Conflict, Fit } from '../vocabulary/answer-document.ts';
import type { CaseModel, World } from './case-model.ts';
import type { SettledTable } from './settled-table.ts';
import { smoothStep } from './smooth-step.ts';
import type { ReadingTerm, Term } from './terms.ts';

/**
 * Part of a loss -log(likelihood / the most it could be) that is nothing out of the ordinary [nats]: a reading under the right
 * hypothesis loses more in one case of six (Student's t, three degrees of freedom).
 */
const ordinaryLoss = 1.5;

/** What a reading loses beyond that on average under the right hypothesis, by the same distribution. */
const ordinaryExcess = 0.15;

/** Excess at which a case is as surprising as not (judgement: one figure six spreads off, or two of four). */
const surprisingExcess = 4.2;

/** A symptom that the fault does not bring about is no contradiction, only something else: its loss counts no further. */
const mostSymptomLoss = 2.2;
const mostCodeLoss = 4;

/** One figure alone, however far off, may be misread: two are needed to call a case contradictory. */
const mostReadingLoss = 5;

/** Losses beyond this are named as clashing [nats]. */
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
  const losses = lossesOfBest(world);
  let excess = 0;
  for (const { term, loss } of losses) {
    if (term.kind === 'factor' || term.findings.length === 0) continue;
    excess += term.strength * (Math.max(0, loss - ordinaryLoss) - (term.kind === 'reading' ? ordinaryExcess : 0));
  }
  const surprise = Math.round(smoothStep(excess, surprisingExcess, 1) * 1000) / 1000;
  const clashing = losses
    .filter(({ term, loss }) => term.kind !== 'factor' && loss > clashingLoss)
    .sort((a, b) => b.loss - a.loss);
  const clash = [...new Set(clashing.slice(0, 4).flatMap(({ term }) => term.findings))];
  const opposed = oppositeCodes(model);
  for (const id of opposed) if (!clash.includes(id)) clash.push(id);
  const wanted = surprise > handOverSurprise || conflicts.length >= 2 || (opposed.length > 0 && surprise > 0.3);
  return {
    surprise,
    clash,
    handOver: {
      wanted,
      because: !wanted
        ? null
        : surprise > handOverSurprise || opposed.length > 0
          ? 'no single cause, and no two together, explain what you report well'
          : 'several of the things you report cannot all be true',
    },
  };
}

const handOverSurprise = 0.8;

/** Loss of every term under the hypothesis, single or pair, that explains the case best. */
function lossesOfBest(world: World): Array<{ term: Term; loss: number }> {
  const [first, second] = bestHypothesis(world);
  return world.terms.map((term, index) => {
    const value = Math.max(1e-12, world.evaluator.ofTerm(index, first, second) ** (1 / term.strength));
    if (term.kind === 'reading') {
      const peak = peakOf(world.table, term, first, second);
      return { term, loss: Math.min(mostReadingLoss, Math.max(0, Math.log(peak / value))) };
    }
    if (term.kind === 'factor') return { term, loss: 0 };
    const cap = 'code' in term.about ? mostCodeLoss : mostSymptomLoss;
    return { term, loss: Math.min(cap, -Math.log(value)) };
  });
}

/** The most that two singles could make of any figure in place of this one. */
function peakOf(table: SettledTable, term: ReadingTerm, first: number, second: number): number {
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
  const nobody = world.table.nobody;
  if (together[pair]! <= alone) return [best, nobody];
  const first = Math.floor(pair / faults.length);
  const second = pair % faults.length;
  let most = -1;
  let found: readonly [number, number] = [best, nobody];
  for (let a = start[first]!; a < start[first + 1]!; a += 1) {
    for (let b = start[second]!; b < start[second + 1]!; b += 1) {
      const mass =
        singles[a]!.share * singles[b]!.share * Math.exp(world.evaluator.both(a, b) - world.evaluator.alone[best]!);
      if (mass > most) {
        most = mass;
        found = [a, b];
      }
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
