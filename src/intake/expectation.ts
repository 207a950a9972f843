// Tells a figure that the car shows from one that it ought to show: limits, specifications, what is normal or hoped for.
// The readers of figures leave the second kind alone.

import type { Segment } from './figures.ts';
import type { Measure } from './measures.ts';
import type { Token } from './tokens.ts';

const before =
  /^(limit|limits|allowed|allowable|permitted|spec|specs|specification|specifications|should|shouldn't|supposed|ought|must|ideal|ideally|target|hope|hoping|hoped|expect|expecting|expected|cutoff|threshold|normal|desired|recommended|rated|manual|handbook|advertised|wants|want|tolerance|standard|epa|claimed|sticker|if|until|unless|pass|passing|advised|needs|acceptable|maximum|minimum|legal|range|than|stoich|stoichiometric|perfect|correct|theoretical|nominal|whereas|says|book|aiming|aim|shoot|when|required|keep|keeping)$/;
const weak = new Set([
  'than',
  'if',
  'when',
  'range',
  'until',
  'unless',
  'pass',
  'passing',
  'standard',
  'manual',
  'normal',
  'says',
  'book',
  'correct',
  'perfect',
  'wants',
  'want',
  'needs',
  'expect',
  'whereas',
  'keep',
  'keeping',
]);
const after = /^(limit|limits|max|maximum|minimum|allowed|permitted|threshold|cutoff|spec|required|recommended|spec)$/;

/**
 * Whether a measure says what ought to be.
 *
 * @param isGas gas and lambda figures stand beside "max" as a limit; elsewhere "max" is the highest seen
 */
export function isExpectation(tokens: readonly Token[], segment: Segment, measure: Measure, isGas: boolean): boolean {
  const index = segment.measures.indexOf(measure);
  const from = Math.max(segment.first, segment.measures[index - 1]?.last ?? 0, measure.first - 9);
  const role = tokens[measure.first - 1]?.text ?? '';
  if (isGas && /^(max|min|limit|std|allowed)$/.test(role)) return true;
  // "MAX 68 AVE 15 MEAS 90": the average of cars that pass, where a measured figure follows.
  if (isGas && /^(ave|avg|average)$/.test(role) && hasMeasured(tokens, measure.last)) return true;
  if (isGas && /^(meas|measured|reading|actual|result)$/.test(role)) return false;
  let crossed = false;
  for (let at = measure.first - 1; at >= from; at -= 1) {
    const text = tokens[at]!.text;
    if (
      text === ',' ||
      text === ')' ||
      text === 'but' ||
      text === 'mine' ||
      text === 'now' ||
      text === 'actually' ||
      text === 'got' ||
      text === 'get'
    )
      crossed = true;
    if (crossed) continue;
    if (text === 'max' && isGas) return true;
    if (!before.test(text)) continue;
    // "over 3x the limit at 0.73 %" gives the figure and not the limit.
    if (text === 'limit' && /^(at|with|:)$/.test(tokens[at + 1]?.text ?? '') && isExceeded(tokens, at)) continue;
    if (!weak.has(text)) return text !== 'maximum' || isGas;
    if (isExpecting(tokens, at, measure)) return true;
  }
  const until = Math.min(segment.last, segment.measures[index + 1]?.first ?? segment.last, measure.last + 6);
  for (let at = measure.last; at < until; at += 1) {
    const text = tokens[at]!.text;
    if (text === ',' || text === 'and' || text === 'but' || (text === '(' && at > measure.last)) break;
    if (text === '(' || text === ';') break;
    if (/^(when|while|where|vs|versus|against|compared)$/.test(text)) break;
    if (after.test(text))
      return (isGas || text !== 'max') && !runsOn(tokens, at + 1, segment.measures[index + 1]?.first);
    if (text === 'normal' && /^(is|are)$/.test(tokens[at - 1]?.text ?? '')) return true;
    if ((text === 'called' && tokens[at + 1]?.text === 'for') || (text === 'supposed' && tokens[at + 1]?.text === 'to'))
      return true;
    if (text === 'or' && /^(less|below|lower|under|more|better|higher|above)$/.test(tokens[at + 1]?.text ?? ''))
      return at === measure.last;
  }
  return false;
}

function isExceeded(tokens: readonly Token[], at: number): boolean {
  for (let back = 1; back <= 4; back += 1)
    if (/^(over|above|x|times|exceeds|exceeded|exceeding|beyond|twice|double)$/.test(tokens[at - back]?.text ?? ''))
      return true;
  return false;
}

function hasMeasured(tokens: readonly Token[], from: number): boolean {
  for (let at = from; at < from + 6; at += 1)
    if (/^(meas|measured|reading|actual)$/.test(tokens[at]?.text ?? '')) return true;
  return false;
}

/** "..., the max is 1.03": the word belongs to the next figure when only "is" or a mark stands between. */
function runsOn(tokens: readonly Token[], from: number, next: number | undefined): boolean {
  if (next === undefined || next - from > 4) return false;
  for (let at = from; at < next; at += 1) {
    if (!/^(is|was|of|:|=|being|are|at|the|allowed|\.)$/.test(tokens[at]!.text)) return false;
  }
  return true;
}

/** Words that tell an expectation only in some company. */
function isExpecting(tokens: readonly Token[], at: number, measure: Measure): boolean {
  const text = tokens[at]!.text;
  const next = tokens[at + 1]?.text ?? '';
  const gap = measure.first - at;
  switch (text) {
    case 'normal':
    case 'correct':
    case 'perfect':
    case 'standard':
      return /^(is|range|value|values|being|would|should|:|=)$/.test(next);
    case 'range':
      return /^(normal|good|acceptable|proper|ideal|target|passing|pass|spec|right)$/.test(tokens[at - 1]?.text ?? '');
    case 'than':
      // "worse than 0.3" compares; "more than 25", "less than 10" measures.
      return (
        gap <= 2 && !/^(more|less|greater|higher|lower|better|other|rather|over)$/.test(tokens[at - 1]?.text ?? '')
      );
    case 'pass':
    case 'passing':
      return /^(is|limit|mark|level|at|:|=|with)$/.test(next) && gap <= 4;
    case 'manual':
    case 'book':
      return /^(says|calls|states|gives|figure|value|spec|lists)$/.test(next);
    case 'expect':
      return gap <= 6;
    case 'want':
    case 'wants':
    case 'needs':
      return gap <= 5 && /^(to|about|around|at|between|a|it|is|an)$/.test(next);
    case 'keep':
    case 'keeping':
      return gap <= 4 && tokens[at - 1]?.text === 'to';
    case 'until':
    case 'unless':
      return false;
    default:
      return false;
  }
}
