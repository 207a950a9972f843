// Cars drawn from the model itself: what their owners would write, and how they would answer. Used to see whether the program is
// calibrated in its own world and whether its questions find the fault sooner than a fixed order or chance. Seeded, so that a run
// can be repeated.
import type { CaseModel, World } from '../../src/diagnosis/case-model.ts';
import { compileFindings, statesOf, symptomTerm } from '../../src/diagnosis/compile-findings.ts';
import { directLikelihood } from '../../src/diagnosis/direct-likelihood.ts';
import { type Observable, observableOf, offScale } from '../../src/diagnosis/observables.ts';
import { type Prediction, predict } from '../../src/diagnosis/predict.ts';
import type { Knowledge } from '../../src/knowledge/knowledge.ts';
import type { QuestionEntry } from '../../src/knowledge/schema/question.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import type { Condition, Quantity } from '../../src/vocabulary/quantities.ts';
import { answer, code, denied, reading, symptom } from '../diagnosis/said.ts';

/** Small seeded generator (mulberry32): uniform numbers from 0 to 1. */
export function generator(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** One car: a single hypothesis of a world. */
export interface Car {
  readonly world: World;
  readonly banks: number;
  readonly single: number;
  readonly fault: string;
  /** What was measured on it: a second look shows the same. */
  readonly measured: Map<string, number>;
}

/** A fault by its prior, single faults alone. */
export function drawFault(empty: CaseModel, next: () => number): number {
  let left = next() * empty.prior.reduce((sum, value) => sum + value, 0);
  for (let fault = 0; fault < empty.prior.length; fault += 1) {
    left -= empty.prior[fault]!;
    if (left <= 0) return fault;
  }
  return 0;
}

/** Probability that a car stores each code, by the code. */
export function codesShown(car: Car, empty: CaseModel, knowledge: Knowledge): (id: string) => number {
  const { world } = car;
  const known = new Map<string, number>();
  return (id) => {
    const kept = known.get(id);
    if (kept !== undefined) return kept;
    const [term] = compileFindings([code(id)], world.hypotheses, world.table, empty.engine, knowledge);
    const shown = term?.kind === 'yes-no' ? directLikelihood([term], world.table, [car.single])[0]! : 0;
    known.set(id, shown);
    return shown;
  };
}

export function carOf(empty: CaseModel, fault: number, next: () => number): Car {
  const world = empty.worlds[0]!;
  const { start, singles, faults } = world.hypotheses;
  let left = next();
  let single = start[fault]!;
  for (let index = start[fault]!; index < start[fault + 1]!; index += 1) {
    single = index;
    left -= singles[index]!.share;
    if (left <= 0) break;
  }
  return { world, banks: empty.engine.banks, single, fault: faults[fault]!.id, measured: new Map() };
}

/** A draw of Student's t with three degrees of freedom: a normal over the root of a mean of three squared normals. */
function studentDraw(next: () => number): number {
  const normal = () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
  const squares = normal() ** 2 + normal() ** 2 + normal() ** 2;
  return normal() / Math.sqrt(squares / 3);
}

/** What an instrument would show on this car, in the quantity's unit; null where the model predicts nothing. */
export function measure(
  car: Car,
  quantity: Quantity,
  sensor: number | null,
  bank: number,
  point: number,
  next: () => number,
): number | null {
  const name = observableOf(quantity, sensor);
  if (name === null) return null;
  const key = `${name} ${bank} ${point}`;
  const known = car.measured.get(key);
  if (known !== undefined) return known;
  // A correction off idle is that of the same car at idle and a change, which scatters far less than cars do.
  const value =
    name === 'trim' && point > 0
      ? measure(car, quantity, sensor, bank, 0, next)! + draw(car, { name: 'trim-change', bank, point }, next)
      : offScale(name, draw(car, { name, bank, point }, next));
  car.measured.set(key, value);
  return value;
}

/** A draw on the observable's scale. */
function draw(car: Car, observable: Observable, next: () => number): number {
  const prediction: Prediction = { middle: 0, spread: 1 };
  predict(car.world.table.stateOf(car.single, car.world.table.nobody), observable, car.world.around, prediction);
  return prediction.middle + prediction.spread * studentDraw(next);
}

/** Probability that this car shows a symptom. */
export function showsSymptom(car: Car, id: string, knowledge: Knowledge): number {
  const { world } = car;
  const states = statesOf(world.hypotheses, car.banks);
  const term = symptomTerm(id, [''], true, world.hypotheses, states, car.banks, knowledge, 1);
  return directLikelihood([term], world.table, [car.single])[0]!;
}

/** How an owner of this car opens: a few of its symptoms, its codes when they were read, sometimes idle corrections. */
export function firstPost(
  car: Car,
  knowledge: Knowledge,
  codeShown: (code: string) => number,
  next: () => number,
): Finding[] {
  const findings: Finding[] = [];
  for (const { id } of knowledge.symptoms) {
    if (next() < 0.5 * showsSymptom(car, id, knowledge)) findings.push(symptom(id));
  }
  if (next() < 0.6) {
    for (const { id } of knowledge.codes) if (next() < codeShown(id)) findings.push(code(id));
  }
  if (next() < 0.35) {
    const value = measure(car, 'total-trim', null, 0, 0, next);
    if (value !== null && Math.abs(value) < 60)
      findings.push(reading('total-trim', Math.round(value), { when: 'idle', bank: 1 }));
  }
  return findings;
}

/** How its owner answers a question of the knowledge base. */
export function reply(car: Car, question: QuestionEntry, knowledge: Knowledge, next: () => number): Finding[] {
  const { model } = question;
  if (model.by === 'symptom') {
    return [next() < showsSymptom(car, model.symptom, knowledge) ? symptom(model.symptom) : denied(model.symptom)];
  }
  if (model.by === 'table') {
    const row = model.faults[car.fault] ?? model.otherwise;
    let left = next();
    for (const { id } of question.answers) {
      left -= row[id] ?? 0;
      if (left <= 0) return [answer(question.id, id)];
    }
    return [answer(question.id, 'cannot-check')];
  }
  const points: readonly (Condition | undefined)[] = ['idle', '2500rpm', 'cruise', 'load'];
  return [
    answer(question.id, 'cannot-check'),
    ...model.readings.flatMap((wanted) => {
      const point = Math.max(0, points.indexOf(wanted.when ?? 'idle'));
      return Array.from({ length: car.banks }, (_, bank) => {
        const value = measure(car, wanted.quantity, wanted.sensor ?? null, bank, point, next);
        return value === null
          ? []
          : [
              reading(wanted.quantity, value, {
                when: wanted.when ?? 'idle',
                sensor: wanted.sensor ?? null,
                bank: bank + 1,
              }),
            ];
      }).flat();
    }),
  ];
}

/** What a garage adds to a post: up to `most` readings of this car, drawn without repeats. */
export function someReadings(car: Car, most: number, next: () => number): Finding[] {
  const banks = Array.from({ length: car.banks }, (_, bank) => bank);
  const open: Array<readonly [Quantity, number | null, number, number, Condition]> = [
    ...banks.flatMap((bank) => [
      ['total-trim', null, bank, 0, 'idle'] as const,
      ['total-trim', null, bank, 1, '2500rpm'] as const,
      ['total-trim', null, bank, 2, 'cruise'] as const,
      ['sensor-voltage', 2, bank, 1, '2500rpm'] as const,
    ]),
    ...(['gas-co', 'gas-co2', 'gas-o2', 'gas-hc', 'lambda'] as const).map(
      (gas) => [gas, null, 0, 1, '2500rpm'] as const,
    ),
    ['air-flow', null, 0, 0, 'idle'],
    ['manifold-pressure', null, 0, 0, 'idle'],
    ['coolant-temperature', null, 0, 2, 'cruise'],
  ];
  return Array.from({ length: Math.floor(next() * (most + 1)) }).flatMap((): Finding[] => {
    const [drawn] = open.splice(Math.floor(next() * open.length), 1);
    if (!drawn) return [];
    const [quantity, sensor, bank, point, when] = drawn;
    const value = measure(car, quantity, sensor, bank, point, next);
    return value === null ? [] : [reading(quantity, value, { when, sensor, bank: bank + 1 })];
  });
}
