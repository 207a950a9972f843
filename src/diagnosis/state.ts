// The state of an engine with one, two or three faults: their effects composed, the control settled on each bank at each point. One
// State object is reused for many hypotheses; settled-table.ts fills it thousands of times for one post.
import { type Control, correction, meteredAir, seenBias, trueLambda } from './closed-loop.ts';
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
  /** Tailpipe gas per point, as predict.ts fills it on demand: CO, CO2, O2, HC, NOx; and which points are filled. */
  readonly gas: Float64Array;
  readonly gasReady: Uint8Array;
}

export function newState(banks: number, airTaken: Float64Array): State {
  const air = new Float64Array(cellCount);
  for (let bank = 0; bank < banks; bank += 1) {
    for (let point = 0; point < pointCount; point += 1) air[cellOf(bank, point)] = airTaken[point]! / banks;
  }
  return {
    times: new Float64Array(timesLength).fill(1),
    plus: new Float64Array(plusLength),
    trim: new Float64Array(cellCount),
    lambda: new Float64Array(cellCount).fill(1),
    reported: new Float64Array(cellCount).fill(1),
    air,
    banks,
    gas: new Float64Array(5 * pointCount),
    gasReady: new Uint8Array(pointCount),
  };
}

/** Effects of many hypotheses behind one another, as compose() reads them. */
export interface EffectRows {
  readonly times: Float64Array;
  readonly plus: Float64Array;
}

export function rowsOf(effects: readonly Effects[]): EffectRows {
  const rows = {
    times: new Float64Array(effects.length * timesLength),
    plus: new Float64Array(effects.length * plusLength),
  };
  effects.forEach((effect, index) => {
    rows.times.set(effect.times, index * timesLength);
    rows.plus.set(effect.plus, index * plusLength);
  });
  return rows;
}

/** Composes the effects of two rows: "and then this one as well"; a third where it is given. */
export function compose(state: State, rows: EffectRows, first: number, second: number, third?: number): void {
  const factors = state.times;
  const sums = state.plus;
  const { times: factorRows, plus: sumRows } = rows;
  let a = first * timesLength;
  let b = second * timesLength;
  for (let index = 0; index < timesLength; index += 1) factors[index] = factorRows[a++]! * factorRows[b++]!;
  a = first * plusLength;
  b = second * plusLength;
  for (let index = 0; index < plusLength; index += 1) sums[index] = sumRows[a++]! + sumRows[b++]!;
  state.gasReady.fill(0);
  if (third === undefined) return;
  for (let index = 0; index < timesLength; index += 1) factors[index]! *= factorRows[third * timesLength + index]!;
  for (let index = 0; index < plusLength; index += 1) sums[index]! += sumRows[third * plusLength + index]!;
}

/** The same for two rows and the offsets given alone; everything else keeps what it holds, a healthy engine's in a new state. */
export function composeInputs(
  state: State,
  rows: EffectRows,
  first: number,
  second: number,
  timesAt: Int32Array,
  plusAt: Int32Array,
): void {
  const factors = state.times;
  const sums = state.plus;
  const { times: factorRows, plus: sumRows } = rows;
  for (let index = 0; index < timesAt.length; index += 1) {
    const at = timesAt[index]!;
    factors[at] = factorRows[first * timesLength + at]! * factorRows[second * timesLength + at]!;
  }
  for (let index = 0; index < plusAt.length; index += 1) {
    const at = plusAt[index]!;
    sums[at] = sumRows[first * plusLength + at]! + sumRows[second * plusLength + at]!;
  }
  state.gasReady.fill(0);
}

/** Correction at which crossed sensors come to rest on their two banks (faults sheet, section 5: 15 to 30 % apart either way). */
const crossedTrim = 0.23;

/** Settles the control of one cell from the composed effects. */
export function settleCell(state: State, cell: number, control: Control): void {
  const factors = state.times;
  const sums = state.plus;
  const air = state.air[cell]!;
  const fuel = factors[times.fuel + cell]!;
  const extraFuel = sums[plus.extraFuel + cell]!;
  const metered = meteredAir(
    air,
    factors[times.ductKeep + cell]!,
    sums[plus.leak + cell]!,
    factors[times.meter + cell]!,
  );
  const bias = seenBias(sums[plus.bias + cell]!, factors[times.firing + cell]!, control);
  const straight = factors[times.straight]!;
  let trim = factors[times.alive + cell]! > 0.5 ? correction(air, bias, metered, fuel, extraFuel, control) : 0;
  let lambda = trueLambda(air, metered, trim, fuel, extraFuel);
  let reported = lambda * (1 + bias);
  if (straight < 0.5 && state.banks > 1) {
    // Each bank is corrected by the other one's sensor: any difference grows until both stand at their limits. Which way is
    // decided by chance at the start; 0 stands for one way, -1 for its mirror image.
    const way = cell < pointCount === straight > -0.5 ? crossedTrim : -crossedTrim;
    lambda *= (1 + trim) / (1 + way);
    trim = way;
    reported = 2 - lambda;
  }
  state.trim[cell] = trim;
  state.lambda[cell] = lambda;
  state.reported[cell] = reported;
}
