// Ties numbers to the quantity, bank, sensor and condition that they were written with, and turns them into reading
// findings in the vocabulary's units. read-post.ts calls it after codes, bytes, logs and tables.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Conflict } from '../vocabulary/answer-document.ts';
import type { ReadingFinding } from '../vocabulary/findings.ts';
import type { Condition, Quantity } from '../vocabulary/quantities.ts';
import { chooseCondition, conditionState } from './choose-condition.ts';
import { choosePlace, type PlaceState } from './choose-place.ts';
import { chooseQuantity } from './choose-quantity.ts';
import { isExpectation } from './expectation.ts';
import { withFastIdle } from './fast-idle-test.ts';
import { type Figures, findFigures, type Segment } from './figures.ts';
import { contextAt } from './finding-base.ts';
import { makeReading, type ReadingParts } from './make-reading.ts';
import { isPair, pairedName, trimOrder } from './paired-names.ts';
import { bestCandidate, type Choice, type Question } from './quantity-fit.ts';
import type { Mention } from './quantity-mentions.ts';
import type { ReaderInput, ReaderResult } from './reader.ts';
import type { Token } from './tokens.ts';

const gases: ReadonlySet<Quantity> = new Set([
  'gas-co',
  'gas-co2',
  'gas-o2',
  'gas-hc',
  'gas-nox',
  'lambda',
  'gas-mass',
]);

/** What earlier lines and sentences leave standing for the next. */
interface Carry {
  /** Quantity named last, and how many segments ago; `heading` when its line gave no figure. */
  mention: { mention: Mention; age: number; heading: boolean } | null;
  place: { bank: number | null; sensor: number | null; bothBanks: boolean } | null;
  /** Place named last in the sentence before. */
  lastPlace: { bank: number | null; sensor: number | null; bothBanks: boolean } | null;
  condition: Condition | null;
  /** Condition that stood open at the end of the segment before. */
  open: Condition | null;
  /** The two trims in the order in which they were given last, and how many segments ago. */
  order: { names: readonly [Mention, Mention]; age: number } | null;
}

/** Readings of a post. Linear in its length: each segment looks at its own marks and at most a few before them. */
export function readReadings(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const figures = findFigures(input, knowledge);
  const findings: ReadingFinding[] = [];
  const conflicts: Conflict[] = [];
  const used: Array<readonly [number, number]> = [];
  const carry: Carry = { mention: null, place: null, lastPlace: null, condition: null, open: null, order: null };
  for (const segment of figures.segments) {
    if (segment.newParagraph)
      Object.assign(carry, { mention: null, place: null, lastPlace: null, condition: null, open: null, order: null });
    for (const parts of readSegment(input, knowledge, figures, segment, carry)) {
      const made = makeReading(input, parts, figures.habits, knowledge);
      findings.push(...made.findings);
      conflicts.push(...made.conflicts);
      if (made.findings.length + made.conflicts.length > 0) used.push([parts.measure.start, parts.measure.end]);
    }
    passOn(segment, carry);
  }
  return { findings: withFastIdle(withMultipliers(findings), input.text.folded), conflicts, used };
}

