// The case's gas readings against the in-service limits that can apply to it.
import { inServiceVerdict, type JudgedRow, type TestReading } from '../calculators/in-service-verdict.ts';
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Limit } from '../knowledge/schema/limit.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import { quantities } from '../vocabulary/quantities.ts';
import { type DerivedInput, inputOf, stand } from './draft.ts';
import { figure, inWords } from './plain.ts';
import type { View } from './view.ts';

const judged = ['gas-co', 'gas-hc', 'lambda'] as const;

/** At most this many programmes are shown one by one; beyond, and without a place, one line sums them up. */
const mostProgrammes = 3;

/**
 * @param view    the car's readings now
 * @param derived lambda already worked out from gas, used where no lambda was given
 */
export function deriveLimits(view: View, derived: readonly Derived[], knowledge: Knowledge): Derived[] {
  const { readings, inputs } = testReadings(view, derived);
  if (!readings.some((reading) => reading.quantity !== 'lambda')) return [];
  const judgements = knowledge.limits
    .filter((limit) => isOfYear(limit, view.engine.year))
    .flatMap((limit) => {
      const result = inServiceVerdict(readings, limit.rows);
      return result.valid ? [{ limit, result }] : [];
    });
  if (judgements.length === 0) return [];
  const named = judgements.filter(({ limit }) => limit.words.some((word) => hasWord(view.words, word)));
  if (named.length === 0) return [sumUp(judgements, inputs)];
  return named.slice(0, mostProgrammes).map(({ limit, result }) => ({
    ...stand(result.value, {
      calculator: 'in-service-limit',
      unit: '%',
      source: limit.source,
      inputs,
      says: sayProgramme(limit, result.verdict, result.rows),
      steps: [
        describeProgramme(limit),
        ...result.rows.map(sayRow),
        ...(limit.condition === undefined ? [] : [`the test: ${limit.condition}`]),
        ...(limit.makerFirst ? ["the maker's own figure for the car goes before these"] : []),
      ],
    }),
    id: `in-service-limit.${limit.id}`,
  }));
}

/** Readings of a gas test; sensor lambdas are none, and lambda is compared as analysers show it, to 0.001 (oiml-r99). */
function testReadings(view: View, derived: readonly Derived[]): { readings: TestReading[]; inputs: DerivedInput[] } {
  const stated = view.readings.filter(
    (reading) =>
      (judged as readonly string[]).includes(reading.quantity) &&
      (reading.quantity !== 'lambda' || (reading.sensor === null && reading.bank === null)),
  );
  const readings = stated.map(({ quantity, when, value }): TestReading => ({ quantity, when, value }));
  const inputs = stated.map(inputOf);
  for (const result of derived) {
    // A lambda guessed from oxygen alone is no test result.
    if (result.calculator !== 'lambda-from-gas' || result.result === null || result.source !== 'brettschneider-1979')
      continue;
    if (readings.some((reading) => reading.quantity === 'lambda' && reading.when === result.when)) continue;
    readings.push({ quantity: 'lambda', when: result.when, value: Math.round(1000 * result.result) / 1000 });
  }
  return { readings, inputs };
}

/** Whether a car of that model year can be one of the programme's; without a year every programme stays. */
function isOfYear(limit: Limit, year: number | null): boolean {
  if (year === null) return true;
  const { from, until } = limit.firstUsed;
  return (from === null || year >= Number(from.slice(0, 4))) && (until === null || year <= Number(until.slice(0, 4)));
}

/** A word of its own, in any case; "mot" is not in "motor". */
function hasWord(text: string, word: string): boolean {
  const wanted = word.toLowerCase();
  for (let at = text.indexOf(wanted); at >= 0; at = text.indexOf(wanted, at + 1)) {
    const isLetter = (character: string | undefined) => character !== undefined && /[\p{L}\p{N}]/u.test(character);
    if (!isLetter(text[at - 1]) && !isLetter(text[at + wanted.length])) return true;
  }
  return false;
}

const months = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];

/** "1 July 2002" for 2002-07-01. */
function day(date: string): string {
  const [year, month, number] = date.split('-');
  return `${Number(number)} ${months[Number(month) - 1]} ${year}`;
}

