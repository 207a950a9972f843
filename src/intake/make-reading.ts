// Turns a measure with its quantity into reading findings in the vocabulary's unit, or into a conflict where physics forbids it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Conflict } from '../vocabulary/answer-document.ts';
import type { ReadingFinding } from '../vocabulary/findings.ts';
import { type Condition, type Quantity, quantities } from '../vocabulary/quantities.ts';
import { assumeUnit, type Habits } from './assume-unit.ts';
import { findingBase } from './finding-base.ts';
import type { Measure } from './measures.ts';
import { quoteOf } from './readable-text.ts';
import type { ReaderInput } from './reader.ts';
import { type UnitId, unitConversions } from './units.ts';

export interface ReadingParts {
  readonly measure: Measure;
  readonly quantity: Quantity;
  readonly gauge: 'vacuum' | 'boost' | 'absolute' | null;
  /** First token of the name that it was tied to. */
  readonly nameFirst: number | null;
  readonly banks: ReadonlyArray<number | null>;
  readonly sensor: number | null;
  readonly when: Condition | null;
}

/** Standard atmosphere [kPa], against which vacuum and boost gauges count. Source: ISO 2533, by way of NIST SP 811 B.8 (101.325). */
const atmosphere = 101.325;
/** Speeds above this are slips of the pen for a road engine (judgement: production petrol engines stay below 11,000 per minute). */
const fastestEngine = 11_000;

/** Quantities so small that three digits behind a comma are decimals ("Lambda 1,014"). */
const commaIsDecimal: ReadonlySet<Quantity> = new Set([
  'lambda',
  'sensor-voltage',
  'pump-current',
  'gas-co',
  'gas-o2',
  'air-fuel-ratio',
  'short-term-trim',
  'long-term-trim',
]);

/** A measure in a quantity's own unit; null when the unit does not fit or the size says that it is something else. */
export function convert(
  measure: Measure,
  quantity: Quantity,
  habits: Habits,
  gauge: ReadingParts['gauge'],
): { low: number; high: number; assumed: boolean } | null {
  const direct = convertPair(measure, measure.low, measure.high, quantity, habits, gauge);
  const [lowest, highest] = quantities[quantity].possible;
  const fits = direct && direct.low >= lowest && direct.high <= highest;
  if (fits || !measure.alternative || !commaIsDecimal.has(quantity)) return direct;
  return convertPair(measure, measure.alternative[0], measure.alternative[1], quantity, habits, gauge) ?? direct;
}

function convertPair(
  measure: Measure,
  low: number,
  high: number,
  quantity: Quantity,
  habits: Habits,
  gauge: ReadingParts['gauge'],
): { low: number; high: number; assumed: boolean } | null {
  const assumed = measure.unit === null;
  const vacuumBare = gauge === 'vacuum' && assumed && high >= 2 && high <= 30;
  const unit: UnitId | 'none' | null = vacuumBare
    ? 'inch-mercury'
    : assumed
      ? assumeUnit(quantity, Math.abs(high) >= Math.abs(low) ? high : low, habits)
      : measure.unit;
  if (unit === null) return null;
  if (unit === 'none') return { low, high, assumed: false };
  const perGallon = unit === 'mile-per-gallon' && habits.gallon === 'imperial' ? 'mile-per-imperial-gallon' : unit;
  const toOwn = unitConversions[degreesOf(perGallon, quantity, high, habits)][quantity];
  if (!toOwn) return null;
  let [a, b] = [toOwn(low), toOwn(high)];
  if (quantity === 'manifold-pressure' && isVacuum(unit, gauge)) [a, b] = [atmosphere - a, atmosphere - b];
  else if (quantity === 'manifold-pressure' && gauge === 'boost' && unit !== 'kilopascal')
    [a, b] = [atmosphere + a, atmosphere + b];
  if (!Number.isFinite(a) || !Number.isFinite(b)) return null;
  return {
    low: tidy(Math.min(a, b)),
    high: tidy(Math.max(a, b)),
    assumed: assumed || (unit === 'degree' && quantity !== 'ignition-advance'),
  };
}

