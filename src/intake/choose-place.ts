// Which bank and sensor a figure belongs to: named right before it, right behind it, or standing for the line.
import type { Quantity } from '../vocabulary/quantities.ts';
import type { Segment } from './figures.ts';
import { isPair } from './paired-names.ts';
import type { Place } from './places.ts';
import type { Choice } from './quantity-fit.ts';
import type { ReaderInput } from './reader.ts';

export interface PlaceState {
  /** Places that a figure before them has claimed. */
  readonly consumed: Set<Place>;
  /** Token behind the last figure that has a place. */
  lastEnd: number;
  /** Bank 2 was given right after bank 1, so that a following pair of figures goes the same way. */
  inOrder: boolean;
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
  // What stands behind a pair of figures holds for both of them.
  const end = sharesWhatFollows(input, segment, index) ? index + 1 : index;
  const from = segment.measures[end]!.last;
  const nextBegins = segment.measures[end + 1]?.first ?? segment.last;
  // The words between the figure before and this one; a place inside the name itself ("upstream o2") counts too.
  const near = segment.places.filter(
    (place) => !state.consumed.has(place) && place.last <= measure.first && place.first >= state.lastEnd,
  );
  state.lastEnd = measure.last;
  // "B1S2 follows B1S1, 0.1 to 0.8": the figures are of the one that follows.
  const follows = near.findIndex((place, at) => at > 0 && isFollowed(input, near[at - 1]!.last, place.first));
  if (follows > 0) near.splice(follows);
  const ahead = placeAhead(segment, from);
  const isAhead = ahead !== null && ahead.first < nextBegins && isTied(input, segment, choice, from, ahead.first);
  let found = merge(near);
  if (
    isAhead &&
    (found === null || (found.bank === null && ahead.bank !== null && found.sensor !== null && ahead.sensor === null))
  ) {
    if (end === index) for (const place of ahead.places) state.consumed.add(place);
    found = found
      ? { ...found, bank: ahead.bank, bothBanks: ahead.bothBanks }
      : { bank: ahead.bank, sensor: ahead.sensor, bothBanks: ahead.bothBanks };
    // "0.7 V on bank 1 sensor 2" in two pieces: "downstream on bank 1".
    const further = segment.places.find(
      (place) =>
        place.first >= ahead.last &&
        place.first < nextBegins &&
        isTied(input, segment, choice, ahead.last, place.first),
    );
    if (further) {
      if (end === index) state.consumed.add(further);
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
  if (near.length === 0 && !isAhead && state.inOrder && found?.bank === 2 && isSlashed(input, segment, index)) {
    const pair = pairPosition(input, segment, index);
    return { banks: [pair], sensor: ofSensor.has(quantity) ? found.sensor : null };
  }
  if (found?.bank !== state.lastBank) state.inOrder = found?.bank === 2 && state.lastBank === 1;
  state.lastBank = found?.bank ?? null;
  found ??= trailingPlace(input, segment, index, choice);
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
  for (const [index, place] of places.entries()) {
    if (place.bank !== null) {
      // "B1/B2: 12/14", "bank 1 and bank 2 are 12 and 14": one right behind the other names both.
      bothBanks = bank === 1 && place.bank === 2 && place.first - places[index - 1]!.last <= 1;
      bank = bothBanks ? null : place.bank;
    }
    if (place.sensor !== null) sensor = place.sensor;
    if (place.bothBanks) bothBanks = true;
  }
  return { bank, sensor, bothBanks };
}

/** "short 3 %, long 22 % on bank 1": the only place of a segment, at its end, holds for the figures before it as well. */
function trailingPlace(input: ReaderInput, segment: Segment, index: number, choice: Choice): Place | null {
  const [place] = segment.places;
  const last = segment.measures.at(-1)!;
  if (
    segment.places.length !== 1 ||
    !place ||
    place.first < last.last ||
    !(isTied(input, segment, choice, last.last, place.first) || isRemark(input, segment, last.last, place))
  )
    return null;
  if (index < segment.measures.length - 4) return null;
  for (let at = segment.measures[index]!.last; at < last.first; at += 1) {
    if (/^(but|while|whereas|then|because|so|if)$/.test(input.tokens[at]!.text)) return null;
  }
  return place;
}

/** A figure that shares the place behind the next one: the first of a pair with a slash, or of two figures before two banks. */
function sharesWhatFollows(input: ReaderInput, segment: Segment, index: number): boolean {
  if (!isPair(input.tokens, segment, index)) return false;
  const next = segment.measures[index + 1]!;
  return /^[/|]$/.test(input.tokens[next.first - 1]!.text) || placeAhead(segment, next.last)?.bothBanks === true;
}

function isFollowed({ tokens }: ReaderInput, from: number, to: number): boolean {
  for (let at = from; at < to; at += 1)
    if (
      /^(follows|following|followed|copies|copying|mirrors|mirroring|tracks|mimics|matches|like)$/.test(
        tokens[at]!.text,
      )
    )
      return true;
  return false;
}

/** Whether a figure is one of a pair with a slash. */
function isSlashed({ tokens }: ReaderInput, segment: Segment, index: number): boolean {
  const measure = segment.measures[index]!;
  return measure.ofPair || (segment.measures[index + 1]?.ofPair === true && tokens[measure.last]?.text === '/');
}

/** The next place, "B1 and B2" taken together. */
function placeAhead(segment: Segment, from: number): (Place & { readonly places: readonly Place[] }) | null {
  const at = segment.places.findIndex((place) => place.first >= from);
  const place = segment.places[at];
  if (!place) return null;
  const next = segment.places[at + 1];
  if (place.bank !== 1 || next?.bank !== 2 || next.first - place.last > 1 || place.sensor !== next.sensor)
    return { ...place, places: [place] };
  return { ...place, last: next.last, bank: null, bothBanks: true, places: [place, next] };
}

/** "short term 6, long term 21, bank 1.": a place behind a comma that closes its sentence. */
function isRemark({ tokens }: ReaderInput, segment: Segment, from: number, place: Place): boolean {
  const closes = place.last >= segment.last || /^[.;!)]$/.test(tokens[place.last]!.text);
  return closes && place.first - from === 1 && /^[,(-]$/.test(tokens[from]!.text);
}

/** Whether only small words stand between a figure and the place behind it: its own name and a condition part nothing. */
function isTied(input: ReaderInput, segment: Segment, choice: Choice, from: number, to: number): boolean {
  if (to - from > 8) return false;
  const own = [...segment.conditions, ...(choice.mention ? [choice.mention] : [])];
  for (let at = from; at < to; at += 1) {
    if (own.some((mark) => mark.first <= at && at < mark.last)) continue;
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
