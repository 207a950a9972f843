// How much of the sampled gas is air that never went through the engine, and what the gas would be without it.
import { checkGas, type GasReading } from './check-gas.ts';
import { type Result, refuse } from './result.ts';

/** Oxygen of dry air [% vol]. */
const oxygenOfAir = 20.946;

/** CO + CO2 below which a test is void [% vol]. Source: cfr-85-2215, (a)(3). */
export const voidBelow = 6;

/** CO + CO2 that undiluted petrol exhaust reaches at lambda 1 and richer [% vol], less 1 for analyser errors. */
const wholeGas = 14.3;

export interface Dilution {
  /** The gas with the air taken out, were all its oxygen from outside. */
  readonly undiluted: GasReading;
  /** The test does not count: too little exhaust in the sample. */
  readonly isVoid: boolean;
  /** Low CO + CO2 together with oxygen: a leaking probe, hose or exhaust, air injection or a misfire. */
  readonly suspect: boolean;
}

/**
 * Share of false air in the gas if all of its oxygen came from outside: O2 / 20.95, the most that it can be.
 *
 * @param gas dry gas, as an analyser shows it
 * @returns share of air, 0 to 1; refused when the reading cannot be true or is nothing but air
 * Source: mixing balance; cfr-85-2215 for the void test.
 */
export function gasDilution(gas: GasReading): Result<number, Dilution> {
  const wrong = checkGas(gas);
  if (wrong) return wrong;
  const share = gas.o2 / oxygenOfAir;
  if (share > 0.95) return refuse('This is the reading of plain air: the probe was not in the exhaust.');
  const rest = 1 - share;
  const sum = gas.co + gas.co2;
  return {
    valid: true,
    value: share,
    undiluted: {
      co: gas.co / rest,
      co2: gas.co2 / rest,
      o2: 0,
      hc: gas.hc / rest,
      ...(gas.nox === undefined ? {} : { nox: gas.nox / rest }),
    },
    isVoid: sum < voidBelow,
    suspect: sum < wholeGas && gas.o2 > 1.5,
  };
}
