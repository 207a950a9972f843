// Numbers with their units, as ranges where a range is written: "22-25 %", "0.05v to 0.9v", "from 39 to 32 mpg", "maxed out at 25".
// What a measure is about is decided in read-readings.ts and read-tables.ts.
import { type PlainNumber, readNumber } from './numbers.ts';
import type { Token } from './tokens.ts';
import { readUnit, type UnitId } from './units.ts';

export interface Measure {
  /** Token indexes [first, last), sign and unit included. */
  readonly first: number;
  readonly last: number;
  readonly start: number;
  readonly end: number;
  /** Lower and upper number as typed; equal when no range was written. */
  readonly low: number;
  readonly high: number;
  /** Both sides under the other reading of a comma ("1,014"). */
  readonly alternative: readonly [number, number] | null;
  readonly unit: UnitId | null;
  /** First token of the unit; equal to `last` when there is none. */
  readonly unitFirst: number;
  readonly limit: 'at-least' | 'at-most' | null;
  /** In "from 39 to 32": what it was, and what it became. */
  readonly change: 'was' | 'became' | null;
  /** "down 3 mpg", "lost 5": a difference and no reading. */
  readonly difference: boolean;
  readonly signed: boolean;
  readonly decimals: number;
  readonly inWords: boolean;
  readonly thousands: boolean;
  /** The second of a pair such as `12/14`: never read without the first. */
  readonly ofPair: boolean;
}

interface Side {
  readonly number: PlainNumber;
  readonly unit: { unit: UnitId; last: number } | null;
  readonly last: number;
}

const changing = new Set(
  'went gone dropped drop dropping drops fell fallen fall falling rose risen increased increasing climbed decreased decreasing reduced reducing improved slipped down up shot jumped changed lowered raised came declined plummeted dipped sank sunk'.split(
    ' ',
  ),
);
const swinging = new Set(
  'swings swing swinging cycles cycling flicks flick flicking varies vary varying ranges ranging range bounces bouncing bounce fluctuates fluctuating fluctuate oscillates oscillating switches switching jumps jumping hunts hunting wanders toggles toggling anywhere moves moving sweeps anything goes go going flips flipping alternates sweeping swung cycled'.split(
    ' ',
  ),
);

/** All measures of a post in order of place. Linear: each step moves on by at least one token. */
export function findMeasures(tokens: readonly Token[], isFree: (start: number, end: number) => boolean): Measure[] {
  const measures: Measure[] = [];
  for (let index = 0; index < tokens.length; ) {
    const left = readSide(tokens, index);
    if (!left || !isFree(tokens[index]!.start, tokens[left.last - 1]!.end)) {
      index = left ? left.last : skipNumber(tokens, index);
      continue;
    }
    const separator = rangeSeparator(tokens, left);
    const right = separator ? readSide(tokens, separator.last) : null;
    if (separator && right && fitsRange(left, right)) {
      const unit = right.unit ?? left.unit;
      const last = right.unit ? right.last : right.number.last;
      if (separator.word === 'to' && isChange(tokens, index, left, right)) {
        measures.push(measureOf(tokens, left.number, left.number, left.unit ?? right.unit, index, left.last, 'was'));
        measures.push(
          measureOf(tokens, right.number, right.number, right.unit ?? left.unit, right.number.first, last, 'became'),
        );
      } else {
        measures.push(measureOf(tokens, left.number, right.number, unit, index, last, null));
      }
      index = last;
      continue;
    }
    const first = inPair(measures, left, tokens);
    const second = secondOfPair(tokens, first);
    if (second && isDate(tokens, first, second)) {
      index = second.last;
      continue;
    }
    const unit = first.unit ?? second?.unit ?? null;
    measures.push(perQuart(tokens, measureOf(tokens, first.number, first.number, unit, index, first.last, null)));
    index = first.last;
    if (!second) continue;
    measures.push({
      ...measureOf(tokens, second.number, second.number, second.unit ?? unit, second.number.first, second.last, null),
      ofPair: true,
    });
    index = second.last;
  }
  return measures;
}

/** "3/15, 2/9, 1/4": behind a pair what looks like a fraction is another pair. */
function inPair(measures: readonly Measure[], left: Side, tokens: readonly Token[]): Side {
  const { number } = left;
  const before = measures.slice(-2).find((measure) => measure.ofPair);
  if (!before || number.over === null || number.first - before.last > 8 || number.signed) return left;
  const first = {
    ...number,
    value: Number(tokens[number.first]!.text),
    last: number.first + 1,
    over: null,
    decimals: 0,
  };
  return { number: first, unit: null, last: first.last };
}

/** "12/14 %": two figures parted by a slash, none of them a date, a fraction or a longer chain. */
function secondOfPair(tokens: readonly Token[], left: Side): Side | null {
  const slash = tokens[left.last];
  if (slash?.text !== '/' || slash.spaced || left.number.inWords || left.number.over !== null) return null;
  const before = tokens[left.number.first - 1];
  if (before && !left.number.signed && !tokens[left.number.first]!.spaced && before.text === '/') return null;
  const right = readSide(tokens, left.last + 1, true);
  if (!right || right.number.inWords) return null;
  const after = tokens[right.last];
  return after?.text === '/' && !after.spaced ? null : right;
}