function readSegment(
  input: ReaderInput,
  knowledge: Knowledge,
  figures: Figures,
  segment: Segment,
  carry: Carry,
): ReadingParts[] {
  const { tokens } = input;
  const taken: ReadingParts[] = [];
  const choices = new Map<number, Choice>();
  // A semicolon goes on with the same place ("b2: idle 21; at 2000 11").
  const goesOn = tokens[segment.first - 1]?.text === ';' && !segment.newLine;
  const isSame = saysThere(tokens, segment) || (goesOn && carry.lastPlace?.sensor === null);
  const current = carry.place ?? (isSame ? carry.lastPlace : null);
  const placeState: PlaceState = {
    consumed: new Set(),
    lastEnd: segment.first,
    inOrder: false,
    lastBank: null,
    current,
  };
  const conditions = conditionState(input, segment, carry.condition ?? (goesOn ? carry.open : null));
  carry.open = conditions.scopes.open ?? (goesOn && segment.conditions.length === 0 ? carry.open : null);
  for (const [index, measure] of segment.measures.entries()) {
    if (measure.difference || (measure.inWords && measure.unit === null && measure.low > 12)) continue;
    const previous = choices.get(index - 1) ?? null;
    if (measure.ofPair && !previous) continue;
    const chosen = choose(carry.order?.names ?? null, {
      input,
      knowledge,
      figures,
      segment,
      index,
      previous,
      carried: carry.mention,
      choices,
    });
    // "Switches 0.1 to 0.9": between two voltages, not so many times a second.
    const isVoltage = chosen?.quantity === 'switches' && measure.low < measure.high && measure.high <= 1.3;
    const choice: Choice | null = chosen && isVoltage ? { ...chosen, quantity: 'sensor-voltage' } : chosen;
    if (!choice || isCondition(segment, index, choice)) continue;
    const mood = contextAt(input, measure.first).mood;
    if (
      isExpectation(tokens, segment, measure, gases.has(choice.quantity)) ||
      isBracketedLimit(input, segment, index, choice, choices)
    )
      continue;
    if (mood === 'supposed' && choice.quantity !== 'vehicle-speed' && choice.quantity !== 'engine-speed') continue;
    choices.set(index, choice);
    // The first figure of a pair begins anew: it and the last figure of the pair before tell no order.
    const order = isPair(tokens, segment, index) ? null : trimOrder(previous, choice);
    if (order) carry.order = { names: order, age: 0 };
    const place = choosePlace(input, segment, index, choice, placeState);
    // In a row of test figures the engine speed tells under which condition the others were taken.
    if (choice.quantity === 'engine-speed' && choice.mention && figures.talksOfTest)
      conditions.fromSpeed = measure.low >= 1500 ? '2500rpm' : 'idle';
    const when = chooseCondition(input, segment, index, choice, conditions);
    taken.push({
      measure,
      quantity: choice.quantity,
      gauge: choice.mention?.gauge ?? null,
      nameFirst: choice.mention && choice.mention.first >= segment.first ? choice.mention.first : null,
      when,
      ...place,
    });
  }
  return withBefore(tokens, taken);
}

/** "long term was 21, now it is 5": of two figures of one quantity the one that was is of before. */
function withBefore(tokens: readonly Token[], taken: readonly ReadingParts[]): ReadingParts[] {
  const isNow = ({ measure }: ReadingParts) =>
    /^(now|currently|today)$/.test(tokens[measure.last]?.text ?? '') ||
    [1, 2, 3, 4, 5].some((back) => /^(now|currently|today)$/.test(tokens[measure.first - back]?.text ?? ''));
  return taken.map((parts, index) => {
    const was = [1, 2, 3].some((back) => /^(was|were)$/.test(tokens[parts.measure.first - back]?.text ?? ''));
    if (!was || parts.measure.change !== null || isNow(parts)) return parts;
    const later = taken.slice(index + 1, index + 4).some((other) => other.quantity === parts.quantity && isNow(other));
    return later ? { ...parts, measure: { ...parts.measure, change: 'was' } } : parts;
  });
}

/** A figure of a pair goes by the pair's names, any other by what stands nearest. */
function choose(order: readonly [Mention, Mention] | null, question: Question): Choice | null {
  const { input, segment, index } = question;
  const mention = pairedName(input.tokens, segment, index, order);
  const gap = { unknown: 0, measures: 0, length: 1 };
  const quantity = mention && bestCandidate(question, mention.candidates, segment.measures[index]!, gap);
  return quantity ? { quantity, mention } : chooseQuantity(question);
}

/** "O2 0.3 at 2500": a figure that tells under which condition the others were taken is no reading of theirs. */
function isCondition(segment: Segment, index: number, { quantity, mention }: Choice): boolean {
  if (quantity === 'engine-speed' || quantity === 'vehicle-speed') return false;
  const measure = segment.measures[index]!;
  // "NOx 2500" has its name right before it.
  if (mention?.last === measure.first && /^(gas-hc|gas-nox|distance)$/.test(quantity)) return false;
  return segment.conditions.some((mark) => mark.measured && mark.first <= measure.first && measure.first < mark.last);
}

