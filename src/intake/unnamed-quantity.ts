// Decides the quantity of a number that no name stands beside: by its unit alone, by a sensor's place, by the name that an earlier
// line left standing, or as a further figure of a list. choose-quantity.ts calls it.
import type { Quantity } from '../vocabulary/quantities.ts';
import type { Measure } from './measures.ts';
import { bestCandidate, type Choice, counted, isBareTied, measureGap, type Question } from './quantity-fit.ts';
import type { ReaderInput } from './reader.ts';
import type { UnitId } from './units.ts';

/** Units that only one quantity has in posts of this trade. */
export const decisive: ReadonlyMap<UnitId, Quantity> = new Map<UnitId, Quantity>([
  ['rpm', 'engine-speed'],
  ['kilometre', 'distance'],
  ['mile', 'distance'],
  ['km-per-hour', 'vehicle-speed'],
  ['mile-per-hour', 'vehicle-speed'],
  ['mile-per-gallon', 'fuel-consumption'],
  ['mile-per-us-gallon', 'fuel-consumption'],
  ['mile-per-imperial-gallon', 'fuel-consumption'],
  ['litre-per-100-km', 'fuel-consumption'],
  ['km-per-litre', 'fuel-consumption'],
  ['gram-per-second', 'air-flow'],
  ['mile-per-quart', 'oil-consumption'],
  ['mile-per-litre', 'oil-consumption'],
  ['quart-per-1000-miles', 'oil-consumption'],
  ['litre-per-1000-miles', 'oil-consumption'],
  ['litre-per-1000-km', 'oil-consumption'],
  ['to-one', 'air-fuel-ratio'],
  ['gram-per-km', 'gas-mass'],
]);

export function byUnit({ figures, input, segment }: Question, measure: Measure): Choice | null {
  if (measure.unit === null) {
    // "150k on it", "122,000 on the clock": the size and the words say distance.
    const after = [0, 1, 2].map((ahead) => input.tokens[measure.last + ahead]?.text ?? '').join(' ');
    const before = [3, 2, 1].map((back) => input.tokens[measure.first - back]?.text ?? '').join(' ');
    // "... . 78k.": thousands that stand alone.
    if (
      measure.thousands &&
      measure.low >= 10_000 &&
      measure.first === segment.first &&
      segment.last - measure.last <= 1
    )
      return { quantity: 'distance', mention: null };
    if (
      measure.low >= 1000 &&
      measure.high <= 999_999 &&
      (/^(on (it|the|her|him|this)|on odo|mileage|on clock)/.test(after) ||
        (measure.thousands &&
          /^(on|and|\.|,|$)/.test(after) &&
          /(has|with|at|about|around|over|nearly|only|,)$/.test(before)) ||
        /(changed|done|replaced|mileage|mileage of|odometer|fitted) (at|is|about|around|reads)$|last done at$/.test(
          before,
        ))
    ) {
      return /[$\u00a3\u20ac]$/.test(before) ? null : { quantity: 'distance', mention: null };
    }
    if (/^of (fuel )?pressure/.test(after) && /\b(fuel|gas|petrol|pump|rail)\b/.test(segmentWords(input, measure)))
      return { quantity: 'fuel-pressure', mention: null };
    return null;
  }
  const lead = [3, 2, 1].map((back) => input.tokens[measure.first - back]?.text ?? '').join(' ');
  if (
    measure.unit === 'kilometre' &&
    measure.low >= 20 &&
    measure.high <= 220 &&
    /\b(went|go|going|doing|do|reach|reached|hit|hitting|speed of|speeds of|cruising|driving at)( over| above| past| about| around| at)?$/.test(
      lead,
    )
  )
    return { quantity: 'vehicle-speed', mention: null };
  const quantity = decisive.get(measure.unit);
  if (quantity) return { quantity, mention: null };
  if ((measure.unit === 'ohm' || measure.unit === 'kilohm' || measure.unit === 'megohm') && figures.talksOfSensors)
    return { quantity: 'heater-resistance', mention: null };
  return null;
}

/** The dozen words before a measure. */
function segmentWords(input: ReaderInput, measure: Measure): string {
  return input.tokens
    .slice(Math.max(0, measure.first - 12), measure.first)
    .map((token) => token.text)
    .join(' ');
}

