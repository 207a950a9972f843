// Which of a segment's figures each running condition is said of. A condition right behind a figure belongs to it and to the list
// that it closes ("22 at idle"); any other opens what follows ("At idle LTFT 22, STFT 3"). choose-condition.ts calls it.
import type { Condition } from '../vocabulary/quantities.ts';
import type { ConditionMark } from './conditions.ts';
import type { Segment } from './figures.ts';
import type { Token } from './tokens.ts';

export interface ConditionScopes {
  /** For each measure of the segment the condition that is said of it; null where none is. */
  readonly said: ReadonlyArray<Condition | null>;
  /** Conditions that the figures before them have claimed. */
  readonly claimed: ReadonlySet<ConditionMark>;
  /** What stands open at the end: it goes on behind a semicolon ("Idle: HC 190; CO 0.3"). */
  readonly open: Condition | null;
}

interface Item {
  readonly first: number;
  readonly last: number;
  /** Index of the figure; -1 for a name, a place or a condition. */
  readonly figure: number;
  readonly mark: ConditionMark | null;
}

/** Conditions of all measures of a segment. Linear: each item looks at its neighbours, and a list is claimed once. */
export function conditionScopes(tokens: readonly Token[], segment: Segment): ConditionScopes {
  const said: Array<Condition | null> = segment.measures.map(() => null);
  const claimed = new Set<ConditionMark>();
  const items = itemsOf(segment);
  const covered = coveredBy(segment);
  let opened: Condition | null = null;
  let openedAt = 0;
  const startedAt = startsOf(tokens, segment);
  let last = -1;
  let claim: ConditionMark | null = null;
  for (const [position, item] of items.entries()) {
    if (item.figure >= 0) {
      if (isOtherSpeed(tokens, segment, item.figure)) opened = null;
      // "key on 0.45 V, with it running 0.1": the engine was started in between.
      if (opened === 'key-on' && startedAt.some((at) => at > openedAt && at < item.first)) opened = null;
      said[item.figure] = opened;
      last = item.figure;
      // "at idle (780 rpm) and under load too": the speed in brackets explains the condition.
      if (tokens[item.first - 1]?.text !== '(') claim = null;
    } else if (item.mark) {
      if (claim && continuesClaim(tokens, claim, item.mark)) {
        claimed.add(item.mark);
        claim = item.mark;
        continue;
      }
      if (last >= 0 && closesList(tokens, segment, covered, last, item.mark, said[last]!, following(items, position))) {
        claimList(tokens, segment, covered, last, item.mark.when, said);
        claimed.add(item.mark);
        claim = item.mark;
      } else {
        opened = item.mark.when;
        openedAt = item.last;
        claim = null;
      }
    }
  }
  return { said, claimed, open: opened };
}

/** The next item that begins behind this one: a name inside a condition ("full throttle") is none. */
function following(items: readonly Item[], position: number): Item | undefined {
  for (let at = position + 1; at < items.length; at += 1)
    if (items[at]!.first >= items[position]!.last) return items[at];
  return undefined;
}

/** Places where the engine is said to run; of a segment with a key-on only. */
function startsOf(tokens: readonly Token[], segment: Segment): number[] {
  const starts: number[] = [];
  if (segment.conditions.some(({ when }) => when === 'key-on'))
    for (let at = segment.first; at < segment.last; at += 1)
      if (/^(running|runs|started|starting|cranking)$/.test(tokens[at]!.text) && tokens[at - 1]?.text !== 'not')
        starts.push(at);
  return starts;
}

/** Figures, names, places and conditions in order; a figure that is itself a condition ("at 2500 rpm") counts as the condition. */
function itemsOf(segment: Segment): Item[] {
  const isMark = (first: number) =>
    segment.conditions.some((mark) => mark.measured && mark.first <= first && first < mark.last);
  return [
    ...segment.measures.flatMap(({ first, last }, figure) =>
      isMark(first) ? [] : [{ first, last, figure, mark: null }],
    ),
    ...segment.conditions.map((mark) => ({ first: mark.first, last: mark.last, figure: -1, mark })),
    ...[...segment.mentions, ...segment.places].map(({ first, last }) => ({ first, last, figure: -1, mark: null })),
  ].sort((a, b) => a.first - b.first || b.last - a.last);
}

/** Tokens of names, places and conditions, which part nothing. */
function coveredBy(segment: Segment): ReadonlySet<number> {
  const covered = new Set<number>();
  for (const { first, last } of [...segment.mentions, ...segment.places, ...segment.conditions])
    for (let at = first; at < last; at += 1) covered.add(at);
  return covered;
}

/** "1500 rpm 2/9" between idle and 2500: a speed that is none of our conditions ends the one before it. */
function isOtherSpeed(tokens: readonly Token[], segment: Segment, figure: number): boolean {
  const measure = segment.measures[figure]!;
  if (measure.unit !== 'rpm' || measure.low < 1200) return false;
  const next = segment.measures[figure + 1];
  return (
    /^(at|@|,|\/|;)$/.test(tokens[measure.first - 1]?.text ?? '') &&
    next !== undefined &&
    next.first - measure.last <= 3
  );
}

