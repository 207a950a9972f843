// Which singles act alike on something: a reading at idle sees nothing of what happens under load, so most faults look the same to
// it. settled-table.ts and evaluator.ts work out one number for each pair of classes instead of one for each pair of singles.
import { type Effects, noEffects } from './effects.ts';
import type { Hypotheses } from './hypotheses.ts';

/** What something depends on: offsets into the two blocks of an `Effects`, and cells whose settled mixture it reads. */
export interface Inputs {
  readonly times: readonly number[];
  readonly plus: readonly number[];
  readonly cells: readonly number[];
}

/** A partition of the singles, the healthy engine (the index behind the last single) among them. */
export interface Classes {
  /** Class of each single; the healthy engine and whatever acts like it are class 0. */
  readonly of: Int32Array;
  readonly count: number;
  /** One single of each class. */
  readonly example: Int32Array;
}

const known = new WeakMap<Hypotheses, { byInputs: Map<string, Classes>; byOffset: Map<string, Int32Array> }>();

/**
 * Singles that have the same effects at all of the offsets and in all of the cells; kept beside the hypotheses.
 *
 * @param ofCell what the mixture of a cell depends on
 */
export function classesByEffects(hypotheses: Hypotheses, inputs: Inputs, ofCell: (cell: number) => Inputs): Classes {
  const kept = known.get(hypotheses) ?? { byInputs: new Map(), byOffset: new Map() };
  known.set(hypotheses, kept);
  const key = keyOf(inputs);
  const found = kept.byInputs.get(key);
  if (found) return found;
  const healthy = noEffects();
  const numbersAt = (block: keyof Effects, offset: number) => {
    const name = `${block} ${offset}`;
    let numbers = kept.byOffset.get(name);
    if (!numbers) {
      const values = new Float64Array(hypotheses.singles.length + 1);
      hypotheses.singles.forEach((single, index) => {
        values[index] = single.effects[block][offset]!;
      });
      values[hypotheses.singles.length] = healthy[block][offset]!;
      numbers = numberValues(values);
      kept.byOffset.set(name, numbers);
    }
    return numbers;
  };
  let classes = everyoneAlike(hypotheses.singles.length + 1);
  for (const cell of inputs.cells) classes = refine(classes, classesByEffects(hypotheses, ofCell(cell), ofCell).of);
  for (const offset of inputs.times) classes = refine(classes, numbersAt('times', offset));
  for (const offset of inputs.plus) classes = refine(classes, numbersAt('plus', offset));
  kept.byInputs.set(key, classes);
  return classes;
}

export function keyOf(inputs: Inputs): string {
  return `${inputs.times.join()} ${inputs.plus.join()} ${inputs.cells.join()}`;
}

export function everyoneAlike(size: number): Classes {
  return { of: new Int32Array(size), count: 1, example: Int32Array.of(size - 1) };
}

/** Numbers 0, 1, 2 ... for the distinct values of an array. */
export function numberValues(values: Float64Array): Int32Array {
  const of = new Int32Array(values.length);
  // Effects take few values each: a short list is searched faster than a map of floating numbers.
  const few: number[] = [];
  const many = new Map<number, number>();
  for (let index = 0; index < values.length; index += 1) {
    const value = values[index]!;
    if (index > 0 && value === values[index - 1]) {
      of[index] = of[index - 1]!;
      continue;
    }
    let number = few.indexOf(value);
    if (number < 0) number = many.get(value) ?? few.length + many.size;
    if (number === few.length && many.size === 0 && few.length < mostListed) few.push(value);
    else if (number >= few.length) many.set(value, number);
    of[index] = number;
  }
  return of;
}
const mostListed = 24;

/** Splits classes by one more number each; the class of the last entry, the healthy engine, becomes 0. */
export function refine(classes: Classes, numbers: ArrayLike<number>): Classes {
  const size = classes.of.length;
  const first = numbers[0]!;
  let alike = true;
  for (let index = 1; index < size && alike; index += 1) alike = numbers[index] === first;
  if (alike) return classes;
  let most = 0;
  for (let index = 0; index < size; index += 1) most = Math.max(most, numbers[index]!);
  const width = most + 1;
  const found = new Int32Array(classes.count * width).fill(-1);
  const of = new Int32Array(size);
  const example: number[] = [];
  for (let step = 0; step < size; step += 1) {
    const index = step === 0 ? size - 1 : step - 1;
    const key = classes.of[index]! * width + numbers[index]!;
    let number = found[key]!;
    if (number < 0) {
      number = example.length;
      found[key] = number;
      example.push(index);
    }
    of[index] = number;
  }
  return { of, count: example.length, example: Int32Array.from(example) };
}