/** "Replaced bank 1 sensor 2. Voltage there was 1.1 V": the place is that of the sentence before. */
function saysThere(tokens: readonly Token[], segment: Segment): boolean {
  const first = segment.measures[0]?.first ?? segment.first;
  for (let at = Math.max(segment.first + 1, first - 5); at < first; at += 1)
    if (
      tokens[at]!.text === 'there' &&
      !/^(is|are|was|were)$/.test(tokens[at - 1]!.text) &&
      segment.places.length === 0
    )
      return true;
  return false;
}

/** "CO 0.45 FAIL (0.30)": the figure in brackets right behind a figure of the same quantity is its limit. */
function isBracketedLimit(
  input: ReaderInput,
  segment: Segment,
  index: number,
  choice: Choice,
  choices: ReadonlyMap<number, Choice>,
): boolean {
  const measure = segment.measures[index]!;
  const before = choices.get(index - 1);
  return (
    gases.has(choice.quantity) &&
    before?.quantity === choice.quantity &&
    choice.mention === before.mention &&
    input.tokens[measure.first - 1]?.text === '(' &&
    input.tokens[measure.last]?.text === ')'
  );
}

function passOn(segment: Segment, carry: Carry): void {
  const last = segment.mentions.filter((mention) => mention.candidates.length > 0).at(-1);
  if (last) carry.mention = { mention: last, age: 0, heading: segment.heading };
  else if (carry.mention) carry.mention.age += 1;
  if (carry.order) carry.order.age += 1;
  if (carry.order && carry.order.age > 4) carry.order = null;
  const place = segment.places.at(-1);
  carry.lastPlace = place ? { bank: place.bank, sensor: place.sensor, bothBanks: place.bothBanks } : null;
  if (segment.newLine) {
    // What a heading says holds for the lines below it, until a line names another.
    if (segment.heading && segment.places.length > 0) {
      const place = segment.places.at(-1)!;
      carry.place = { bank: place.bank, sensor: place.sensor, bothBanks: place.bothBanks };
    } else if (segment.places.some((place) => place.bank !== null)) carry.place = null;
    if (segment.heading && segment.conditions.length > 0) carry.condition = segment.conditions.at(-1)!.when;
    else if (segment.conditions.length > 0) carry.condition = null;
  }
}

/**
 * Trims typed as factors around one ("LTFT 1.00, STFT .93 to 1.07") become percent: only when no trim of the post carries
 * a unit or a sign, all lie within 0.7 to 1.35 and are given to two decimals, so that 0.78 and 1.56 (percent steps) stay percent.
 */
function withMultipliers(findings: ReadingFinding[]): ReadingFinding[] {
  const isTrim = (finding: ReadingFinding) =>
    finding.quantity === 'long-term-trim' || finding.quantity === 'short-term-trim';
  const trims = findings.filter(isTrim);
  const typed = trims.flatMap((finding) => finding.original.value.match(/\d*[.,]?\d+/g) ?? []);
  const isFactor = (text: string) =>
    /^(0?|1)[.,]\d\d\d?$/.test(text) &&
    Number(text.replace(',', '.')) >= 0.7 &&
    Number(text.replace(',', '.')) <= 1.35 &&
    !/^(0?[.,]78|1[.,]17)\d?$/.test(text);
  if (
    trims.length < 2 ||
    !typed.some((text) => /^1[.,]0/.test(text)) ||
    !typed.every(isFactor) ||
    trims.some(({ original }) => !/\d/.test(original.value)) ||
    trims.some((finding) => finding.original.unit !== '' || /[+-]/.test(finding.original.value.slice(0, 1)))
  )
    return findings;
  const percent = (factor: number) => Math.round((factor - 1) * 1e6) / 1e4;
  return findings.map((finding) =>
    isTrim(finding)
      ? {
          ...finding,
          value: percent(finding.value),
          range: finding.range ? [percent(finding.range[0]), percent(finding.range[1])] : null,
        }
      : finding,
  );
}
