// Under which running condition a figure was taken: said right behind it, said before it, standing for the segment or the lines.
import type { Condition, Quantity } from '../vocabulary/quantities.ts';
import type { ConditionMark } from './conditions.ts';
import type { Segment } from './figures.ts';
import type { Choice } from './quantity-fit.ts';
import type { ReaderInput } from './reader.ts';

export interface ConditionState {
  readonly consumed: Set<ConditionMark>;
  readonly heading: Condition | null;
  /** Condition that an engine speed of the same table row implies. */
  fromSpeed: Condition | null;
}

/** Quantities that a running condition says nothing about. */
const without: ReadonlySet<Quantity> = new Set([
  'distance',
  'displacement',
  'fuel-consumption',
  'oil-consumption',
  'vehicle-speed',
  'compression',
  'heater-resistance',
  'misfire-count',
]);

const testQuantities: ReadonlySet<Quantity> = new Set(['gas-co', 'gas-co2', 'gas-o2', 'gas-hc', 'gas-nox', 'lambda']);

/** Condition of one measure of a segment; null when the writer did not say. */
export function chooseCondition(
  input: ReaderInput,
  segment: Segment,
  index: number,
  choice: Choice,
  state: ConditionState,
): Condition | null {
  if (without.has(choice.quantity)) return null;
  const measure = segment.measures[index]!;
  const own = segment.conditions.find((mark) => mark.first <= measure.first && measure.first < mark.last);
  const others = segment.conditions.filter((mark) => mark !== own);
  const isSpeed = choice.quantity === 'engine-speed';
  // "14.9 and 15.2 at idle": figures joined by one small word share what follows the last of them.
  let end = index;
  while (end + 1 < segment.measures.length && joinsFigures(input, segment, end)) end += 1;
  const next = segment.measures.find(
    (other, position) => position > end && !isInBrackets(input, segment.measures[end]!.last, other.first),
  );
  const endOfList = segment.measures[end]!.last;
  const ahead = others.find((mark) => mark.first >= endOfList);
  const tied =
    ahead !== undefined && (!next || ahead.first <= next.first) && isTied(input, endOfList, ahead.first) ? ahead : null;
  const behind = others.filter((mark) => mark.last <= measure.first && !state.consumed.has(mark)).at(-1) ?? null;
  if (isSpeed) return speedCondition(input, segment, index, choice, state);
  if (tied && (!behind || !opensWhatFollows(input, segment, tied))) {
    if (end === index) consumeWith(input, segment, tied, state);
    return tied.when;
  }
  if (behind) return behind.when;
  const later = others.filter((mark) => mark.first >= measure.last);
  if (
    later.length > 0 &&
    new Set(others.map((mark) => mark.when)).size === 1 &&
    sharesTail(input, segment, index, later[0]!)
  )
    return later[0]!.when;
  // Figures of one exhaust test were taken together: "CO 0.85 at fast idle, lambda 1.01".
  const test = testQuantities.has(choice.quantity)
    ? others.filter((mark) => mark.last <= measure.first).at(-1)
    : undefined;
  return test?.when ?? state.fromSpeed ?? state.heading;
}

/** "STFT is 3 and LTFT is 25 at idle": a condition at the very end holds for the figures that are joined to the last. */
function sharesTail(input: ReaderInput, segment: Segment, index: number, mark: ConditionMark): boolean {
  const from = segment.measures[index]!.last;
  if (segment.measures.some((other) => other.first >= mark.last)) return false;
  if (mark.first - from > 14) return false;
  for (let at = from; at < mark.first; at += 1)
    if (/^(;|but|while|whereas|then|because|so|if)$/.test(input.tokens[at]!.text)) return false;
  return true;
}

/** Whether a figure stands in brackets that open right behind another. */
function isInBrackets(input: ReaderInput, from: number, at: number): boolean {
  return input.tokens[from]?.text === '(' && at > from && at < skipBrackets(input, from);
}