/** "a quart every 1000 miles": the miles are those of one quart or litre of oil. */
function perQuart(tokens: readonly Token[], measure: Measure): Measure {
  if (measure.unit !== 'mile') return measure;
  const before = [6, 5, 4, 3, 2, 1].map((back) => tokens[measure.first - back]?.text ?? '').join(' ');
  const found =
    /\b(?:a|one|1|another) (quart|qt|litre|liter)(?: of oil| or so)? (?:every|per|each|in|over|between|about every|every about)(?: a| an| about| the| each| every)?$/.exec(
      before,
    );
  return found ? { ...measure, unit: found[1]!.startsWith('q') ? 'mile-per-quart' : 'mile-per-litre' } : measure;
}

/** "since 10/12". */
function isDate(tokens: readonly Token[], left: Side, right: Side): boolean {
  const isWhole = [left, right].every(
    ({ number, unit }) =>
      unit === null && !number.signed && number.decimals === 0 && number.value >= 1 && number.value <= 31,
  );
  return isWhole && /^(since|on|dated|until|till|by)$/.test(tokens[left.number.first - 1]?.text ?? '');
}

function readSide(tokens: readonly Token[], index: number, ofPair = false): Side | null {
  const number = readNumber(tokens, index, ofPair);
  if (!number) return null;
  const after = unitAfter(tokens, number.last);
  // "0 to 1 volt" is a range, "14.7 to 1" a ratio.
  const unit =
    (after?.unit === 'to-one' && number.value < 8) ||
    (after?.unit === 'rpm' && isNameOfNext(tokens, number, after.last))
      ? null
      : after;
  return { number, unit, last: unit ? unit.last : number.last };
}

/** The unit behind a number: glued, after a blank, after a bracket or a dash ("22 (%)"). */
function unitAfter(tokens: readonly Token[], index: number): { unit: UnitId; last: number } | null {
  const direct = readUnit(tokens, index);
  if (direct) return direct;
  if (tokens[index]?.text === '-' && !tokens[index]!.spaced && tokens[index + 1]?.spaced === false) {
    const hyphenated = readUnit(tokens, index + 1);
    if (hyphenated) return hyphenated;
  }
  return null;
}

/** "LTFT -18.0 RPM 725": the word names the figure behind it and is no unit of the one before. */
function isNameOfNext(tokens: readonly Token[], number: PlainNumber, after: number): boolean {
  if (Math.abs(number.value) >= 200 && !number.signed) return false;
  const next = /^[:=]$/.test(tokens[after]?.text ?? '') ? tokens[after + 1] : tokens[after];
  return next?.kind === 'number' && !number.thousands;
}

function skipNumber(tokens: readonly Token[], index: number): number {
  const token = tokens[index]!;
  let at = index + 1;
  if (token.kind !== 'number') return at;
  // The rest of a date, a time, a version or a part number goes with it.
  while (
    at < tokens.length &&
    !tokens[at]!.spaced &&
    (tokens[at]!.kind === 'number' ||
      (/^[./:-]$/.test(tokens[at]!.text) && tokens[at + 1]?.kind === 'number' && !tokens[at + 1]!.spaced))
  )
    at += 1;
  return at;
}

function rangeSeparator(tokens: readonly Token[], left: Side): { word: string; last: number } | null {
  const token = tokens[left.last];
  if (!token) return null;
  if (token.text === '-' || token.text === '~') {
    const next = tokens[left.last + 1];
    if (next?.text === '-' && next.spaced === false) return null;
    // "3.1 -1.6": a blank before and none behind make it the next figure's sign.
    if (token.text === '-' && token.spaced && next?.spaced === false) return null;
    return { word: '-', last: left.last + 1 };
  }
  if (token.text === '.' && tokens[left.last + 1]?.text === '.') {
    return {
      word: '-',
      last: left.last + (tokens[left.last + 2]?.text === '.' && tokens[left.last + 3]?.kind === 'number' ? 3 : 2),
    };
  }
  if (token.text === 'to' || token.text === 'through' || token.text === 'thru' || token.text === 'till') {
    let last = left.last + 1;
    if (/^(about|around|maybe|roughly|only|just)$/.test(tokens[last]?.text ?? '')) last += 1;
    return { word: 'to', last };
  }
  if (token.text === 'and' && hasBefore(tokens, left.number.first, 3, /^between$/)) {
    const last = left.last + 1;
    return { word: 'and', last: /^(about|around)$/.test(tokens[last]?.text ?? '') ? last + 1 : last };
  }
  if (token.text === 'or' && !left.unit && tokens[left.last + 1]?.kind === 'number')
    return { word: 'or', last: left.last + 1 };
  return null;
}

