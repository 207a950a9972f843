// Decides which quantity a number is a figure of: the name that stands nearest before it, the name right behind it, its unit
// alone, or the name that the line above left standing. read-readings.ts calls it for one measure after the other.
import type { Measure } from './measures.ts';
import { bestCandidate, type Choice, measureGap, type Question } from './quantity-fit.ts';
import type { Mention } from './quantity-mentions.ts';
import { byCarry, byPrevious, bySensor, byUnit, decisive } from './unnamed-quantity.ts';

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
    const behind = segment.mentions[at - 1];
    const isPartOfName = seen === 1 && behind?.last === mention.first && behind.candidates.length > 0; // "AFR gauge"
    // "LTFT at idle drops to 4": the idle speed is not meant.
    const isIdle = question.input.tokens[mention.first]!.text.startsWith('idl');
    if (
      !isIdle &&
      measure.unit === null &&
      gap.measures === 0 &&
      gap.unknown === 0 &&
      (seen >= 2 || gap.length <= 1) &&
      !isPartOfName
    )
      return null;
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
  const linked = measure.unit === null ? null : /^(to|go|goes|going|get|swing|flip)$/;
  for (let at = measure.last; at < mention.first; at += 1) {
    if (linked?.test(question.input.tokens[at]!.text)) continue;
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

function gapHas(question: Question, from: number, to: number, pattern: RegExp): boolean {
  for (let at = from; at < Math.min(to, from + 4); at += 1)
    if (pattern.test(question.input.tokens[at]?.text ?? '')) return true;
  return false;
}
