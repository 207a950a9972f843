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

/** The least share of the air that a meter can be made to miss: beyond it no idle is possible. */
const leastMetered = 0.2;

/**
 * What the control unit believes the bank takes [g/s].
 *
 * @param air      air taken by the cylinders of the bank [g/s]
 * @param ductKeep share of it that enters at the meter, 1 when the duct is whole
 * @param leak     air that passes the meter [g/s]
 * @param meter    what the meter makes of the air that passes it, 1 when right
 */
export function meteredAir(air: number, ductKeep: number, leak: number, meter: number): number {
  return Math.max(air * ductKeep - leak, leastMetered * air) * meter;
}

/**
 * By how much the front sensor reports leaner than is true [lambda].
 *
 * @param bias   the sensor's own error with false air as it sees it
 * @param firing share of the bank's firings that burn; the oxygen of the others reads lean
 */
export function seenBias(bias: number, firing: number, control: Control): number {
  const missed = control.unburned * (1 - firing);
  const fineTrim = Math.max(-control.rearAuthority, Math.min(control.rearAuthority, bias));
  return bias - fineTrim + missed / (1 - missed);
}

/**
 * Total correction at which the sensor reports lambda 1, a fraction in the product form, within the control's authority:
 * `t = (m (1 + bias) - AFR extraFuel) / (metered (1 + fuelError)) - 1`.
 *
 * @param fuel      fuel delivered for what is commanded, 1 when right
 * @param extraFuel fuel that nobody commanded [g/s]
 */
export function correction(
  air: number,
  bias: number,
  metered: number,
  fuel: number,
  extraFuel: number,
  control: Control,
): number {
  const trim = (air * (1 + bias) - stoichiometricRatio * extraFuel) / (metered * fuel) - 1;
  return Math.max(control.lowest, Math.min(control.highest, trim));
}

/** Lambda of the cylinders at a correction; within authority it is 1 / (1 + bias). */
export function trueLambda(air: number, metered: number, trim: number, fuel: number, extraFuel: number): number {
  return air / (metered * (1 + trim) * fuel + stoichiometricRatio * extraFuel);
}