/** "first used from 1 July 2002"; empty when the rule names no day. */
function sayDates(limit: Limit): string {
  const { from, until } = limit.firstUsed;
  if (from !== null && until !== null) return `first used from ${day(from)} to ${day(until)}`;
  if (from !== null) return `first used from ${day(from)}`;
  return until === null ? '' : `first used until ${day(until)}`;
}

function sayProgramme(limit: Limit, verdict: 'pass' | 'fail' | 'incomplete', rows: readonly JudgedRow[]): string {
  const dates = sayDates(limit);
  const cars = `${limit.catalyst === false ? 'cars without a catalyst' : 'cars'}${dates === '' ? ` (${limit.appliesTo})` : ` ${dates}`}`;
  const who = `By the test limits in ${inPlace(limit.place)} for ${cars}`;
  if (verdict === 'fail') {
    const failed = rows.filter((row) => row.verdict === 'fail').map(sayFailure);
    return `${who} this fails: ${failed.join('; ')}.`;
  }
  if (verdict === 'pass') return `${who} these figures pass.`;
  const missing = rows.filter((row) => row.verdict === 'missing').map(nameRow);
  return `${who} nothing given fails; still missing: ${missing.join(', ')}.`;
}

function inPlace(place: string): string {
  return /^(United|European)/.test(place) ? `the ${place}` : place;
}

/** One line on whose limits these are. */
function describeProgramme(limit: Limit): string {
  const dates = sayDates(limit);
  return `${limit.place}: ${limit.rule} (text of ${limit.year}), ${limit.appliesTo}${dates === '' ? '' : `, ${dates}`}`;
}

function nameRow({ row }: JudgedRow): string {
  return `${quantities[row.quantity].name} ${inWords(row.when)}`;
}

function sayFailure(item: JudgedRow): string {
  const { row, value } = item;
  const { decimals, unit } = quantities[row.quantity];
  const shown = figure(value ?? 0, decimals);
  const bound = row.high !== null && (value ?? 0) > row.high ? `above ${row.high}` : `below ${row.low}`;
  return `${nameRow(item)} ${shown} is ${bound}${shortUnit(unit)}`;
}

/** " %" for "% vol", " ppm" for "ppm vol", nothing for a plain number. */
function shortUnit(unit: string): string {
  return unit === '1' ? '' : ` ${unit.replace(' vol', '')}`;
}

function sayRow(item: JudgedRow): string {
  const { row } = item;
  const { decimals, unit } = quantities[row.quantity];
  const bounds = [row.low === null ? '' : `at least ${row.low}`, row.high === null ? '' : `at most ${row.high}`]
    .filter((part) => part !== '')
    .join(' and ');
  const limit = `${nameRow(item)}: ${bounds}${shortUnit(unit)}`;
  if (item.value === null || item.margin === null) return `${limit}; not given`;
  return `${limit}; ${figure(item.value, decimals)}, ${item.verdict === 'pass' ? 'passes' : 'fails'} by ${figure(Math.abs(item.margin), Math.max(2, decimals))}`;
}

/** Without a place: how many programmes the readings would pass, and the margin to the strictest. */
function sumUp(
  judgements: ReadonlyArray<{ limit: Limit; result: { value: number; verdict: 'pass' | 'fail' | 'incomplete' } }>,
  inputs: readonly DerivedInput[],
): Derived {
  const fails = judgements.filter(({ result }) => result.verdict === 'fail');
  const strictest = judgements.reduce((least, item) => (item.result.value < least.result.value ? item : least));
  const count = judgements.length;
  const says =
    fails.length === 0
      ? 'The gas figures given break none of the in-service limits that I know; which apply depends on the country and the age of the car.'
      : fails.length === count
        ? 'The gas figures given break every in-service limit that I know, even those for old cars.'
        : `The gas figures given break ${fails.length} of the ${count} sets of in-service limits that I know; which applies depends on the country and the age of the car.`;
  return stand(strictest.result.value, {
    calculator: 'in-service-limit',
    unit: '%',
    source: strictest.limit.source,
    inputs,
    says,
    steps: judgements
      .slice(0, 20)
      .map(
        ({ limit, result }) =>
          `${describeProgramme(limit)}: ${{ pass: 'passes', fail: 'fails', incomplete: 'nothing fails, not all figures given' }[result.verdict]}`,
      ),
  });
}
