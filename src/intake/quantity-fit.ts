// How well a number fits a name: what stands between them, whether its unit can measure the quantity, whether its size is usual.
// choose-quantity.ts and unnamed-quantity.ts call it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import { type Quantity, quantities } from '../vocabulary/quantities.ts';
import { assumeUnit } from './assume-unit.ts';
import type { Figures, Segment } from './figures.ts';
import { convert } from './make-reading.ts';
import type { Measure } from './measures.ts';
import { type Candidate, type Mention, usualRange } from './quantity-mentions.ts';
import type { ReaderInput } from './reader.ts';
import type { Token } from './tokens.ts';
import { unitConversions } from './units.ts';

export interface Choice {
  readonly quantity: Quantity;
  /** The name that it was tied to; null when the unit alone decided. */
  readonly mention: Mention | null;
}

export interface Question {
  readonly input: ReaderInput;
  readonly knowledge: Knowledge;
  readonly figures: Figures;
  readonly segment: Segment;
  /** Which of the segment's measures. */
  readonly index: number;
  readonly previous: Choice | null;
  readonly carried: { readonly mention: Mention; readonly age: number; readonly heading: boolean } | null;
  readonly choices: ReadonlyMap<number, Choice>;
}

/** Words that may stand between a name and its number without parting them. */
const linking = new Set(
  (
    "is are was were be being been reads read reading readings shows show showing showed says at of on for the a an to from in my it its it's and or with around about approx approximately roughly near nearly " +
    'between up down out maxed maxing pegged stuck sitting sits sit runs run running hovers hovering hover stays stay steady only just now still currently never always both all value values figure figures ' +
    "went goes going drops dropped drop jumps jumped rises rose climbs climbed climbing creeps gets get getting got gone came comes back as high low like by stands that can't beat flat constant average averages averaging avg mean " +
    'mostly usually typically sometimes then over under above below than more less least most so or one two other side swings swing swinging flicks cycles cycling varies varying ranges range ranging fluctuates fluctuating bounces switching switches toggling ' +
    'positive negative lean rich fail pass failed passed meas measured result actual current test when while but too max min peak peaks each ok normal nominal has have had i we you they some say said came measures measure settles settling holds holding reaching reaches ' +
    'bank banks sensor sensors voltage signal level levels content percent % v rpm ppm vol idle warm hot end output reporting reports hits hit indicated indicates registers registering sat tested percentage number again constantly solid pretty very almost slightly little even into'
  ).split(' '),
);
const marks = new Set(Array.from(':=-~(),><"\'[]|/*@\u2022\u2192%.#_+'));
/** Words that show that a bare number counted something else. */
export const counted =
  /^(sensors?|codes?|times|days?|weeks?|months?|years?|hours?|minutes?|mins?|seconds?|cylinders?|cyl|cats?|plugs?|coils?|wires?|pins?|garages?|shops?|bolts?|doors?|people|cars?|owners?|speed|gears?|valves?|door|injectors?|pumps?|banks?|of|new|old|different|or|separate|other|more|bars?|litre|liter|turbo|v6|v8|quarts?|gallons?|dollars|bucks|quid|pounds|k|am|pm|feet|foot|inches|inch|mm|cm|ft|lbs|hp|bhp|runs?|tests?|tanks?|trips?|points?|attempts?|o|th|nd|st|rd|bucks|grand|point|steps?|turns?|amps?|amp|watts?|sec|secs|hrs?|yrs?|mins|black|white|grey|gray|red|blue|green|wires?|inch|weeks|stars?|stroke|ton|door|year)$/;

export interface Gap {
  readonly unknown: number;
  readonly measures: number;
  readonly length: number;
}

/** What parts a name from a number: unknown words, other measures, tokens in all. */
export function measureGap(question: Question, from: number, to: number): Gap {
  const { tokens } = question.input;
  const { segment } = question;
  let unknown = 0;
  for (let at = from; at < to && at - from < 60; at += 1) {
    const token = tokens[at]!;
    if (linking.has(token.text) || marks.has(token.text) || token.kind === 'number') continue;
    if (question.figures.covered[at] === 1) continue;
    unknown += 1;
  }
  // A name inside brackets does not reach out of them.
  let open = 0;
  for (let at = from; at < to && at - from < 60; at += 1) {
    if (tokens[at]!.text === '(') open += 1;
    if (tokens[at]!.text === ')') {
      if (open === 0 && tokens[from - 2]?.text !== ')' && isInBrackets(tokens, from)) unknown += 4;
      open = Math.max(0, open - 1);
    }
  }
  const measures = segment.measures.filter((other) => other.first >= from && other.last <= to).length;
  return { unknown, measures, length: to - from };
}

