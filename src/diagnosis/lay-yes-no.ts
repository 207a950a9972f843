// Yes-no terms laid out for speed: codes and symptoms as rows of absences by hypothesis. evaluator.ts asks for their likelihoods
// tens of thousands of times a post.
import type { YesNoTerm } from './terms.ts';

export interface LaidYesNo {
  readonly count: number;
  /** Likelihood of a term for two singles (the second may be nobody), with the mixture drivers of their common state. */
  readonly likelihood: (term: number, first: number, second: number, drivers: Float64Array) => number;
  /** Upper bound of the same over all values of the drivers. */
  readonly bound: (term: number, first: number, second: number) => number;
}

/** @param nobody index that stands for "no second fault" */
export function layYesNo(terms: readonly YesNoTerm[], nobody: number): LaidYesNo {
  const width = nobody + 1;
  const absence = new Float64Array(terms.length * width).fill(1);
  const background = Float64Array.from(terms, (term) => term.backgroundAbsence);
  const present = Uint8Array.from(terms, (term) => (term.present ? 1 : 0));
  const noticed = Float64Array.from(terms, (term) => term.noticed);
  const strength = Float64Array.from(terms, (term) => term.strength);
  const start = new Int32Array(terms.length + 1);
  const driver: number[] = [];
  const weight: number[] = [];
  const loosest = new Float64Array(terms.length).fill(1);
  terms.forEach((term, index) => {
    absence.set(term.ownAbsence, index * width);
    start[index] = driver.length;
    for (const [which, much] of term.drivers) {
      driver.push(which);
      weight.push(much);
      loosest[index]! *= 1 - much;
    }
  });
  start[terms.length] = driver.length;
  const drivenBy = Int32Array.from(driver);
  const drivenMuch = Float64Array.from(weight);

  function of(term: number, absent: number): number {
    const value = present[term] === 1 ? 1 - absent : 1 - noticed[term]! * (1 - absent);
    return strength[term] === 1 ? value : value ** strength[term]!;
  }
  function alone(term: number, first: number, second: number): number {
    return background[term]! * absence[term * width + first]! * absence[term * width + second]!;
  }

  return {
    count: terms.length,
    likelihood(term, first, second, drivers) {
      let absent = alone(term, first, second);
      for (let k = start[term]!; k < start[term + 1]!; k += 1) absent *= 1 - drivenMuch[k]! * drivers[drivenBy[k]!]!;
      return of(term, absent);
    },
    // Drivers lie between 0 and 1: all at 1 for what is there, all at 0 for what is not.
    bound(term, first, second) {
      const absent = alone(term, first, second);
      return of(term, present[term] === 1 ? absent * loosest[term]! : absent);
    },
  };
}