/** A voltage beside a named sensor place ("B1S1 0.1-0.9", "downstream is at 0.7 V"). */
export function bySensor({ segment, figures, input }: Question, measure: Measure): Choice | null {
  const isVolts = measure.unit === 'volt' || measure.unit === 'millivolt';
  const bareVolts =
    measure.unit === null && measure.decimals > 0 && measure.low >= 0 && measure.high <= 1.3 && !measure.signed;
  if (!isVolts && !bareVolts) return null;
  const named = segment.places.some((place) => place.sensor !== null && place.first < measure.last + 8);
  const one = named || segment.places.some((place) => place.bank !== null);
  const swings = measure.low >= 0 && measure.low <= 0.35 && measure.high >= 0.55;
  if (named || (one && (isVolts || (swings && figures.talksOfSensors))))
    return { quantity: 'sensor-voltage', mention: null };
  if (!isVolts || !figures.talksOfSensors || measure.high > (measure.unit === 'volt' ? 2 : 1300)) return null;
  const before = [2, 1].map((back) => input.tokens[measure.first - back]?.text ?? '').join(' ');
  return /(supply|battery|reference)/.test(before) ? null : { quantity: 'sensor-voltage', mention: null };
}

/** The name that an earlier line or sentence left standing. */
export function byCarry(question: Question, measure: Measure): Choice | null {
  const { carried } = question;
  if (!carried || (carried.age > 1 && !carried.heading) || carried.age > 8) return null;
  if (measure.unit === null && !carried.heading && !mayCarryBare(question, measure)) return null;
  const quantity = bestCandidate(question, carried.mention.candidates, measure, { unknown: 0, measures: 0, length: 0 });
  return quantity ? { quantity, mention: carried.mention } : null;
}

/** Bare numbers that a name in the sentence before may still reach: clear figures, and mileage that changed or is "got". */
function mayCarryBare({ carried, input, segment, figures }: Question, measure: Measure): boolean {
  if (!carried || carried.age > 1 || counted.test(input.tokens[measure.last]?.text ?? '')) return false;
  const names = (wanted: Quantity) => carried.mention.candidates.some((candidate) => candidate.quantity === wanted);
  const { quantity } = carried.mention.candidates[0]!;
  const before = [4, 3, 2, 1].map((back) => input.tokens[measure.first - back]?.text ?? '').join(' ');
  if (names('sensor-voltage') && measure.decimals > 0 && measure.high <= 2 && /\b(to|at|is|reads|shows)$/.test(before))
    return true;
  if (names('fuel-consumption'))
    return (
      measure.change !== null ||
      /\b(get|gets|getting|got|between|averag(e|es|ing)|around|about|dropped to|down to)$/.test(before)
    );
  const isGas = quantity.startsWith('gas-') || quantity === 'lambda';
  if (
    isGas &&
    figures.talksOfTest &&
    measure.decimals > 0 &&
    segment.conditions.some((mark) => mark.last === measure.first)
  )
    return true;
  if (isGas && figures.talksOfTest)
    return (
      measure.decimals > 0 &&
      /\b(is|was|at|of|got|read|reads|reading|recorded|measured|mine|scored|came out)( at| is| was| about| around)?$/.test(
        before,
      )
    );
  return measure.change !== null && measure.decimals > 0;
}

/** A further bare number of a list: "38 miles per gallon to 34", "used to get 24 mpg, now 21". */
export function byPrevious(question: Question, measure: Measure): Choice | null {
  const { previous, segment, index, input } = question;
  const before = segment.measures[index - 1];
  if (!previous || !before || measure.unit !== null) return null;
  const gap = measureGap(question, before.last, measure.first);
  const between = input.tokens.slice(before.last, measure.first).map((token) => token.text);
  const typed = [4, 3, 2, 1].map((back) => input.tokens[measure.first - back]?.text ?? '').join(' ');
  // "I get 14.2 l/100 km out of a 1.6 that used to do 9".
  if (
    previous.quantity === 'fuel-consumption' &&
    /\bused to (do|get|be|average|return|give|use)( about| around)?$/.test(typed) &&
    isBareTied(question, measure, { ...gap, unknown: 0 })
  )
    return { quantity: previous.quantity, mention: previous.mention };
  const widest =
    previous.quantity === 'fuel-consumption' || between.includes('is') || input.tokens[measure.last]?.text === 'now'
      ? 4
      : 1;
  if (gap.unknown > widest || gap.length > 8 || !isBareTied(question, measure, { ...gap, unknown: 0 })) return null;
  const ratio = Math.abs(measure.high) / Math.max(1e-9, Math.abs(before.high));
  if (previous.quantity === 'distance' || (!previous.quantity.endsWith('-trim') && (ratio > 4 || ratio < 0.25)))
    return null;
  return between.some((word) => /^(and|or|to|now|then|,|\/|from|beat|vs|against|versus|-|down)$/.test(word))
    ? { quantity: previous.quantity, mention: previous.mention }
    : null;
}