const small =
  /^(at|during|when|while|with|under|on|in|the|\(|\)|a|an|of|only|just|for|warm|hot|by|@|even|engine|lean|rich|or|so|i|it|hold|held|holding|revved|rev|revving|reving|to|you|we|is|was|steady|if|it's|its|car|sitting|same|out|roughly|about|around|side|banks|both|constant|up|sniffer|tailpipe|meter)$/;

/** Whether a condition belongs to the figure before it and not to what follows. */
function closesList(
  tokens: readonly Token[],
  segment: Segment,
  covered: ReadonlySet<number>,
  figure: number,
  mark: ConditionMark,
  already: Condition | null,
  next: Item | undefined,
): boolean {
  const from = skipBrackets(tokens, segment.measures[figure]!.last);
  if (mark.first < from || mark.first - from > 7) return false;
  for (let at = from; at < mark.first; at += 1) if (!covered.has(at) && !small.test(tokens[at]!.text)) return false;
  // A name on the way has its figure behind the condition ("STFT 3 LTFT at idle 22"), unless it names this one ("-18 on LTFT at idle").
  const named = segment.mentions.find((mention) => mention.first >= from && mention.last <= mark.first);
  if (named && !/^(on|of|for)$/.test(tokens[from]?.text ?? '')) return false;
  if (/^[:=]$/.test(tokens[mark.last]?.text ?? '')) return false;
  return already === null || !opensNext(tokens, mark, next);
}

/** "..., at 2500 LTFT 3": a condition that runs straight on into the next name or figure belongs to that one. */
function opensNext(tokens: readonly Token[], mark: ConditionMark, next: Item | undefined): boolean {
  if (!next || next.first - mark.last > 4) return false;
  for (let at = mark.last; at < next.first; at += 1) if (/^(,|and|but|;|\))$/.test(tokens[at]!.text)) return false;
  return true;
}

/** Gives a condition to the last figure and to those that are listed with it. */
function claimList(
  tokens: readonly Token[],
  segment: Segment,
  covered: ReadonlySet<number>,
  last: number,
  when: Condition,
  said: Array<Condition | null>,
): void {
  said[last] = when;
  for (let at = last - 1; at >= 0; at -= 1) {
    // "drops from 17 to 6 when held at 2500": only what it became was read there.
    if (segment.measures[at]!.change === 'was') return;
    const link = linkBetween(tokens, segment, covered, at);
    if (link === 'joined' || (link === 'listed' && said[at] === null && !segment.measures[at]!.difference))
      said[at] = when;
    else return;
  }
}

/** `joined`: one small word between two figures; `listed`: nothing but names, places and marks. */
function linkBetween(
  tokens: readonly Token[],
  segment: Segment,
  covered: ReadonlySet<number>,
  index: number,
): 'joined' | 'listed' | null {
  const [from, to] = [segment.measures[index]!.last, segment.measures[index + 1]!.first];
  if (to - from === 1 && /^(and|or|to|,|\/|&)$/.test(tokens[from]!.text)) return 'joined';
  if (to - from > 12) return null;
  let names = 0;
  for (let at = from; at < to; at += 1) {
    if (covered.has(at)) {
      if (segment.conditions.some((mark) => mark.first === at)) return null;
      if (segment.mentions.some((mention) => mention.first === at)) names += 1;
    } else if (
      !/^(is|are|was|were|at|on|the|and|about|,|&|\/|:|=|\(|\)|-|%|~|with|\||fuel|o2|reads|limit)$/.test(
        tokens[at]!.text,
      )
    )
      return null;
  }
  // "B1 is 16.4 and B2 is 18.0 at idle": the next figure's place and verb may stand between.
  return names === 0 && /^(and|&|,|\/)$/.test(tokens[from]!.text) ? 'joined' : 'listed';
}

/** "at idle (780 rpm) and under load too": conditions that are joined to one that a figure has claimed. */
function continuesClaim(tokens: readonly Token[], claim: ConditionMark, mark: ConditionMark): boolean {
  if (mark.first - claim.last > 8) return false;
  for (let at = claim.last; at < mark.first; at += 1)
    if (!/^(and|&|or|both|\(|\)|\/|at|under|\d+|rpm|when|also)$/.test(tokens[at]!.text)) return false;
  return /^(too|also|,|\.|\)|as)$/.test(tokens[mark.last]?.text ?? '.');
}

/** "0.85 % (limit 0.2 %) at fast idle": what stands in brackets right behind a figure does not part it from what follows. */
export function skipBrackets(tokens: readonly Token[], from: number): number {
  if (tokens[from]?.text !== '(') return from;
  for (let at = from + 1; at < from + 9; at += 1) if (tokens[at]?.text === ')') return at + 1;
  return from;
}
