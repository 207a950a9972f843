// Decides which quantity a number is a figure of: the name that stands nearest before it, the name right behind it, its unit
// alone, or the name that the line above left standing. read-readings.ts calls it for one measure after the other.
import type { Knowledge } from '../knowledge/knowledge.ts';
import { type Quantity, quantities } from '../vocabulary/quantities.ts';
import { assumeUnit } from './assume-unit.ts';
import type { Figures, Segment } from './figures.ts';
import { convert } from './make-reading.ts';
import type { Measure } from './measures.ts';
import { type Candidate, type Mention, usualRange } from './quantity-mentions.ts';
import type { ReaderInput } from './reader.ts';
import type { Token } from './tokens.ts';
import { type UnitId, unitConversions } from './units.ts';

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
const marks = new Set([
  ':',
  '=',
  '-',
  '~',
  '(',
  ')',
  ',',
  '>',
  '<',
  '"',
  "'",
  '[',
  ']',
  '|',
  '/',
  '*',
  '@',
  '\u2022',
  '\u2192',
  '%',
  '.',
  '#',
  '_',
  '+',
]);
/** Words that show that a bare number counted something else. */
const counted =
  /^(sensors?|codes?|times|days?|weeks?|months?|years?|hours?|minutes?|mins?|seconds?|cylinders?|cyl|cats?|plugs?|coils?|wires?|pins?|garages?|shops?|bolts?|doors?|people|cars?|owners?|speed|gears?|valves?|door|injectors?|pumps?|banks?|of|new|old|different|or|separate|other|more|bars?|litre|liter|turbo|v6|v8|quarts?|gallons?|dollars|bucks|quid|pounds|k|am|pm|feet|foot|inches|inch|mm|cm|ft|lbs|hp|bhp|runs?|tests?|tanks?|trips?|points?|attempts?|o|th|nd|st|rd|bucks|grand|point|steps?|turns?|amps?|amp|watts?|sec|secs|hrs?|yrs?|mins|black|white|grey|gray|red|blue|green|wires?|inch|weeks|stars?|stroke|ton|door|year)$/;

/** The quantity of one measure; null when nothing names it, and then the number is left alone. */
export function chooseQuantity(question: Question): Choice | null {
  const { segment, index } = question;
  const measure = segment.measures[index]!;
  const backward = lookBack(question, measure);
  const forward = lookAhead(question, measure);
  if (backward && forward) {
    const usedBefore = hasFigure(question, backward.mention);
    const nextBegins = segment.measures[index + 1]?.first ?? Number.POSITIVE_INFINITY;
    const owned =
      nextBegins - forward.mention!.last <= 2 && !gapHas(question, forward.mention!.last, nextBegins, /^,$/);
    const forwardHadOne = question.previous?.mention !== null && question.choices.size > 0 && isForwardStyle(question);
    if (usedBefore && (!owned || forwardHadOne)) return forward;
    return backward;
  }
  return (
    backward ??
    forward ??
    byUnit(question, measure) ??
    bySensor(question, measure) ??
    byCarry(question, measure) ??
    byPrevious(question, measure)
  );
}

/** Whether one of the last few figures was tied to a name already. */
function hasFigure({ choices, index }: Question, mention: Mention | null): boolean {
  for (let before = index - 1; before >= Math.max(0, index - 8); before -= 1)
    if (choices.get(before)?.mention === mention) return true;
  return false;
}

/** Whether the measures before this one stood ahead of their names. */
function isForwardStyle({ segment, choices }: Question): boolean {
  return [...choices].every(
    ([index, choice]) => choice.mention !== null && choice.mention.first >= segment.measures[index]!.last,
  );
}

function lookBack(question: Question, measure: Measure): Choice | null {
  const { segment } = question;
  let seen = 0;
  for (let at = segment.mentions.length - 1; at >= 0 && seen < 6; at -= 1) {
    const mention = segment.mentions[at]!;
    if (mention.last > measure.first) continue;
    seen += 1;
    const gap = measureGap(question, mention.last, measure.first);
    if (mention.candidates.length === 0) {
      if (gap.unknown <= 3 && gap.measures === 0) return blocked(measure) ? null : byUnit(question, measure);
      continue;
    }
    const quantity = bestCandidate(question, mention.candidates, measure, gap);
    if (quantity) return { quantity, mention };
    // A bare number does not reach over a nearer name that does not fit it, except over a name that has its own figure.
    if (measure.unit === null && gap.measures === 0 && gap.unknown === 0 && (seen >= 2 || gap.length <= 1)) return null;
  }
  return null;
}

