// Under which running condition something was read: idle, 2500 rpm, cruise, load, cold, overrun, key on. The readers of
// figures use the nearest one; clauses.ts gives the condition of the whole clause where none stands nearer.
import type { Condition } from '../vocabulary/quantities.ts';
import type { Measure } from './measures.ts';
import { buildPhraseTable, matchPhrase } from './phrase-table.ts';
import type { Token } from './tokens.ts';

export interface ConditionMark {
  readonly first: number;
  readonly last: number;
  readonly when: Condition;
  /** Told by a figure ("at 2500 rpm") and not by a word. */
  readonly measured: boolean;
}

const words: Readonly<Record<Condition | 'none', readonly string[]>> = {
  idle: [
    'idle',
    'idling',
    'idles',
    'at idle',
    'natural idle',
    'slow idle',
    'normal idle',
    'hot idle',
    'warm idle',
    'base idle',
    'tickover',
    'tick over',
    'ticking over',
    'low idle',
    'idle test',
    'low speed test',
    'idling in park',
    'in park',
    'at a stop',
    'at stop',
    'ralenti',
    'stationary',
    'idleing',
    'ideling',
    'idel',
    'curb idle',
    'at rest',
    'stopped at lights',
    'warm at idle',
    'parked',
    'idle speed test',
  ],
  '2500rpm': [
    'fast idle',
    'high idle',
    'raised idle',
    'first fast idle',
    'second fast idle',
    '1st fast idle',
    '2nd fast idle',
    'fast idle test',
    'high speed test',
    '2500',
    '2500 rpm',
    '2500rpm',
    '2,500 rpm',
    'revved',
    'when revved',
    'raised revs',
    'elevated idle',
    'high speed idle',
    '2.5k',
    '2500rpms',
    'at 2500',
    'revving it',
    'when revving',
    'no load at 2500',
    '2500 no load',
    'off idle',
    'above idle',
    'higher rpm',
    'higher rpms',
    'higher revs',
    'increased idle',
  ],
  cruise: [
    'cruise',
    'cruising',
    'at cruise',
    'highway cruise',
    'highway',
    'on the highway',
    'motorway',
    'on the motorway',
    'freeway',
    'on the freeway',
    'steady speed',
    'steady cruise',
    'light load',
    'part throttle',
    'steady throttle',
    'light throttle',
    'highway speed',
    'highway speeds',
    'motorway speed',
    'cruising speed',
    'at speed',
    'steady state',
    'cruse',
    'light cruise',
    'interstate',
    'while driving',
    'when driving',
    'driving',
    'on the road',
    'driving along',
  ],
  load: [
    'wot',
    'wide open',
    'wide open throttle',
    'full throttle',
    'under load',
    'full load',
    'accelerating',
    'acceleration',
    'hard acceleration',
    'on acceleration',
    'foot down',
    'flat out',
    'heavy throttle',
    'on boost',
    'floored',
    'heavy load',
    'pulling hard',
    'hard pull',
    'going uphill',
    'uphill',
    'climbing',
    'under acceleration',
    'full power',
    'high load',
    'pedal to the floor',
    'foot to the floor',
    'loaded',
    'when loaded',
    '5015',
    '2525',
    'snap throttle',
    'under boost',
    'up a hill',
    'up hills',
    'when floored',
    'at load',
  ],
  cold: [
    'cold',
    'when cold',
    'cold start',
    'stone cold',
    'cold engine',
    'on a cold start',
    'from cold',
    'engine cold',
    'cold idle',
    'still cold',
    'on start up',
    'at startup',
    'at start up',
    'on startup',
    'before warm up',
    'warming up',
    'open loop',
    'at cold start',
    'on cold start',
  ],
  'key-on': [
    'key on',
    'koeo',
    'ignition on',
    'key on engine off',
    'engine off',
    'ign on',
    'key on, engine off',
    'ignition on engine off',
    'engine not running',
    'with the key on',
    'key-on',
    'with ignition on',
    'ignition only',
    'koe0',
    'key in on',
  ],
  overrun: [
    'overrun',
    'decel',
    'deceleration',
    'decelerating',
    'coasting',
    'coast',
    'engine braking',
    'off throttle',
    'lift off',
    'lifting off',
    'fuel cut',
    'on the overrun',
    'coast down',
    'over run',
    'closed throttle',
    'letting off',
    'foot off',
    'foot off the gas',
    'slowing down',
  ],
  'cruise-steady': [],
  'after-refuelling': [
    'after refuelling',
    'after refueling',
    'after filling up',
    'after fuelling',
    'after a fill up',
    'after fill up',
    'after getting gas',
    'just filled up',
  ],
  none: [
    'rough idle',
    'idle rough',
    'idles rough',
    'idling rough',
    'idles fine',
    'idle air',
    'idle air control',
    'idle valve',
    'idle control',
    'idle speed',
    'cold air intake',
    'cold air',
    'cold weather',
    'highway mpg',
    'highway miles',
    'highway mileage',
    'mostly highway',
    'city and highway',
    'highway and city',
    'uneven idle',
    'lumpy idle',
    'idle bypass',
    'poor idle',
    'bad idle',
    'idle quality',
    'hunting idle',
    'surging idle',
    'idles well',
    'idles ok',
    'idle is rough',
    'idle screw',
    'idle circuit',
    'cold plugs',
    'cold side',
    'hot or cold',
    'cold outside',
    'highway driving',
    'wide open loop',
    'steady idle',
    'idle stop',
    'low power',
    'drives fine',
    'driving me',
    'load of',
    'cold days',
    'cold mornings',
    'poor acceleration',
    'hesitation on acceleration',
    'hesitates on acceleration',
    'sluggish acceleration',
    'calculated load',
    'engine load',
    'load value',
    'absolute load',
    'loads',
    'cold beer',
    'driving home',
    'keep driving',
    'driving it',
    'driving the',
    'stop driving',
    'city driving',
    'idles smoothly',
    'idle drops',
    'idles high',
    'idles low',
    'closed throttle position',
    'idle surge',
    'is parked',
    'was parked',
    'parked it',
    'cold starts',
  ],
};
const table = buildPhraseTable<Condition | 'none'>(
  (Object.keys(words) as Array<Condition | 'none'>).flatMap((when) =>
    words[when].map((phrase) => [phrase, when] as const),
  ),
);