/** An engine speed is itself the condition; only a word that stands right beside it says more ("fast idle (2371 rpm)"). */
function speedCondition(
  input: ReaderInput,
  segment: Segment,
  index: number,
  choice: Choice,
  state: ConditionState,
): Condition | null {
  const measure = segment.measures[index]!;
  const beside = segment.conditions.find(
    (mark) =>
      !mark.measured &&
      /^(idle|2500rpm|cold)$/.test(mark.when) &&
      ((mark.last <= measure.first && measure.first - mark.last <= 3) ||
        (mark.first >= measure.last && mark.first - measure.last <= 2)),
  );
  if (beside) return beside.when;
  if (
    segment.conditions.some((mark) => mark.first <= measure.first && measure.first < mark.last && mark.when === 'idle')
  )
    return 'idle';
  if (measure.high <= 1600 && segment.conditions.some((mark) => mark.when === 'idle')) return 'idle';
  if (choice.mention && /^idl/.test(input.tokens[choice.mention.first]!.text)) return 'idle';
  return state.fromSpeed;
}

function joinsFigures(input: ReaderInput, segment: Segment, index: number): boolean {
  const [from, to] = [segment.measures[index]!.last, segment.measures[index + 1]!.first];
  if (to - from === 1) return /^(and|or|to|,|\/|&)$/.test(input.tokens[from]!.text);
  // "B1 is 16.4 and B2 is 18.0 at idle": the next figure's place and verb may stand between.
  if (to - from > 6 || !/^(and|&|,|\/)$/.test(input.tokens[from]!.text)) return false;
  const isOfPlace = (at: number) => segment.places.some((place) => place.first <= at && at < place.last);
  for (let at = from + 1; at < to; at += 1)
    if (!isOfPlace(at) && !/^(is|are|was|at|on|the|and|about)$/.test(input.tokens[at]!.text)) return false;
  return segment.places.some((place) => place.first > from && place.last <= to);
}

/** Claims a condition for the figure before it, with those that are joined to it ("at idle (780 rpm) and under load too"). */
function consumeWith(input: ReaderInput, segment: Segment, first: ConditionMark, state: ConditionState): void {
  state.consumed.add(first);
  let end = first.last;
  for (const mark of segment.conditions) {
    if (mark.first < end) continue;
    for (let at = end; at < mark.first; at += 1)
      if (!/^(and|&|or|both|\(|\)|\/|at|under|\d+|rpm|when|also)$/.test(input.tokens[at]!.text)) return;
    if (!/^(too|also|,|\.|\)|as)$/.test(input.tokens[mark.last]?.text ?? '.')) return;
    state.consumed.add(mark);
    end = mark.last;
  }
}

/** Whether only small words stand between a figure and the condition behind it. */
function isTied(input: ReaderInput, from: number, to: number): boolean {
  const start = skipBrackets(input, from);
  if (to - start > 5) return false;
  for (let at = start; at < to; at += 1) {
    if (
      !/^(at|during|when|while|with|under|on|in|the|\(|a|an|of|only|just|but|for|and|warm|hot|by|@|even|engine|lean|rich|or|so)$/.test(
        input.tokens[at]!.text,
      )
    )
      return false;
    if (input.tokens[at]!.text === 'and' || input.tokens[at]!.text === 'but') return false;
  }
  return true;
}

/** "0.85 % (limit 0.2 %) at fast idle": what stands in brackets right behind a figure does not part it from what follows. */
function skipBrackets(input: ReaderInput, from: number): number {
  if (input.tokens[from]?.text !== '(') return from;
  for (let at = from + 1; at < from + 9; at += 1) if (input.tokens[at]?.text === ')') return at + 1;
  return from;
}

/** "..., at 2500 LTFT 3": a condition that runs straight on into the next name or figure belongs to that one. */
function opensWhatFollows(input: ReaderInput, segment: Segment, mark: ConditionMark): boolean {
  const next = [...segment.mentions, ...segment.measures, ...segment.places]
    .filter((other) => other.first >= mark.last)
    .sort((a, b) => a.first - b.first)[0];
  if (!next || next.first - mark.last > 4) return false;
  for (let at = mark.last; at < next.first; at += 1)
    if (/^(,|and|but|;|\))$/.test(input.tokens[at]!.text)) return false;
  return true;
}