/** A number after something that is none of ours ("tyre pressure 32 psi") is not read, unless its unit says enough by itself. */
function blocked(measure: Measure): boolean {
  return measure.unit === null || !decisive.has(measure.unit);
}

function lookAhead(question: Question, measure: Measure): Choice | null {
  const { segment, index } = question;
  const mention = segment.mentions.find((candidate) => candidate.first >= measure.last);
  if (!mention || mention.candidates.length === 0) return null;
  const next = segment.measures[index + 1];
  if (next && next.first < mention.first) return null;
  const distance = mention.first - measure.last;
  if (distance > 5) return null;
  for (let at = measure.last; at < mention.first; at += 1) {
    if (
      !/^(of|on|for|the|at|from|in|my|is|was|\(|a|an|-|bank|1|2|one|b|sensor|upstream|downstream|front|rear|fuel|both|total|as|idle|warm|hot|that|average|highest)$/.test(
        question.input.tokens[at]!.text,
      )
    )
      return null;
  }
  const quantity = bestCandidate(question, mention.candidates, measure, { unknown: 0, measures: 0, length: distance });
  return quantity ? { quantity, mention } : null;
}

interface Gap {
  readonly unknown: number;
  readonly measures: number;
  readonly length: number;
}

/** What parts a name from a number: unknown words, other measures, tokens in all. */
function measureGap(question: Question, from: number, to: number): Gap {
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

function gapHas(question: Question, from: number, to: number, pattern: RegExp): boolean {
  for (let at = from; at < Math.min(to, from + 4); at += 1)
    if (pattern.test(question.input.tokens[at]?.text ?? '')) return true;
  return false;
}

/** Of the quantities that a name may mean, the one that the unit and the size of the number fit best. */
function bestCandidate(
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
    (isSensorO2 && gap.unknown === 0);
  // "O2" without a gas test is the sensor.
  if (quantity === 'gas-o2' && !figures.talksOfGases && measure.unit !== 'percent') return 0;
  if (measure.unit === null) {
    if (!named || !isBareTied(question, measure, gap)) return 0;
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

/** Whether a number without unit stands close enough to a name, and counts nothing else. */
function isBareTied(question: Question, measure: Measure, gap: Gap): boolean {
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

/** Units that only one quantity has in posts of this trade. */
const decisive: ReadonlyMap<UnitId, Quantity> = new Map<UnitId, Quantity>([
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

function byUnit({ figures, input }: Question, measure: Measure): Choice | null {
  if (measure.unit === null) {
    // "150k on it", "122,000 on the clock": the size and the words say distance.
    const after = [0, 1, 2].map((ahead) => input.tokens[measure.last + ahead]?.text ?? '').join(' ');
    const before = [3, 2, 1].map((back) => input.tokens[measure.first - back]?.text ?? '').join(' ');
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
function bySensor({ segment, figures, input }: Question, measure: Measure): Choice | null {
  const isVolts = measure.unit === 'volt' || measure.unit === 'millivolt';
  const bareVolts =
    measure.unit === null && measure.decimals > 0 && measure.low >= 0 && measure.high <= 1.3 && !measure.signed;
  if (!isVolts && !bareVolts) return null;
  const named = segment.places.some((place) => place.sensor !== null && place.first < measure.last + 8);
  const one = named || segment.places.some((place) => place.bank !== null);
  if (named || (isVolts && one)) return { quantity: 'sensor-voltage', mention: null };
  if (!isVolts || !figures.talksOfSensors || measure.high > (measure.unit === 'volt' ? 2 : 1300)) return null;
  const before = [2, 1].map((back) => input.tokens[measure.first - back]?.text ?? '').join(' ');
  return /(supply|battery|reference)/.test(before) ? null : { quantity: 'sensor-voltage', mention: null };
}

/** The name that an earlier line or sentence left standing. */
function byCarry(question: Question, measure: Measure): Choice | null {
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
function byPrevious(question: Question, measure: Measure): Choice | null {
  const { previous, segment, index, input } = question;
  const before = segment.measures[index - 1];
  if (!previous || !before || measure.unit !== null) return null;
  const gap = measureGap(question, before.last, measure.first);
  const between = input.tokens.slice(before.last, measure.first).map((token) => token.text);
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
