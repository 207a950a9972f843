// Which bank and sensor a figure belongs to: named right before it, right behind it, or standing for the line.
import type { Quantity } from '../vocabulary/quantities.ts';
import type { Segment } from './figures.ts';
import type { Place } from './places.ts';
import type { Choice } from './quantity-fit.ts';
import type { ReaderInput } from './reader.ts';

export interface PlaceState {
  /** Places that a figure before them has claimed. */
  readonly consumed: Set<Place>;
  /** Banks 1 and 2 were named one after the other, so that a following pair of figures goes the same way. */
  pairOrder: boolean;
  lastBank: number | null;
  /** What the segment or a heading left standing. */
  current: { bank: number | null; sensor: number | null; bothBanks: boolean } | null;
}

export interface ChosenPlace {
  readonly banks: ReadonlyArray<number | null>;
  readonly sensor: number | null;
}

const ofBank: ReadonlySet<Quantity> = new Set([
  'short-term-trim',
  'long-term-trim',
  'total-trim',
  'sensor-voltage',
  'pump-current',
  'lambda',
  'air-fuel-ratio',
  'heater-resistance',
  'switches',
  'catalyst-temperature',
  'edge-time',
]);
const ofSensor: ReadonlySet<Quantity> = new Set([
  'sensor-voltage',
  'pump-current',
  'heater-resistance',
  'switches',
  'catalyst-temperature',
  'edge-time',
]);

/** Place of one measure of a segment; both null where the quantity has none. */
export function choosePlace(
  input: ReaderInput,
  segment: Segment,
  index: number,
  choice: Choice,
  state: PlaceState,
): ChosenPlace {
  const { quantity } = choice;
  if (!ofBank.has(quantity)) return { banks: [null], sensor: null };
  const measure = segment.measures[index]!;
  const previousEnd = segment.measures[index - 1]?.last ?? segment.first;
  const nextBegins = segment.measures[index + 1]?.first ?? segment.last;
  const nameFirst =
    choice.mention && choice.mention.first >= segment.first && choice.mention.last <= measure.first
      ? choice.mention.first
      : measure.first;
  // The words between the measure before and this one; a place inside the name itself ("upstream o2") counts too.
  const near = segment.places.filter(
    (place) =>
      !state.consumed.has(place) &&
      place.last <= measure.first &&
      place.first >= Math.min(previousEnd, index === 0 ? segment.first : previousEnd),
  );
  const ahead = segment.places.find((place) => place.first >= measure.last);
  const isAhead = ahead !== undefined && ahead.first < nextBegins && isTied(input, measure.last, ahead.first);
  let found = merge(near);
  if (
    isAhead &&
    (found === null || (found.bank === null && ahead.bank !== null && found.sensor !== null && ahead.sensor === null))
  ) {
    state.consumed.add(ahead);
    found = found
      ? { ...found, bank: ahead.bank, bothBanks: ahead.bothBanks }
      : { bank: ahead.bank, sensor: ahead.sensor, bothBanks: ahead.bothBanks };
    // "0.7 V on bank 1 sensor 2" in two pieces: "downstream on bank 1".
    const further = segment.places.find(
      (place) => place.first >= ahead.last && place.first < nextBegins && isTied(input, ahead.last, place.first),
    );
    if (further) {
      state.consumed.add(further);
      found = {
        bank: found.bank ?? further.bank,
        sensor: found.sensor ?? further.sensor,
        bothBanks: found.bothBanks || further.bothBanks,
      };
    }
  } else if (found) {
    state.current = {
      bank: found.bank ?? state.current?.bank ?? null,
      sensor:
        found.sensor ??
        (found.bank === null || state.current?.bank === found.bank ? (state.current?.sensor ?? null) : null),
      bothBanks: found.bothBanks,
    };
    found = state.current;
  } else if (state.current) {
    found = state.current;
  }
  void nameFirst;
  if (near.length === 0 && !isAhead && state.pairOrder && found?.bank === 2) {
    const pair = pairPosition(input, segment, index);
    return { banks: [pair], sensor: ofSensor.has(quantity) ? found.sensor : null };
  }
  if (near.length > 0) state.pairOrder = found?.bank === 2 && state.lastBank === 1;
  state.lastBank = found?.bank ?? null;
  found ??= trailingPlace(input, segment, index);
  if (!found) return { banks: [null], sensor: null };
  const sensor = ofSensor.has(quantity)
    ? found.sensor
    : quantity === 'lambda' || quantity === 'air-fuel-ratio'
      ? found.sensor
      : null;
  if (!found.bothBanks) return { banks: [found.bank], sensor };
  const pair = pairPosition(input, segment, index);
  return { banks: pair === null ? [1, 2] : [pair], sensor };
}

function merge(places: readonly Place[]): { bank: number | null; sensor: number | null; bothBanks: boolean } | null {
  if (places.length === 0) return null;
  let bank: number | null = null;
  let sensor: number | null = null;
  let bothBanks = false;
  for (const place of places) {
    if (place.bank !== null) {
      bank = place.bank;
      bothBanks = false;
    }
    if (place.sensor !== null) sensor = place.sensor;
    if (place.bothBanks) bothBanks = true;
  }
  return { bank, sensor, bothBanks };
}

/** "short 3 %, long 22 % on bank 1": the only place of a segment, at its end, holds for the figures before it as well. */
function trailingPlace(input: ReaderInput, segment: Segment, index: number): Place | null {
  const [place] = segment.places;
  const last = segment.measures.at(-1)!;
  if (segment.places.length !== 1 || !place || place.first < last.last || !isTied(input, last.last, place.first))
    return null;
  if (index < segment.measures.length - 4) return null;
  for (let at = segment.measures[index]!.last; at < last.first; at += 1) {
    if (/^(but|while|whereas|then|because|so|if)$/.test(input.tokens[at]!.text)) return null;
  }
  return place;
}

/** Whether only small words stand between a figure and the place behind it. */
function isTied(input: ReaderInput, from: number, to: number): boolean {
  if (to - from > 6) return false;
  for (let at = from; at < to; at += 1) {
    if (
      !/^(on|at|for|from|of|in|the|\(|side|-|is|was|and|o|o2|2|sensor|sensors|my|a|volts?|v|%|across|heater|element|steady|normal|reading|signal|wire|one|reads)$/.test(
        input.tokens[at]!.text,
      )
    )
      return false;
    if (input.tokens[at]!.text === 'and' && to - at > 1) return false;
  }
  return !(to > from && input.tokens[to - 1]!.text === 'and');
}

/** In "B1/B2: 12/14" the first figure is bank 1's and the second bank 2's; null when there is only one figure. */
function pairPosition(input: ReaderInput, segment: Segment, index: number): number | null {
  const joined = (left: number) => {
    const [from, to] = [segment.measures[left]?.last, segment.measures[left + 1]?.first];
    return from !== undefined && to !== undefined && to - from === 1 && /^(\/|and|&|,)$/.test(input.tokens[from]!.text);
  };
  if (joined(index)) return 1;
  return index > 0 && joined(index - 1) ? 2 : null;
}
