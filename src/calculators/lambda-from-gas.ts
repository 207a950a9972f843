// Lambda from the gases at the tailpipe. derive.ts calls it when a post gives CO, CO2, O2 and HC.
import { checkGas, type GasReading } from './check-gas.ts';
import { type Fuel, fuels } from './fuels.ts';
import { type Result, refuse } from './result.ts';

/** Water-gas constant: how carbon, hydrogen and their oxides share the oxygen in rich gas. Source: spindt-1965; cfr-86-345-79. */
const waterGas = 3.5;

export interface LambdaOptions {
  /** Default: the constants of garage analysers. */
  readonly fuel?: Fuel;
  /** Carbon atoms counted for each HC molecule shown: 6 for n-hexane (default), 12 on analysers that allow for the carbon that infrared misses. */
  readonly carbonPerHc?: number;
  /** Counts the oxygen bound in NO; the statutory form leaves it out. Default true. */
  readonly countNox?: boolean;
}

/** What lambda was made from, for showing the arithmetic. */
export interface LambdaParts {
  /** K / (K + CO/CO2). */
  readonly waterTerm: number;
  /** Oxygen available, and oxygen needed, both as [% vol] of O2 in the dry gas. */
  readonly available: number;
  readonly needed: number;
  /** HC as carbon [% vol]. */
  readonly hcCarbon: number;
  /** False below 0.75 and, with a spark-ignition fuel, above 1.6, where the balance is only a rough guide. */
  readonly trusted: boolean;
}

/**
 * Air actually there over air needed, from a carbon, hydrogen and oxygen balance of the exhaust gas.
 *
 * lambda = [CO2 + CO/2 + O2 + NO/2 + (H/4 x K/(K + CO/CO2) - O/2)(CO2 + CO)] / [(1 + H/4 - O/2)(CO2 + CO + n HC)]
 *
 * @param gas dry gas, CO, CO2 and O2 [% vol], HC as n-hexane and NOx [ppm vol]
 * @returns lambda [1]; refused when the figures cannot be true, or when CO + CO2 is below 6 % vol (the probe drew air)
 * Air that enters the exhaust before the probe reads as lean; the catalyst does not change the result.
 * Source: brettschneider-1979; constants for other fuels acea-wltp-07-11; void below 6 %: cfr-85-2215.
 */
export function lambdaFromGas(gas: GasReading, options: LambdaOptions = {}): Result<number, LambdaParts> {
  const { fuel = fuels['petrol-analyser'], carbonPerHc = 6, countNox = true } = options;
  const wrong = checkGas(gas);
  if (wrong) return wrong;
  if (!(carbonPerHc >= 1 && carbonPerHc <= 24))
    return refuse('The number of carbon atoms counted for HC must be 1 to 24.');
  const carbon = gas.co2 + gas.co;
  if (carbon < (fuel.spark ? 6 : 1))
    return refuse(
      `CO and CO2 together are only ${Number(carbon.toFixed(2))} %, so the probe drew in mostly air and lambda cannot be worked out.`,
    );
  const hcCarbon = (carbonPerHc * gas.hc) / 10_000;
  const nitricOxide = countNox ? (gas.nox ?? 0) / 10_000 : 0;
  // Written so that CO2 = 0 needs no special case: K / (K + CO/CO2) = K CO2 / (K CO2 + CO).
  const waterTerm = (waterGas * gas.co2) / (waterGas * gas.co2 + gas.co);
  const available =
    gas.co2 + gas.co / 2 + gas.o2 + nitricOxide / 2 + ((fuel.hydrogen / 4) * waterTerm - fuel.oxygen / 2) * carbon;
  const needed = (1 + fuel.hydrogen / 4 - fuel.oxygen / 2) * (carbon + hcCarbon);
  const value = available / needed;
  return {
    valid: true,
    value,
    waterTerm,
    available,
    needed,
    hcCarbon,
    trusted: value >= 0.75 && (value <= 1.6 || !fuel.spark),
  };
}