/** Conditions in order of place; measures such as "at 2500 rpm" and "at 60 mph" are conditions too. */
export function findConditions(tokens: readonly Token[], measures: readonly Measure[]): ConditionMark[] {
  const marks: ConditionMark[] = [];
  const byFirst = new Map(measures.map((measure) => [measure.first, measure]));
  for (let index = 0; index < tokens.length; ) {
    const measured = byFirst.get(index);
    const when = measured ? conditionOfMeasure(tokens, measured) : null;
    if (measured && when) {
      marks.push({ first: measured.first, last: measured.last, when, measured: true });
      index = measured.last;
      continue;
    }
    const found = matchPhrase(table, tokens, index);
    if (found) {
      if (found.value !== 'none' && !(found.value === 'cold' && isNegated(tokens, index)))
        marks.push({
          first: index,
          last: found.last,
          when: found.value,
          measured: tokens.slice(index, found.last).some((token) => token.kind === 'number'),
        });
      index = found.last;
    } else index += 1;
  }
  return marks;
}

/** "at 2500 rpm", "hold it at 2000-3000rpm", "at 850 rpm", "at 60 mph", "@ 2500". */
function conditionOfMeasure(tokens: readonly Token[], measure: Measure): Condition | null {
  const before = tokens[measure.first - 1]?.text ?? '';
  const led = /^(at|@|around|about|near|hold|held|holding|of|a|steady|constant|between|reads|\()$/.test(before);
  if (measure.unit === 'rpm') {
    const speed = (measure.low + measure.high) / 2;
    if (speed >= 1800 && speed <= 4500) return led ? '2500rpm' : null;
    const twoBack = tokens[measure.first - 2]?.text ?? '';
    return speed >= 500 && speed <= 1100 && (/^(at|@)$/.test(before) || (before === 'its' && twoBack === 'at'))
      ? 'idle'
      : null;
  }
  if (
    measure.unit === null &&
    /^(at|@)$/.test(before) &&
    measure.low >= 2000 &&
    measure.high <= 3500 &&
    measure.low % 100 === 0
  )
    return '2500rpm';
  if (measure.unit === 'mile-per-hour' || measure.unit === 'km-per-hour') {
    const fast = measure.unit === 'mile-per-hour' ? measure.low >= 35 : measure.low >= 55;
    return /^(at|@|doing|steady|constant|around|about|a)$/.test(before) && fast ? 'cruise' : null;
  }
  return null;
}

function isNegated(tokens: readonly Token[], index: number): boolean {
  return /^(not|isn't|wasn't|no|getting|gets|got|too|very|pretty|bit|it's|was|so|blows|blowing)$/.test(
    tokens[index - 1]?.text ?? '',
  );
}
