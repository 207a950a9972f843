// The mixture control of one bank at one operating point: what correction it settles at and how rich or lean the engine then
// truly runs. Used for every single fault and every pair of faults, so it writes into arrays and allocates nothing.

/** Air needed per unit of petrol at lambda 1 [kg/kg], the design's constant. */
export const stoichiometricRatio = 14.7;

/** What the control can do. Source: common practice; makers differ. */
export interface Control {
  /** Lowest and highest total correction, a fraction: products of the short- and long-term limits. */
  readonly lowest: number;
  readonly highest: number;
  /** Share of a front sensor's error that the rear sensor's fine trim takes out at most [lambda]. */
  readonly rearAuthority: number;
  /** Part of a missed firing's fuel that is still unburned when it passes the sensor, 0..1. */
  readonly unburned: number;
}

/** Short term -25..+25 %, long term -25..+25 %; fine trim 1 %; half of the fuel of a missed firing unburned (judgement, 0.3 to 0.8). */
export const usualControl: Control = {
  lowest: 0.75 * 0.75 - 1,
  highest: 1.25 * 1.25 - 1,
  rearAuthority: 0.01,
  unburned: 0.5,
};

/** What acts on one bank at one point; fractions unless a unit is named. */
export interface BankState {
  /** Air taken by the cylinders of the bank [g/s]. */
  readonly air: number;
  /** Share of that air that comes through the duct's end at the meter, 1 when the duct is whole. */
  readonly ductKeep: number;
  /** What the meter makes of the air that passes it, 1 when right. */
  readonly meter: number;
  /** Air that passes the meter [g/s]. */
  readonly leak: number;
  /** Fuel delivered for what is commanded, 1 when right. */
  readonly fuel: number;
  /** Fuel that nobody commanded [g/s]. */
  readonly extraFuel: number;
  /** Front sensor's error with false air as it sees it [lambda], positive when it reports leaner than is true. */
  readonly bias: number;
  /** Share of the bank's firings that burn. */
  readonly firing: number;
  /** 1 when the front sensor works, 0 when it gives nothing: then corrections stand still. */
  readonly alive: number;
}

export interface Settled {
  /** Total correction, a fraction, the product form. */
  trim: number;
  /** True lambda of the cylinders. */
  lambda: number;
  /** Lambda as the front sensor reports it. */
  reported: number;
}

/** The least share of the air that a meter can be made to miss: beyond it no idle is possible. */
const leastMetered = 0.2;

/**
 * Solves the control's condition "the report is 1" for the correction, within its authority.
 *
 * `t = (m (1 + bias) - AFR extraFuel) / (metered (1 + fuelError)) - 1`, clamped; then
 * `lambda = m / (metered (1 + t) (1 + fuelError) + AFR extraFuel)`.
 *
 * @param out receives the result
 */
export function settle(state: BankState, control: Control, out: Settled): void {
  const missed = control.unburned * (1 - state.firing);
  const fineTrim = Math.max(-control.rearAuthority, Math.min(control.rearAuthority, state.bias));
  const bias = state.bias - fineTrim + missed / (1 - missed);
  const metered = Math.max(state.air * state.ductKeep - state.leak, leastMetered * state.air) * state.meter;
  const uncommanded = stoichiometricRatio * state.extraFuel;
  let trim = 0;
  if (state.alive > 0.5) {
    trim = (state.air * (1 + bias) - uncommanded) / (metered * state.fuel) - 1;
    trim = Math.max(control.lowest, Math.min(control.highest, trim));
  }
  const lambda = state.air / (metered * (1 + trim) * state.fuel + uncommanded);
  out.trim = trim;
  out.lambda = lambda;
  out.reported = lambda * (1 + bias);
}
