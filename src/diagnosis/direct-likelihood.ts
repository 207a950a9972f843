// The likelihood of terms under one to three faults straight from their composed state, without tables: for hypotheses that are
// looked at one by one. third-faults.ts asks for three at once; tests hold the tables of evaluator.ts against it.
import { driveMonitors, mixtureDriverCount } from './code-setting.ts';
import { type Prediction, predict } from './predict.ts';
import type { SettledTable } from './settled-table.ts';
import { driveSymptoms } from './symptom-drivers.ts';
import { densityOf, leastLikelihood, saidOrDenied } from './term-table.ts';
import type { Term } from './terms.ts';

/**
 * @param singles one to three singles, the healthy engine (`table.nobody`) allowed
 * @returns one likelihood a term, its strength applied
 */
export function directLikelihood(
  terms: readonly Term[],
  table: SettledTable,
  singles: readonly number[],
): Float64Array {
  const { nobody, around } = table;
  const state = table.stateOf(singles[0] ?? nobody, singles[1] ?? nobody, singles[2] ?? nobody);
  const driven = new Float64Array(mixtureDriverCount);
  driveSymptoms(state, driven);
  driveMonitors(state, driven);
  const prediction: Prediction = { middle: 0, spread: 1 };
  return Float64Array.from(terms, (term) => {
    let likelihood = 1;
    if (term.kind === 'factor') {
      for (const single of singles) likelihood *= Math.max(leastLikelihood, term.factor[single] ?? 1);
    } else if (term.kind === 'yes-no') {
      let absent = term.backgroundAbsence;
      for (const single of singles) absent *= term.ownAbsence[single] ?? 1;
      for (const [driver, weight] of term.drivers) absent *= 1 - weight * driven[driver]!;
      likelihood = saidOrDenied(term, absent);
    } else {
      likelihood = 0;
      for (const { observable, weight } of term.alternatives) {
        predict(state, observable, around, prediction);
        likelihood += weight * densityOf(term, prediction.middle, prediction.spread);
      }
    }
    return Math.max(leastLikelihood, likelihood) ** term.strength;
  });
}
