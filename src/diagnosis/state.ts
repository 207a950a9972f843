// The state of an engine with one or two faults: their effects composed, the control settled on each bank at each point. One
// State object is reused for every hypothesis; posterior.ts fills it tens of thousands of times for one post.
import { type Control, settle } from './closed-loop.ts';
import { type Effects, plus, plusLength, times, timesLength } from './effects.ts';
import { cellCount, cellOf, pointCount } from './operating-points.ts';

export interface State {
  readonly times: Float64Array;
  readonly plus: Float64Array;
  /** Per cell: total correction (fraction), true lambda, lambda as reported. */
  readonly trim: Float64Array;
  readonly lambda: Float64Array;
  readonly reported: Float64Array;
  /** Per cell: air of the bank [g/s]. */
  readonly air: Float64Array;
  readonly banks: number;
}

export function newState(banks: number, airTaken: Float64Array): State {
  const air = new Float64Array(cellCount);
  for (let bank = 0; bank < banks; bank += 1) {
    for (let point = 0; point < pointCount; point += 1) air[cellOf(bank, point)] = airTaken[point]! / banks;
  }
  return {
    times: new Float64Array(timesLength),
    plus: new Float64Array(plusLength),
    trim: new Float64Array(cellCount),
    lambda: new Float64Array(cellCount).fill(1),
    reported: new Float64Array(cellCount).fill(1),
    air,
    banks,
  };
}

/** Composes two faults' effects: "and then this one as well". */
export function compose(state: State, a: Effects, b: Effects): void {
  for (let index = 0; index < timesLength; index += 1) state.times[index] = a.times[index]! * b.times[index]!;
  for (let index = 0; index < plusLength; index += 1) state.plus[index] = a.plus[index]! + b.plus[index]!;
}

/** Correction at which crossed sensors come to rest on their two banks (faults sheet, section 5: 15 to 30 % apart either way). */
const crossedTrim = 0.23;

const settled = { trim: 0, lambda: 1, reported: 1 };
const bankState = { air: 1, ductKeep: 1, meter: 1, leak: 0, fuel: 1, extraFuel: 0, bias: 0, firing: 1, alive: 1 };

/** Settles the control of one cell from the composed effects. */
export function settleCell(state: State, cell: number, control: Control): void {
  bankState.air = state.air[cell]!;
  bankState.ductKeep = state.times[times.ductKeep + cell]!;
  bankState.meter = state.times[times.meter + cell]!;
  bankState.leak = state.plus[plus.leak + cell]!;
  bankState.fuel = state.times[times.fuel + cell]!;
  bankState.extraFuel = state.plus[plus.extraFuel + cell]!;
  bankState.bias = state.plus[plus.bias + cell]!;
  bankState.firing = state.times[times.firing + cell]!;
  bankState.alive = state.times[times.alive + cell]!;
  settle(bankState, control, settled);
  const straight = state.times[times.straight]!;
  if (straight < 0.5 && state.banks > 1) {
    // Each bank is corrected by the other one's sensor: any difference grows until both stand at their limits. Which way is
    // decided by chance at the start; 0 stands for one way, -1 for its mirror image.
    const way = cell < pointCount === straight > -0.5 ? crossedTrim : -crossedTrim;
    settled.lambda *= (1 + settled.trim) / (1 + way);
    settled.trim = way;
    settled.reported = 2 - settled.lambda;
  }
  state.trim[cell] = settled.trim;
  state.lambda[cell] = settled.lambda;
  state.reported[cell] = settled.reported;
}
