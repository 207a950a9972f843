// The share of the fuel's energy that was set free, from what is left unburnt in the exhaust.
import { checkGas, type GasReading } from './check-gas.ts';
import { type Fuel, fuels } from './fuels.ts';
import { type Result, refuse } from './result.ts';

/** Heat set free by burning, water as vapour [kJ/mol]. Source: nist-webbook (formation enthalpies). */
const heat = { co: 282.98, h2: 241.83 } as const;

/** Of petrol, by carbon atom [kJ/mol]: 44 MJ/kg x 13.88 g/mol. Source: heywood-1988, table D.4. */
const heatPerCarbon = 610;

const waterGas = 3.5;

/**
 * One less the energy of CO, hydrogen and HC over that of the fuel. Hydrogen is not measured: it follows from CO by the water-gas
 * balance.
 *
 * @param gas ahead of the catalyst (behind it the catalyst's share is counted in)
 * @returns [%]; refused when the reading cannot be true or holds hardly any exhaust
 * Source: heywood-1988, equation 4.69 and section 3.5.4.
 */
export function combustionEfficiency(
  gas: GasReading,
  fuel: Fuel = fuels['petrol-e0'],
): Result<number, { hydrogen: number }> {
  const wrong = checkGas(gas);
  if (wrong) return wrong;
  if (gas.co + gas.co2 < 1) return refuse('There is hardly any exhaust gas in this sample.');
  const hcCarbon = (6 * gas.hc) / 10_000;
  const water = (fuel.hydrogen / 2) * (gas.co + gas.co2);
  // CO x H2O = K x CO2 x H2 with H2O = water - H2.
  const hydrogen = (water * gas.co) / (gas.co + waterGas * gas.co2);
  const lost = heat.co * gas.co + heat.h2 * hydrogen + heatPerCarbon * hcCarbon;
  const supplied = heatPerCarbon * (gas.co + gas.co2 + hcCarbon);
  return { valid: true, value: 100 * (1 - lost / supplied), hydrogen };
}
