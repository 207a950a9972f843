// Under which running condition a figure was taken: said right behind it, said before it, standing for the segment or the lines.
import type { Condition, Quantity } from '../vocabulary/quantities.ts';
import type { Choice } from './choose-quantity.ts';
import type { ConditionMark } from './conditions.ts';
import type { Segment } from './figures.ts';
import { contextAt } from './finding-base.ts';
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
  const own = segment.conditions.find((mark) => mark.first === measure.first);
  if (own && own.when === 'idle') return 'idle';
  const others = segment.conditions.filter((mark) => mark !== own);
  const next = segment.measures[index + 1];
  const ahead = others.find((mark) => mark.first >= measure.last);
  const tied =
    ahead !== undefined && (!next || ahead.first <= next.first) && isTied(input, measure.last, ahead.first)
      ? ahead
      : null;
  const behind = others.filter((mark) => mark.last <= measure.first && !state.consumed.has(mark)).at(-1) ?? null;
  if (tied && (!behind || !opensWhatFollows(input, segment, tied))) {
    state.consumed.add(tied);
    return tied.when;
  }
  if (behind) return behind.when;
  if (choice.quantity === 'engine-speed' && own)
    return others.length > 0 && Math.abs(others[0]!.last - measure.first) <= 3 ? others[0]!.when : null;
  const kinds = new Set(others.map((mark) => mark.when));
  if (choice.quantity !== 'engine-speed' && kinds.size === 1) return others[0]!.when;
  if (choice.quantity === 'engine-speed' && choice.mention && /^idl/.test(input.tokens[choice.mention.first]!.text))
    return 'idle';
  return (
    state.fromSpeed ??
    (choice.quantity === 'engine-speed' ? null : state.heading) ??
    (choice.quantity === 'engine-speed' ? null : contextAt(input, measure.first).when)
  );
}

/** Whether only small words stand between a figure and the condition behind it. */
function isTied(input: ReaderInput, from: number, to: number): boolean {
  if (to - from > 5) return false;
  for (let at = from; at < to; at += 1) {
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
