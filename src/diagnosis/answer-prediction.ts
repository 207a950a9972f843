// What the model expects as answers to a question: for every answer its probability under each fault. Questions with figures
// have no fixed answers: the hypotheses themselves serve as the sample of what may be read.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { QuestionEntry } from '../knowledge/schema/question.ts';
import type { CaseModel, World } from './case-model.ts';
import { statesOf, symptomTerm } from './compile-findings.ts';
import { tableFloor } from './factor-terms.ts';
import { type Observable, observableOf } from './observables.ts';
import { pointCount, pointWeights } from './operating-points.ts';
import { type Prediction, predict } from './predict.ts';
import { relativeDensity } from './student-t.ts';
import { absentAlone } from './term-table.ts';

/** Weight of every single hypothesis: the fault's probability as main cause, shared over its singles by their masses. */
export function hypothesisWeights(model: CaseModel, world: World): Float64Array {
  const { singles } = world.hypotheses;
  const { bySingle, inPairs } = world.posterior;
  const byFault = new Float64Array(model.faults.length);
  const mass = singles.map((_, index) => bySingle[index]! + 0.5 * inPairs[index]!);
  singles.forEach((single, index) => {
    byFault[single.fault]! += mass[index]!;
  });
  return Float64Array.from(singles, (single, index) =>
    byFault[single.fault]! > 0
      ? (model.attributed.probability[single.fault]! * mass[index]!) / byFault[single.fault]!
      : 0,
  );
}

/** Rows of answer probabilities by fault, in the order of the question's answers. Null for a question of figures. */
export function answersByFault(
  model: CaseModel,
  world: World,
  weights: Float64Array,
  question: QuestionEntry,
  knowledge: Knowledge,
): Float64Array[] | null {
  const { model: predictedBy } = question;
  if (predictedBy.by === 'readings') return null;
  if (predictedBy.by === 'table') {
    return question.answers.map(({ id }) =>
      Float64Array.from(model.faults, (fault) =>
        Math.max(tableFloor, (predictedBy.faults[fault.id] ?? predictedBy.otherwise)[id] ?? 0),
      ),
    );
  }
  const { hypotheses } = world;
  const states = statesOf(hypotheses, model.engine.banks);
  const term = symptomTerm(predictedBy.symptom, [''], true, hypotheses, states, model.engine.banks, knowledge, 1);
  const yes = new Float64Array(model.faults.length);
  const total = new Float64Array(model.faults.length);
  hypotheses.singles.forEach((single, index) => {
    if (weights[index]! <= 0) return;
    yes[single.fault]! += weights[index]! * term.noticed * (1 - absentAlone(term, world.table, index));
    total[single.fault]! += weights[index]!;
  });
  for (let fault = 0; fault < yes.length; fault += 1)
    yes[fault] = total[fault]! > 0 ? yes[fault]! / total[fault]! : 0.5;
  return [yes, yes.map((value) => 1 - value)];
}

/** Beside the idle figure a correction elsewhere is weighed as its change from there, which is known far more sharply. */
function asChange(observable: Observable, asked: readonly Observable[], world: World): Observable {
  const { name, bank, point } = observable;
  if (name !== 'trim' || point === 0) return observable;
  const idle = { name, bank, point: 0 };
  const known =
    isRead(world, idle) || asked.some((other) => other.name === name && other.bank === bank && other.point === 0);
  return known ? { name: 'trim-change', bank, point } : observable;
}

/** What has been read already tells nothing when it is read again. */
function isRead(world: World, { name, bank, point }: Observable): boolean {
  return world.terms.some(
    (term) =>
      term.kind === 'reading' &&
      term.alternatives.length === 1 &&
      term.alternatives.every(
        ({ observable }) =>
          (observable.name === name || (name === 'trim' && observable.name === 'trim-change')) &&
          observable.bank === bank &&
          observable.point === point,
      ),
  );
}

/** Hypotheses taken as the sample of what may be read; the rest of the weight is small. */
const sampleSize = 32;

/** Hypotheses below this change no gain that is worth a question. */
const leastWeight = 1e-4;

/**
 * Expected posteriors of the faults after figures are read: for each sampled hypothesis, the faults' weights given what it
 * would show. Two draws of the same reading differ by the spread times the root of two, so that is the spread used.
 */
export function posteriorsAfterFigures(
  model: CaseModel,
  world: World,
  weights: Float64Array,
  question: QuestionEntry,
): Array<{ readonly probability: number; readonly faults: Float64Array }> {
  if (question.model.by !== 'readings') return [];
  const asked: Observable[] = question.model.readings.flatMap((reading) => {
    const name = observableOf(reading.quantity, reading.sensor ?? null);
    const pointsOf = pointWeights(reading.when ?? null);
    if (name === null || pointsOf === null) return [];
    const point = pointsOf.indexOf(Math.max(...pointsOf));
    return Array.from({ length: model.engine.banks }, (_, bank) => ({
      name,
      bank,
      point: Math.min(point, pointCount - 1),
    })).filter((observable) => !isRead(world, observable));
  });
  if (asked.length === 0) return [];
  const wanted = asked.map((observable) => asChange(observable, asked, world));
  const { singles } = world.hypotheses;
  const order = Array.from(weights.keys())
    .filter((index) => weights[index]! > leastWeight)
    .sort((a, b) => weights[b]! - weights[a]!);
  const middle = new Float64Array(singles.length * wanted.length);
  const spread = new Float64Array(singles.length * wanted.length);
  const prediction: Prediction = { middle: 0, spread: 1 };
  for (const index of order) {
    const state = world.table.stateOf(index, world.table.nobody);
    wanted.forEach((observable, place) => {
      predict(state, observable, world.around, prediction);
      middle[index * wanted.length + place] = prediction.middle;
      spread[index * wanted.length + place] = prediction.spread * Math.SQRT2;
    });
  }
  const sample = order.slice(0, sampleSize);
  const sampled = sample.reduce((sum, index) => sum + weights[index]!, 0);
  return sample.map((source) => {
    const faults = new Float64Array(model.faults.length);
    for (const index of order) {
      let fits = weights[index]!;
      for (let place = 0; place < wanted.length; place += 1) {
        const at = index * wanted.length + place;
        fits *= relativeDensity(middle[source * wanted.length + place]!, middle[at]!, spread[at]!);
      }
      faults[singles[index]!.fault]! += fits;
    }
    const total = faults.reduce((sum, value) => sum + value, 0);
    return { probability: weights[source]! / sampled, faults: faults.map((value) => value / total) };
  });
}
