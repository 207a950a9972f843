// Whether the figures of a gas analyser can be true at all. Every calculator that takes a whole gas reading asks it first.
import { checkNumber } from './check-number.ts';
import { type Refusal, refuse } from './result.ts';

/** A dry exhaust gas reading. */
export interface GasReading {
  /** [% vol] */
  readonly co: number;
  /** [% vol] */
  readonly co2: number;
  /** [% vol] */
  readonly o2: number;
  /** As n-hexane [ppm vol]. */
  readonly hc: number;
  /** NOx taken as NO [ppm vol]; left out when not measured. */
  readonly nox?: number;
}

/** Carbon dioxide above this is an instrument fault: perfect burning of petrol gives 15.34, and analysers are good to 0.5 [% vol]. */
const highestCo2 = 16.5;

/** Oxygen in all gases together above that of air (20.95) by more than the analysers' own errors [% vol]. */
const highestOxygen = 22;

/** @returns null when the reading can be true */
export function checkGas(gas: GasReading): Refusal | null {
  if (gas.co > gas.co2 && gas.co2 <= 2 && gas.co >= 8)
    return refuse('CO is far above CO2, which no running engine does; the two figures may have changed places.');
  const hc = gas.hc > 0 && gas.hc < 1;
  if (hc)
    return refuse(
      `HC of ${gas.hc} ppm is less than any analyser shows; as a percentage it would be ${Math.round(gas.hc * 10_000)} ppm.`,
    );
  const single =
    checkNumber('CO', gas.co, 0, 15, '%', 'It may be in ppm, which is 10,000 times the percentage.') ??
    checkNumber('CO2', gas.co2, 0, highestCo2, '%', 'Burning petrol perfectly gives about 15.3 %.') ??
    checkNumber('O2', gas.o2, 0, 21.5, '%', 'Plain air has 20.9 %.') ??
    checkNumber('HC', gas.hc, 0, 30_000, 'ppm') ??
    checkNumber('NOx', gas.nox ?? 0, 0, 10_000, 'ppm');
  if (single) return single;
  if (gas.co2 + gas.co / 2 + gas.o2 > highestOxygen)
    return refuse(
      'Together these gases hold more oxygen than the air they were made from, so one figure must be wrong.',
    );
  if (gas.co2 + gas.co > 20)
    return refuse(
      'CO and CO2 together are more than any mixture of petrol and air can make, so one figure must be wrong.',
    );
  return null;
}