/** Whether an opening bracket stands a few words before. */
function isInBrackets(tokens: readonly Token[], from: number): boolean {
  for (let back = 1; back <= 6; back += 1) {
    const text = tokens[from - back]?.text;
    if (text === '(') return true;
    if (text === undefined || text === ')' || text === '\n') return false;
  }
  return false;
}

/** Of the quantities that a name may mean, the one that the unit and the size of the number fit best. */
export function bestCandidate(
  question: Question,
  candidates: readonly Candidate[],
  measure: Measure,
  gap: Gap,
): Quantity | null {
  let best: Quantity | null = null;
  let bestScore = 0;
  for (const candidate of candidates) {
    const score = fitScore(question, candidate, measure, gap);
    if (score > bestScore) {
      best = candidate.quantity;
      bestScore = score;
    }
  }
  return best;
}

/** 0 when it does not fit; more the surer. */
function fitScore(question: Question, candidate: Candidate, measure: Measure, gap: Gap): number {
  const { knowledge, figures } = question;
  const { quantity } = candidate;
  const isTrim = quantity === 'short-term-trim' || quantity === 'long-term-trim' || quantity === 'total-trim';
  const isList = gap.measures === 0 && gap.length <= 1 && question.segment.measures.length >= 3;
  const isSensorO2 =
    quantity === 'sensor-voltage' && !figures.talksOfGases && measure.decimals > 0 && measure.high <= 1.3;
  const named =
    candidate.strength === 'name' ||
    (isTrim && figures.talksOfTrims && (measure.signed || quantity !== 'total-trim')) ||
    (isList && (quantity === 'engine-load' || quantity === 'vehicle-speed' || quantity === 'coolant-temperature')) ||
    (quantity === 'compression' && figures.talksOfCompression && gap.unknown <= 2 && measure.high >= 60) ||
    (isSensorO2 && (gap.unknown === 0 || (gap.unknown <= 3 && gap.measures === 0 && isSwing(measure))));
  // "O2" without a gas test is the sensor.
  if (quantity === 'gas-o2' && !figures.talksOfGases && measure.unit !== 'percent') return 0;
  if (measure.unit === null) {
    const inches =
      quantity === 'manifold-pressure' && /^(in|inch|inches)$/.test(question.input.tokens[measure.last]?.text ?? '');
    if (!named || !(isBareTied(question, measure, gap) || (inches && gap.unknown <= 3))) return 0;
    if (quantity === 'lambda' && measure.decimals === 0 && measure.high !== 1 && measure.alternative === null) return 0;
    // "2 O2 sensors" counts them: volts are typed with decimals, as zero, or in hundreds of millivolts.
    if (quantity === 'sensor-voltage' && measure.decimals === 0 && measure.high !== 0 && measure.high < 50) return 0;
    if (
      assumeUnit(quantity, measure.high, figures.habits) === null &&
      assumeUnit(quantity, measure.alternative?.[1] ?? Number.NaN, figures.habits) === null
    )
      return 0;
  } else {
    if (!unitConversions[measure.unit][quantity]) return 0;
    if (gap.unknown > 12 || (candidate.strength === 'hint' && gap.unknown > 7)) return 0;
  }
  const converted = convert(measure, quantity, figures.habits, null);
  if (!converted) return 0;
  const usual = usualRange(knowledge, quantity);
  const inUsual = usual === null || (converted.high >= usual[0] && converted.low <= usual[1]);
  const [lowest, highest] = quantities[quantity].possible;
  const possible = converted.low >= lowest && converted.high <= highest;
  return (inUsual ? 4 : possible ? 2 : 1) + (candidate.strength === 'name' ? 1 : 0);
}

/** "0.1 to 0.9": the swing of a switching sensor, which nothing else has. */
function isSwing({ low, high }: Measure): boolean {
  return low >= 0 && low <= 0.35 && high >= 0.55 && high <= 1.2;
}

/** Whether a number without unit stands close enough to a name, and counts nothing else. */
export function isBareTied(question: Question, measure: Measure, gap: Gap): boolean {
  if (measure.inWords && measure.decimals === 0 && !measure.signed && measure.low !== 0) return false;
  const clear = measure.decimals > 0 || measure.signed;
  if (gap.unknown > (clear ? 3 : 1) || gap.length > 24 || gap.measures > 6) return false;
  const after = question.input.tokens[measure.last];
  if (!after || measure.last >= question.segment.last) return true;
  if (
    after.text === 'or' &&
    /^(so|more|less|above|below|higher|lower|thereabouts|over)$/.test(
      question.input.tokens[measure.last + 1]?.text ?? '',
    )
  )
    return true;
  if (after.kind === 'word' && after.spaced && counted.test(after.text) && question.figures.covered[measure.last] !== 1)
    return false;
  if (clear || after.kind !== 'word') return !/^[$\u00a3\u20ac]$/.test(after.text);
  if (!after.spaced) return false;
  return !counted.test(after.text) || question.figures.covered[measure.last] === 1;
}
