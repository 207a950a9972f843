// Everything in a post that bears on its figures, found once: measures, names of quantities, places, conditions and the segments
// (sentences and lines) that hold them together. Shared by the readers of readings and of tables.
import type { Knowledge } from '../knowledge/knowledge.ts';
import { type Habits, habitsOf } from './assume-unit.ts';
import { splitChunks } from './chunks.ts';
import { type ConditionMark, findConditions } from './conditions.ts';
import { findMeasures, type Measure } from './measures.ts';
import { findPlaces, type Place } from './places.ts';
import { findMentions, type Mention } from './quantity-mentions.ts';
import { isTaken, type ReaderInput } from './reader.ts';
import type { Token } from './tokens.ts';

export interface Segment {
  /** Token indexes [first, last). */
  readonly first: number;
  readonly last: number;
  /** Whether a line end, and whether an empty line, stands before it. */
  readonly newLine: boolean;
  readonly newParagraph: boolean;
  readonly measures: readonly Measure[];
  readonly mentions: readonly Mention[];
  readonly places: readonly Place[];
  readonly conditions: readonly ConditionMark[];
  /** Ends with a colon, or names something and gives no figure: what it says holds for the lines below. */
  readonly heading: boolean;
}

export interface Figures {
  readonly segments: readonly Segment[];
  /** One entry a token: 1 where it belongs to a measure, name, place or condition. */
  readonly covered: Uint8Array;
  readonly habits: Habits;
  /** Fuel trims are spoken of, so that "short" and "long" mean them. */
  readonly talksOfTrims: boolean;
  /** A sensor is spoken of somewhere, so that a lone voltage may be its. */
  readonly talksOfSensors: boolean;
  readonly talksOfTest: boolean;
  readonly talksOfCompression: boolean;
  /** Exhaust gases are spoken of, so that O2 may be one of them. */
  readonly talksOfGases: boolean;
}

/** Finds the figures of a post outside the spans that are taken. Linear in its length. */
export function findFigures(input: ReaderInput, knowledge: Knowledge): Figures {
  const { tokens } = input;
  const isFree = (start: number, end: number) => !isTaken(input.taken, start, end);
  const measures = findMeasures(tokens, isFree);
  const mentions = findMentions(tokens, knowledge, input.text.cased, isFree);
  const places = findPlaces(tokens, splitChunks(tokens)).filter((place) =>
    isFree(tokens[place.first]!.start, tokens[place.last - 1]!.end),
  );
  // A digit that belongs to a name or a place ("bank 1", "CO2") is no measure.
  const covered = new Uint8Array(tokens.length);
  for (const mark of [...mentions, ...places]) covered.fill(1, mark.first, mark.last);
  const free = measures.filter((measure) => !covered[measure.first] || tokens[measure.first]!.text === '.');
  const inMeasure = new Uint8Array(tokens.length);
  for (const measure of free) inMeasure.fill(1, measure.first, measure.last);
  const conditions = findConditions(tokens, free, knowledge).filter((mark) =>
    isFree(tokens[mark.first]!.start, tokens[mark.last - 1]!.end),
  );
  const bounds = splitSegments(tokens);
  const take = <Mark extends { first: number }>(marks: readonly Mark[]) => {
    let at = 0;
    return (last: number) => {
      const from = at;
      while (at < marks.length && marks[at]!.first < last) at += 1;
      return marks.slice(from, at);
    };
  };
  const [takeMeasures, takeMentions, takePlaces, takeConditions] = [
    take(free),
    take(mentions.filter((mention) => !inMeasure[mention.first])),
    take(places),
    take(conditions),
  ];
  const segments = bounds.map(({ first, last, newLine, newParagraph }): Segment => {
    const own = {
      measures: takeMeasures(last),
      mentions: takeMentions(last),
      places: takePlaces(last),
      conditions: takeConditions(last),
    };
    const end = tokens[last - 1];
    // "At 2500 rpm:" heads what follows although it has a figure.
    const onlyConditions =
      own.measures.every((measure) =>
        own.conditions.some((mark) => mark.first <= measure.first && measure.first < mark.last),
      ) &&
      (own.measures.length === 0 || end?.text === ':');
    const names = onlyConditions && own.mentions.length + own.places.length + own.conditions.length > 0;
    return {
      first,
      last,
      newLine,
      newParagraph,
      ...own,
      heading:
        names &&
        (end?.text === ':' ||
          (newLine && last - first <= 8 && (last >= tokens.length || tokens[last]!.kind === 'newline'))),
    };
  });
  const folded = input.text.folded;
  const marked = new Uint8Array(tokens.length);
  for (const mark of [...free, ...mentions, ...places, ...conditions]) marked.fill(1, mark.first, mark.last);
  return {
    segments,
    covered: marked,
    habits: habitsOf(folded),
    talksOfTrims:
      /\btrims?\b|ltft|stft|adapt|fuel correction|\b(short|long)[- ]?term\b|\bshort\b[^a-z\n]{1,20}\blong\b/.test(
        folded,
      ),
    talksOfSensors:
      /\b(o2|02|oxygen|lambda|sensors?|probes?|ho2s|b[12]s[12]|upstream|downstream|pre-?cat|post-?cat)\b/.test(folded),
    talksOfCompression: /\bcompression\b/.test(folded),
    talksOfGases: /\b(mot|nct|smog|analy[sz]er|tailpipe|exhaust gas|ppm|co2?|hc|hydrocarbons|carbon monoxide)\b/.test(
      folded,
    ),
    talksOfTest:
      /\b(mot|nct|smog|emissions?|e-check|itv|t\u00fcv|tuv|wof|analy[sz]er|tailpipe|exhaust gas|fast idle|ppm|inspection|aircare|drive clean)\b/.test(
        folded,
      ),
  };
}

const longestSegment = 160;

/** Sentences and lines. A point inside a number or an abbreviation does not end one. */
function splitSegments(
  tokens: readonly Token[],
): Array<{ first: number; last: number; newLine: boolean; newParagraph: boolean }> {
  const segments: Array<{ first: number; last: number; newLine: boolean; newParagraph: boolean }> = [];
  let first = 0;
  let lines = 2;
  for (let index = 0; index <= tokens.length; index += 1) {
    const token = tokens[index];
    const isBreak = token === undefined || token.kind === 'newline';
    // A segment without end is cut, so that the work inside one stays bounded whatever the text.
    const tooLong = index - first >= longestSegment;
    if (!isBreak && !tooLong && !(/^[.?!;]$/.test(token.text) && endsSentence(tokens, index))) continue;
    const last = isBreak ? index : index + 1;
    if (last > first) {
      segments.push({ first, last, newLine: lines > 0, newParagraph: lines > 1 });
      lines = 0;
    }
    if (token?.kind === 'newline') lines += 1;
    first = index + 1;
  }
  return segments;
}

const abbreviations = /^(approx|no|vs|etc|max|min|avg|ave|temp|deg|std|ca|e|g|i|cyl|in|fig|st|incl|resp|rd|dr|mr|mrs)$/;

function endsSentence(tokens: readonly Token[], index: number): boolean {
  const token = tokens[index]!;
  const next = tokens[index + 1];
  // "(maxed?)" asks inside its brackets.
  if (token.text !== '.') return next?.text !== ')';
  if (next === undefined || next.kind === 'newline') return true;
  if (!next.spaced) return next.kind === 'word' && next.text.length > 3 && (tokens[index - 1]?.text.length ?? 0) > 2;
  const previous = tokens[index - 1];
  return !(previous && previous.kind === 'word' && abbreviations.test(previous.text) && !token.spaced);
}