/** Inches of mercury on a manifold count down from the air outside, whether or not the writer says vacuum. */
function isVacuum(unit: UnitId, gauge: ReadingParts['gauge']): boolean {
  return gauge === 'vacuum' || (gauge === null && (unit === 'inch-mercury' || unit === 'millimetre-mercury'));
}

/** "190 degrees" of a coolant is Fahrenheit, "90 degrees" Celsius. */
function degreesOf(unit: UnitId, quantity: Quantity, value: number, habits: Habits): UnitId {
  if (unit !== 'degree' || quantity === 'ignition-advance') return unit;
  const hottestCelsius =
    quantity === 'catalyst-temperature'
      ? habits.metric || habits.gallon === 'imperial'
        ? 1000
        : 650
      : quantity === 'intake-temperature'
        ? 70
        : 125;
  return value > hottestCelsius ? 'fahrenheit' : 'celsius';
}

/** Takes the noise of binary conversion off: twelve significant digits. */
function tidy(value: number): number {
  return value === 0 ? 0 : Number(value.toPrecision(12));
}

/** One finding a bank, or a conflict and no finding. A trim of 99.2 % is the byte of an absent bank and gives neither. */
export function makeReading(
  input: ReaderInput,
  parts: ReadingParts,
  habits: Habits,
  knowledge: Knowledge,
): { findings: ReadingFinding[]; conflicts: Conflict[] } {
  void knowledge;
  const { measure, quantity } = parts;
  const converted = convert(measure, quantity, habits, parts.gauge);
  if (!converted) return { findings: [], conflicts: [] };
  const isTrim = quantity === 'short-term-trim' || quantity === 'long-term-trim';
  if (isTrim && converted.low === converted.high && Math.abs(converted.low) >= 99 && Math.abs(converted.low) <= 100)
    return { findings: [], conflicts: [] };
  const [lowest, highest] = quantities[quantity].possible;
  const top = quantity === 'engine-speed' ? fastestEngine : highest;
  // What is quoted: from the name to the number where they stand together, else the number alone.
  const nameStart = parts.nameFirst !== null ? input.tokens[parts.nameFirst]!.start : measure.start;
  const start =
    nameStart < measure.start &&
    measure.start - nameStart <= 60 &&
    !input.text.folded.slice(nameStart, measure.start).includes('\n')
      ? nameStart
      : measure.start;
  if (converted.low < lowest || converted.high > top) {
    const quote = quoteOf(input.text, start, measure.end).slice(0, 400);
    return { findings: [], conflicts: [forbidden(quantity, quote, [lowest, top])] };
  }
  const typed = quoteOf(input.text, measure.start, input.tokens[measure.unitFirst - 1]!.end).slice(0, 80);
  const unitTyped =
    measure.unitFirst < measure.last
      ? quoteOf(input.text, input.tokens[measure.unitFirst]!.start, measure.end).slice(0, 40)
      : '';
  const isRange = converted.low !== converted.high;
  const findings = parts.banks.map((bank): ReadingFinding => {
    const base = findingBase(input, start, measure.end, measure.first);
    return {
      ...base,
      ...timeOf(input, measure, base.time),
      kind: 'reading',
      quantity,
      value: tidy((converted.low + converted.high) / 2),
      bank,
      sensor: parts.sensor,
      when: parts.when,
      range:
        isRange || (quantity === 'sensor-voltage' && measure.limit === null && isSteady(input, measure))
          ? [converted.low, converted.high]
          : null,
      limit: measure.limit,
      unitAssumed: converted.assumed,
      original: { value: typed, unit: unitTyped },
    };
  });
  return { findings, conflicts: [] };
}

const steadyWords =
  /^(stuck|flat|flatlined|flatline|flatlines|pegged|frozen|locked|fixed|steady|static|constant|constantly|permanently|stays|stayed|sits|sitting|unchanging|dead)$/;
const standstill = /^(move|moves|moving|change|changes|changing|switch|switches|switching|budge|budges|vary|varies)$/;

