// Says which in-service limits a post asks for when it gives no figures to judge; explain.ts calls it. Readings against limits
// are derivation's.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Limit } from '../knowledge/schema/limit.ts';
import type { Explanation } from '../vocabulary/answer-document.ts';
import { quantities } from '../vocabulary/quantities.ts';
import type { CaseView } from './case-view.ts';

/** At most this many programmes; one place can have several by the car's age. */
const mostProgrammes = 3;

const gases = new Set(['gas-co', 'gas-co2', 'gas-o2', 'gas-hc', 'gas-nox', 'lambda']);

/**
 * The limits of the place that the post names, for cars of its year; without a place, what the reader should say first.
 *
 * @returns null when no limit is asked for, when gas figures were given (those are judged one by one), or when the question is
 *   about something that no test limits, such as a trim
 */
export function explainLimits(view: CaseView, knowledge: Knowledge): Explanation | null {
  const asked = view.requests.filter((request) => request.about === 'limits');
  if (asked.length === 0 || view.readings.some(({ quantity }) => gases.has(quantity))) return null;
  const words = asked.map((request) => request.quote.toLowerCase()).join(' ');
  if (!isAboutTest(words)) return null;
  const here = knowledge.limits.filter((limit) => limit.words.some((word) => hasWord(words, word.toLowerCase())));
  const year = view.engine.year;
  const fitting = here.filter((limit) => isOfYear(limit, year)).slice(-mostProgrammes);
  if (fitting.length === 0) {
    return {
      about: 'test-limits',
      text: 'Test limits depend on the country and on when the car was first used: tell me both. As a measure of health, a warm petrol engine with a working catalyst shows CO well under 0.2 %, HC under 50 ppm, CO2 above 14.5 %, O2 under 0.5 % and lambda within 0.99 to 1.01.',
      source: 'common practice',
    };
  }
  const lines = fitting.map(
    (limit) => `${limit.place}, ${whichCars(limit)}${fitting.length > 1 ? ` (${limit.rule})` : ''}: ${rowsOf(limit)}.`,
  );
  const maker = fitting.some((limit) => limit.makerFirst) ? ' The maker’s own figure for the car goes first.' : '';
  return {
    about: 'test-limits',
    text: `${lines.join(' ')}${maker} Rules change (mine are of ${Math.max(...fitting.map((limit) => limit.year))}); your test station decides.`,
    source: fitting[0]!.source,
  };
}

/** A question about gas or a test, not about a trim or a voltage. */
function isAboutTest(words: string): boolean {
  return ['co', 'hc', 'nox', 'lambda', 'mot', 'smog', 'emission', 'emissions', 'test', 'inspection', 'gas'].some(
    (word) => hasWord(words, word),
  );
}

function isOfYear(limit: Limit, year: number | null): boolean {
  const { from, until } = limit.firstUsed;
  return (
    year === null ||
    ((from === null || year >= Number(from.slice(0, 4))) && (until === null || year <= Number(until.slice(0, 4))))
  );
}

function whichCars(limit: Limit): string {
  const { from, until } = limit.firstUsed;
  const catalyst = limit.catalyst === null ? 'cars' : limit.catalyst ? 'catalyst cars' : 'cars without catalyst';
  if (from !== null && until !== null) return `${catalyst} first used ${from} to ${until}`;
  if (from !== null) return `${catalyst} first used from ${from}`;
  return until === null ? limit.appliesTo : `${catalyst} first used until ${until}`;
}

const points = { idle: 'at idle', '2500rpm': 'at fast idle', load: 'under load' } as const;

function rowsOf(limit: Limit): string {
  return limit.rows
    .map((row) => {
      const unit = quantities[row.quantity].unit === '1' ? '' : ` ${quantities[row.quantity].unit.replace(' vol', '')}`;
      const bounds =
        row.low !== null && row.high !== null
          ? `${row.low} to ${row.high}${unit}`
          : row.high === null
            ? `at least ${row.low}${unit}`
            : `at most ${row.high}${unit}`;
      return `${quantities[row.quantity].name} ${points[row.when]} ${bounds}`;
    })
    .join(', ');
}

/** A word of its own: "mot" is not in "motor". */
function hasWord(text: string, word: string): boolean {
  const isLetter = (character: string | undefined) => character !== undefined && /[\p{L}\p{N}]/u.test(character);
  for (let at = text.indexOf(word); at >= 0; at = text.indexOf(word, at + 1))
    if (!isLetter(text[at - 1]) && !isLetter(text[at + word.length])) return true;
  return false;
}