/** Two numbers make a range when their units agree and their sizes are of one kind. */
function fitsRange(left: Side, right: Side): boolean {
  if (left.unit && right.unit && left.unit.unit !== right.unit.unit) return false;
  if (left.number.bothSides || right.number.bothSides) return false;
  if (left.number.inWords !== right.number.inWords && !right.unit) return false;
  const [low, high] = [Math.abs(left.number.value), Math.abs(right.number.value)];
  return right.number.thousands || low === 0 || high === 0 || (high / low < 1000 && low / high < 1000);
}

function isChange(tokens: readonly Token[], index: number, left: Side, right: Side): boolean {
  for (let back = 1; back <= 8; back += 1) {
    const token = tokens[index - back];
    if (!token || token.kind === 'newline' || token.text === '.' || token.text === ';') break;
    if (swinging.has(token.text)) return false;
    if (changing.has(token.text)) return true;
  }
  const unit = right.unit?.unit ?? left.unit?.unit;
  return unit === 'mile-per-gallon' && right.number.value < left.number.value;
}

function hasBefore(tokens: readonly Token[], index: number, within: number, words: RegExp): boolean {
  for (let back = 1; back <= within; back += 1) if (words.test(tokens[index - back]?.text ?? '')) return true;
  return false;
}

function measureOf(
  tokens: readonly Token[],
  left: PlainNumber,
  right: PlainNumber,
  unit: { unit: UnitId; last: number } | null,
  first: number,
  last: number,
  change: Measure['change'],
): Measure {
  const scale = right.thousands && !left.thousands && left.value < right.value / 100 ? 1000 : 1;
  const values = left.bothSides ? [-Math.abs(left.value), Math.abs(left.value)] : [left.value * scale, right.value];
  const low = Math.min(values[0]!, values[1]!);
  const high = Math.max(values[0]!, values[1]!);
  const start = tokens[first]!.start;
  const end = tokens[last - 1]!.end;
  const others: [number, number] = [left.alternative ?? left.value, right.alternative ?? right.value];
  return {
    first,
    last,
    start,
    end,
    low,
    high,
    alternative:
      left.alternative === null && right.alternative === null ? null : [Math.min(...others), Math.max(...others)],
    unit: unit?.unit ?? null,
    unitFirst: unit && unit.last === last ? right.last : last,
    limit: limitBefore(tokens, first, high),
    change,
    difference: isDifference(tokens, first, last),
    signed: left.signed || left.bothSides,
    decimals: Math.max(left.decimals, right.decimals),
    inWords: left.inWords,
    thousands: left.thousands || right.thousands,
    ofPair: false,
  };
}

/** "maxed out at 25", "over 30", "below 0.1". */
function limitBefore(tokens: readonly Token[], first: number, value: number): Measure['limit'] {
  const last = tokens[first - 1];
  if (last?.kind !== 'word' && last?.text !== '>' && last?.text !== '<') return null;
  const words = [3, 2, 1].map((back) => tokens[first - back]?.text ?? '').join(' ');
  if (/\b(maxed|maxes|maxing|pegged|pinned|topped|tops|peaked)( out| up)?( at| to| near)?$/.test(words))
    return value < 0 ? 'at-most' : 'at-least';
  if (/\b(over|above|exceeding|least|north of|greater than|more than|higher than)$|>$/.test(words)) return 'at-least';
  if (/\b(under|below|less than|lower than|at most|not even|up to)$|<$/.test(words))
    return /up to$/.test(words) ? null : 'at-most';
  return null;
}

function isDifference(tokens: readonly Token[], first: number, last: number): boolean {
  if (tokens[first - 1]?.kind !== 'word' && tokens[last]?.kind !== 'word') return false;
  const words = [4, 3, 2, 1].map((back) => tokens[first - back]?.text ?? '').join(' ');
  const after = [0, 1, 2].map((ahead) => tokens[last + ahead]?.text ?? '').join(' ');
  if (
    /\b(lost|lose|losing|gained|loss of|drop of|difference of|drop by|up by|down by|dropped by|by about|by around|by|decrease of|increase of)( about| around| roughly| a| a solid| some| at least| nearly)?$/.test(
      words,
    )
  )
    return true;
  if (
    /\b(down|up)( about| around| a solid| some| by| nearly)?$/.test(words) &&
    !/\b(drops?|dropped|goes|went|go|gone|come|comes|came|run|runs|get|gets|right|is|sits|ran|rises?|climbs?|all the way|creeps?|jumps?|shot|hold|holding|held) (down|up)( about| around)?$/.test(
      words,
    )
  )
    return (
      /^(mpg|less|more|worse|lower|higher|over|in|from)/.test(after) ||
      /\b(down|up) (about|around|a solid|some|by|nearly)$/.test(words)
    );
  return (
    /^(less|more|lower|higher|worse|better|drop|improvement|loss|increase|decrease|difference|reduction|swing|fewer)\b/.test(
      after,
    ) && !/^(more|less) (or|than)/.test(after)
  );
}