/**
 * Whether a signal is said to stand still at a figure: "stuck at 0.45", "0.45 V all the time", "0.1 and never moves". Its range is
 * then that one figure; a bare figure may be a moment of a signal that swings.
 */
function isSteady(input: ReaderInput, measure: Measure): boolean {
  const { tokens } = input;
  const clause = input.clauses.clauseAt(measure.first);
  const word = (at: number) => (at >= 0 && at < tokens.length ? tokens[at]!.text : '');
  const from = Math.max(clause.first, measure.first - 5);
  for (let at = measure.first - 1; at >= from; at -= 1) {
    if (tokens[at]!.kind === 'number') break;
    if (steadyWords.test(word(at))) return !/^(not|never|isn't|wasn't|no)$/.test(word(at - 1));
  }
  const until = Math.min(tokens.length, measure.last + 7);
  for (let at = measure.last; at < until; at += 1) {
    if (tokens[at]!.kind === 'number' || word(at) === '.' || tokens[at]!.kind === 'newline') break;
    if (word(at) === 'all' && word(at + 1) === 'the' && word(at + 2) === 'time') return true;
    if (steadyWords.test(word(at)) && word(at) !== 'dead') return !/^(not|never|isn't)$/.test(word(at - 1));
    if (
      standstill.test(word(at)) &&
      /^(not|never|doesn't|don't|won't|without|no|hardly|barely|doesnt|wont)$/.test(word(at - 1))
    )
      return true;
  }
  return false;
}

/** Words right beside a figure say its time more surely than its clause does. */
function timeOf(input: ReaderInput, measure: Measure, clause: 'now' | 'before'): { time: 'now' | 'before' } {
  if (measure.change === 'was') return { time: 'before' };
  const after = input.tokens[measure.last]?.text ?? '';
  if (/^(now|currently|today)$/.test(after)) return { time: 'now' };
  if (
    /^(before|previously|originally)$/.test(after) &&
    !/^(the|i|it|a|my)$/.test(input.tokens[measure.last + 1]?.text ?? '')
  )
    return { time: 'before' };
  for (let at = measure.first - 1; at >= Math.max(0, measure.first - 5); at -= 1) {
    const text = input.tokens[at]!.text;
    if (/^(now|currently|presently|today)$/.test(text)) return { time: 'now' };
    if (/^[.;,]$|^\n$/.test(text)) break;
  }
  // "14.2 l/100 km out of a car that used to do 9": what used to be is told behind this figure.
  if (clause === 'before' && usedToFollows(input, measure)) return { time: 'now' };
  return { time: clause };
}

function usedToFollows({ tokens }: ReaderInput, measure: Measure): boolean {
  for (let back = 1; back <= 8; back += 1)
    if (/^(used|was|were|before|had|previously|[.;\n])$/.test(tokens[measure.first - back]?.text ?? '.')) {
      if (!/^[.;\n]$/.test(tokens[measure.first - back]?.text ?? '.')) return false;
      break;
    }
  for (let at = measure.last; at < Math.min(tokens.length, measure.last + 16); at += 1) {
    const isPoint = tokens[at]!.text === '.' && tokens[at + 1]?.spaced !== false;
    if (isPoint || /^[;\n]$/.test(tokens[at]!.text)) return false;
    if (tokens[at]!.text === 'used' && tokens[at + 1]?.text === 'to') return true;
  }
  return false;
}

/** The conflict that a physically impossible figure becomes, with the question that settles it. */
export function forbidden(quantity: Quantity, quote: string, [lowest, highest]: readonly [number, number]): Conflict {
  const { name, unit } = quantities[quantity];
  const shown = unit === '1' || unit === 'kg/kg' ? '' : ` ${unit === '1/min' ? 'rpm' : unit}`;
  return {
    findings: [],
    quote,
    says: `\u201c${quote}\u201d cannot be right for ${name}: it lies between ${lowest} and ${highest}${shown}. It was not used.`,
    question: `What does the ${name} figure really read? \u201c${quote}\u201d looks like a slip of a digit or of the decimal point.`,
  };
}
