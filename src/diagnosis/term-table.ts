// How likely one term is under every fault alone and every two faults: one number for each two classes of faults that it cannot tell
// apart. evaluator.ts multiplies them up.
import { mixtureDriverCount } from './code-setting.ts';
import { type Classes, everyoneAlike, numberValues, refine } from './effect-classes.ts';
import type { Column, DriverGrid, SettledTable } from './settled-table.ts';
import { cumulative, relativeDensity } from './student-t.ts';
import type { ReadingTerm, Term, YesNoTerm } from './terms.ts';

export interface TermTable {
  readonly classes: Classes;
  /** Likelihood under each class alone. */
  readonly alone: Float64Array;
  /**
   * count x count: by how much two classes together differ from the product of what each does alone, L(a,b) L(0,0) / (L(a,0) L(0,b));
   * 1 wherever one of them does not touch the term.
   */
  readonly interaction: Float64Array;
}

/** Least likelihood of a term: below it all explanations are alike, and it keeps products of several terms finite. */
export const leastLikelihood = 1e-15;

export function tabulateTerm(term: Term, table: SettledTable): TermTable {
  switch (term.kind) {
    case 'reading':
      return finish(tabulateReading(term, table), term.strength);
    case 'yes-no':
      return keptYesNo(term, table);
    case 'factor':
      return tabulateFactor(term.factor, term.strength, table.nobody);
  }
}

/** The likelihood of one reading where one alternative is predicted so. */
export function densityOf(term: ReadingTerm, middle: number, spread: number): number {
  const wide = spread * term.widen;
  if (term.limit === null) return relativeDensity(term.value, middle, wide);
  const below = cumulative(term.value, middle, wide);
  return term.limit === 'at-least' ? 1 - below : below;
}

/** The likelihood of a yes-no term, given the probability that it is not there. */
export function saidOrDenied(term: YesNoTerm, absent: number): number {
  return term.present ? 1 - absent : 1 - term.noticed * (1 - absent);
}

/** Probability that a symptom or code is not there under one single alone. */
export function absentAlone(term: YesNoTerm, { aloneDrivers, nobody }: SettledTable, single: number): number {
  let absent = term.backgroundAbsence * (single < nobody ? term.ownAbsence[single]! : 1);
  for (const [driver, weight] of term.drivers)
    absent *= 1 - weight * aloneDrivers[single * mixtureDriverCount + driver]!;
  return absent;
}

interface Grid {
  readonly classes: Classes;
  /** count x count, filled on and above the diagonal. */
  readonly value: Float64Array;
}

function tabulateReading(term: ReadingTerm, table: SettledTable): Grid {
  const columns = table.columns(term.alternatives.map((alternative) => alternative.observable));
  const grids = term.alternatives.map(({ weight }, index) => densities(term, columns[index]!, weight));
  const only = grids[0];
  if (grids.length === 1 && only) return { classes: columns[0]!.classes, value: only };
  const classes = columns.reduce((joint, column) => refine(joint, column.classes.of), everyoneAlike(table.nobody + 1));
  return { classes, value: sumOver(classes, columns, grids) };
}

/** Weighted density of the value for every two classes of one column. */
function densities(term: ReadingTerm, { classes, middle, spread }: Column, weight: number): Float64Array {
  const { count } = classes;
  const { value, limit, widen } = term;
  const out = new Float64Array(count * count);
  for (let one = 0; one < count; one += 1) {
    const end = (one + 1) * count;
    if (limit === null) {
      for (let at = one * count + one; at < end; at += 1)
        out[at] = weight * relativeDensity(value, middle[at]!, spread[at]! * widen);
    } else {
      for (let at = one * count + one; at < end; at += 1) out[at] = weight * densityOf(term, middle[at]!, spread[at]!);
    }
  }
  return out;
}

function sumOver(classes: Classes, columns: readonly Column[], grids: readonly Float64Array[]): Float64Array {
  const { count, example } = classes;
  const out = new Float64Array(count * count);
  columns.forEach((column, index) => {
    const grid = grids[index]!;
    const size = column.classes.count;
    const classOf = Int32Array.from(example, (single) => column.classes.of[single]!);
    for (let one = 0; one < count; one += 1) {
      const mine = classOf[one]!;
      for (let other = one; other < count; other += 1) {
        const its = classOf[other]!;
        out[one * count + other]! += mine <= its ? grid[mine * size + its]! : grid[its * size + mine]!;
      }
    }
  });
  return out;
}

