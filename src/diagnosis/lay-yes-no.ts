// Yes-no terms laid out for speed: codes and symptoms as rows of absences by hypothesis. evaluator.ts asks for their likelihoods
// tens of thousands of times a post.
import { mixtureDriverCount } from './code-setting.ts';
import type { SettledTable } from './settled-table.ts';
import type { YesNoTerm } from './terms.ts';

export interface LaidYesNo {
  readonly count: number;
  /** Likelihood of a term for two singles (the second may be nobody), whose common state stands at `row`. */
  readonly likelihood: (term: number, first: number, second: number, row: number) => number;
  /** Multiplies `out` by the likelihood of a term over the whole block of two faults, in the order of its rows. */
  readonly multiply: (term: number, firstFault: number, secondFault: number, out: Float64Array) => void;
  /** Upper bound of the same over the block of two faults. */
  readonly bound: (term: number, firstFault: number, secondFault: number) => number;
}

export function layYesNo(terms: readonly YesNoTerm[], table: SettledTable): LaidYesNo {
  const { nobody, faults, drivers, driversOver, blockStart, start: singlesStart } = table;
  const width = nobody + 1;
  const absence = new Float64Array(terms.length * width).fill(1);
  const least = new Float64Array(terms.length * (faults + 1)).fill(1);
  const greatest = new Float64Array(terms.length * (faults + 1)).fill(1);
  const background = Float64Array.from(terms, (term) => term.backgroundAbsence);
  const present = Uint8Array.from(terms, (term) => (term.present ? 1 : 0));
  const noticed = Float64Array.from(terms, (term) => term.noticed);
  const strength = Float64Array.from(terms, (term) => term.strength);
  const start = new Int32Array(terms.length + 1);
  const driver: number[] = [];
  const weight: number[] = [];
  terms.forEach((term, index) => {
    absence.set(term.ownAbsence, index * width);
    start[index] = driver.length;
    for (const [which, much] of term.drivers) {
      driver.push(which);
      weight.push(much);
    }
    for (let fault = 0; fault < faults; fault += 1) {
      const own = term.ownAbsence.subarray(singlesStart[fault]!, singlesStart[fault + 1]!);
      least[index * (faults + 1) + fault] = own.reduce((low, value) => Math.min(low, value), 1);
      greatest[index * (faults + 1) + fault] = own.reduce((high, value) => Math.max(high, value), 0);
    }
  });
  start[terms.length] = driver.length;
  const drivenBy = Int32Array.from(driver);
  const drivenMuch = Float64Array.from(weight);

  function of(term: number, absent: number): number {
    const value = present[term] === 1 ? 1 - absent : 1 - noticed[term]! * (1 - absent);
    return strength[term] === 1 ? value : value ** strength[term]!;
  }

  return {
    count: terms.length,
    likelihood(term, first, second, row) {
      let absent = background[term]! * absence[term * width + first]! * absence[term * width + second]!;
      const at = row * mixtureDriverCount;
      for (let k = start[term]!; k < start[term + 1]!; k += 1)
        absent *= 1 - drivenMuch[k]! * drivers[at + drivenBy[k]!]!;
      return of(term, absent);
    },
    multiply(term, firstFault, secondFault, out) {
      const from = singlesStart[secondFault]!;
      const to = singlesStart[secondFault + 1]!;
      const base = term * width;
      const there = present[term] === 1;
      const notice = noticed[term]!;
      const counts = strength[term]!;
      const firstDriver = start[term]!;
      const lastDriver = start[term + 1]!;
      let at = blockStart[firstFault * (faults + 1) + secondFault]! * mixtureDriverCount;
      let row = 0;
      for (let a = singlesStart[firstFault]!; a < singlesStart[firstFault + 1]!; a += 1) {
        const ofFirst = background[term]! * absence[base + a]!;
        for (let b = from; b < to; b += 1) {
          let absent = ofFirst * absence[base + b]!;
          for (let k = firstDriver; k < lastDriver; k += 1) absent *= 1 - drivenMuch[k]! * drivers[at + drivenBy[k]!]!;
          const value = there ? 1 - absent : 1 - notice * (1 - absent);
          out[row]! *= counts === 1 ? value : value ** counts;
          row += 1;
          at += mixtureDriverCount;
        }
      }
    },
    bound(term, firstFault, secondFault) {
      const there = present[term] === 1;
      const own = there ? least : greatest;
      const driven = there ? driversOver.high : driversOver.low;
      const at = (firstFault * (faults + 1) + secondFault) * mixtureDriverCount;
      let absent = background[term]! * own[term * (faults + 1) + firstFault]! * own[term * (faults + 1) + secondFault]!;
      for (let k = start[term]!; k < start[term + 1]!; k += 1)
        absent *= 1 - drivenMuch[k]! * driven[at + drivenBy[k]!]!;
      return of(term, absent);
    },
  };
}
