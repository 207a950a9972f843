// Figures that stand in pairs ("STFT/LTFT 3/15", "bank two is 2 and 14"): the first belongs to the first name and the second to the
// second, or to the two trims in the order in which they were given before. read-readings.ts calls it.
import type { Segment } from './figures.ts';
import type { Choice } from './quantity-fit.ts';
import type { Mention } from './quantity-mentions.ts';
import type { Token } from './tokens.ts';

/** Whether this measure and the next stand side by side with one small mark between them. */
export function isPair(tokens: readonly Token[], segment: Segment, index: number): boolean {
  const [left, right] = [segment.measures[index], segment.measures[index + 1]];
  if (!left || !right) return false;
  if (right.ofPair) return true;
  const gap = right.first - left.last;
  if (gap === 0) return right.signed || tokens[right.first]!.spaced;
  return gap === 1 && /^(and|&|,|\/|\||;)$/.test(tokens[left.last]!.text);
}

/**
 * Names of a measure that stands in a pair; null when it stands in none, or when no pair of names leads it.
 *
 * @param order names of a short-term and a long-term trim in the order in which the writer gave them last
 */
export function pairedName(
  tokens: readonly Token[],
  segment: Segment,
  index: number,
  order: readonly [Mention, Mention] | null,
): Mention | null {
  const position = isSecond(tokens, segment, index) ? 1 : isPair(tokens, segment, index) ? 0 : null;
  if (position === null) return null;
  const first = index - position;
  const [left, right] = [segment.measures[first]!, segment.measures[first + 1]!];
  const begins = segment.measures[first - 1]?.last ?? segment.first;
  // A name between the figures, or right behind them, speaks for itself.
  if (segment.mentions.some((mention) => mention.first >= left.last && mention.first < right.last + 2)) return null;
  const before = segment.mentions.filter((mention) => mention.first < left.first);
  const [one, two] = [before.at(-2), before.at(-1)];
  const own = two !== undefined && two.first >= begins;
  if (one && two && isNamePair(tokens, segment, one, two) && (own || right.ofPair)) return position === 0 ? one : two;
  if (own || !order || !isTrimSized(segment, first) || !isTrimSized(segment, first + 1)) return null;
  const fresh =
    right.ofPair ||
    [...segment.places, ...segment.conditions].some((mark) => mark.first >= begins && mark.first < right.last + 4);
  return fresh ? order[position]! : null;
}

/** Whether the measure before opened the pair that this one closes; of "1, 2, 3" none does. */
function isSecond(tokens: readonly Token[], segment: Segment, index: number): boolean {
  if (segment.measures[index]?.ofPair) return true;
  return (
    index > 0 &&
    isPair(tokens, segment, index - 1) &&
    !isPair(tokens, segment, index - 2) &&
    !isPair(tokens, segment, index)
  );
}

function isTrimSized(segment: Segment, index: number): boolean {
  const { unit, low, high } = segment.measures[index]!;
  return (unit === null || unit === 'percent') && low >= -60 && high <= 60;
}

/** "STFT/LTFT", "short and long term": two names with nothing of their own between them. */
function isNamePair(tokens: readonly Token[], segment: Segment, one: Mention, two: Mention): boolean {
  if (two.first - one.last > 3 || one.candidates.length === 0 || two.candidates.length === 0) return false;
  if (segment.measures.some((measure) => measure.first >= one.last && measure.first < two.first)) return false;
  for (let at = one.last; at < two.first; at += 1)
    if (!/^(\/|and|&|,|\||-|the|fuel|term|trims?|\+)$/.test(tokens[at]!.text)) return false;
  return one.candidates[0]!.quantity !== two.candidates[0]!.quantity;
}

/** The order of the two trims when this figure and the one before are of one each. */
export function trimOrder(before: Choice | null, choice: Choice): readonly [Mention, Mention] | null {
  const isTrim = (quantity: string) => quantity === 'short-term-trim' || quantity === 'long-term-trim';
  return before?.mention &&
    choice.mention &&
    isTrim(before.quantity) &&
    isTrim(choice.quantity) &&
    before.quantity !== choice.quantity
    ? [before.mention, choice.mention]
    : null;
}
