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
      numbers = numberValues(
        Float64Array.from([...hypotheses.singles.map((single) => single.effects), healthy], (effects) => {
          return effects[block][offset]!;
        }),
      );
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
  const numbers = new Map<number, number>();
  return Int32Array.from(values, (value) => {
    const number = numbers.get(value) ?? numbers.size;
    numbers.set(value, number);
    return number;
  });
}

/** Splits classes by one more number each; the class of the last entry, the healthy engine, becomes 0. */
export function refine(classes: Classes, numbers: ArrayLike<number>): Classes {
  const size = classes.of.length;
  const first = numbers[0]!;
  let alike = true;
  for (let index = 1; index < size && alike; index += 1) alike = numbers[index] === first;
  if (alike) return classes;
  const found = new Map<number, number>();
  const of = new Int32Array(size);
  const example: number[] = [];
  for (let step = 0; step < size; step += 1) {
    const index = step === 0 ? size - 1 : step - 1;
    const key = classes.of[index]! * size + numbers[index]!;
    let number = found.get(key);
    if (number === undefined) {
      number = example.length;
      found.set(key, number);
      example.push(index);
    }
    of[index] = number;
  }
  return { of, count: example.length, example: Int32Array.from(example) };
}