function tabulateYesNo(term: YesNoTerm, table: SettledTable): Grid {
  const own = new Float64Array(table.nobody + 1).fill(1);
  own.set(term.ownAbsence);
  const drivers: DriverGrid[] = term.drivers.map(([which]) => table.driver(which));
  const classes = drivers.reduce(
    (joint, driver) => refine(joint, driver.classes.of),
    refine(everyoneAlike(table.nobody + 1), numberValues(own)),
  );
  const { count, example } = classes;
  const absent = new Float64Array(count * count);
  for (let one = 0; one < count; one += 1) {
    const ofOne = term.backgroundAbsence * own[example[one]!]!;
    for (let other = one; other < count; other += 1) absent[one * count + other] = ofOne * own[example[other]!]!;
  }
  drivers.forEach((driver, index) => {
    const weight = term.drivers[index]![1];
    const size = driver.classes.count;
    const classOf = Int32Array.from(example, (single) => driver.classes.of[single]!);
    for (let one = 0; one < count; one += 1) {
      const row = classOf[one]! * size;
      for (let other = one; other < count; other += 1)
        absent[one * count + other]! *= 1 - weight * driver.value[row + classOf[other]!]!;
    }
  });
  for (let one = 0; one < count; one += 1) {
    const end = (one + 1) * count;
    for (let at = one * count + one; at < end; at += 1) absent[at] = saidOrDenied(term, absent[at]!);
  }
  return { classes, value: absent };
}

/** Turns likelihoods (those on and above the diagonal) into what the sums need: strength applied, singles apart from interactions. */
function finish({ classes, value }: Grid, strength: number): TermTable {
  const { count } = classes;
  for (let one = 0; one < count; one += 1) {
    const end = (one + 1) * count;
    for (let at = one * count + one; at < end; at += 1) {
      const raw = value[at]!;
      value[at] = Math.max(raw, leastLikelihood);
      if (strength !== 1) value[at] = value[at]! ** strength;
    }
  }
  const alone = value.slice(0, count);
  const inverse = alone.map((likelihood) => 1 / likelihood);
  const healthy = alone[0]!;
  for (let one = 0; one < count; one += 1) {
    const scale = healthy * inverse[one]!;
    for (let other = one; other < count; other += 1) {
      const interaction = value[one * count + other]! * scale * inverse[other]!;
      value[one * count + other] = interaction;
      value[other * count + one] = interaction;
    }
  }
  // The healthy engine meets nobody: exactly 1, whatever the last digit.
  for (let one = 0; one < count; one += 1) {
    value[one] = 1;
    value[one * count] = 1;
  }
  return { classes, alone, interaction: value };
}

const kept = new WeakMap<SettledTable, Map<Float64Array, { readonly key: string; readonly tabulated: TermTable }>>();
/** Tables of symptoms and codes kept for one engine: each holds up to 0.4 MB. */
const mostKept = 24;

/** Symptoms and codes say the same in every post; their tables are kept beside the list of absences that they come from. */
function keptYesNo(term: YesNoTerm, table: SettledTable): TermTable {
  const tables = kept.get(table) ?? new Map<Float64Array, { key: string; tabulated: TermTable }>();
  kept.set(table, tables);
  const key = [term.backgroundAbsence, term.present, term.noticed, term.strength, ...term.drivers].join();
  const known = tables.get(term.ownAbsence);
  if (known?.key === key) return known.tabulated;
  const tabulated = finish(tabulateYesNo(term, table), term.strength);
  if (tables.size >= mostKept) tables.delete(tables.keys().next().value!);
  tables.set(term.ownAbsence, { key, tabulated });
  return tabulated;
}

/** Two faults at once multiply: no interaction. */
function tabulateFactor(factor: Float64Array, strength: number, nobody: number): TermTable {
  const all = new Float64Array(nobody + 1).fill(1);
  all.set(factor);
  const classes = refine(everyoneAlike(nobody + 1), numberValues(all));
  const { count, example } = classes;
  const alone = Float64Array.from(example, (single) => Math.max(leastLikelihood, all[single]!) ** strength);
  return {
    classes,
    alone,
    interaction: new Float64Array(count * count).fill(1),
  };
}
