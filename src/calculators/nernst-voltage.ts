// Voltage of a zirconia sensor from the oxygen on both sides, and from lambda by way of the oxygen that equilibrium leaves.
// Titania sensors make no voltage: their resistance changes, low when rich and high when lean, and what the control unit sees depends on
// its supply (1 V on some makes, 5 V and the other way round on others), so none of this applies to them.
import { checkNumber } from './check-number.ts';
import { type Fuel, fuels } from './fuels.ts';
import { type Result, refuse } from './result.ts';

/** Molar gas constant [J/(mol K)] and Faraday constant [C/mol]. Source: codata-2018 (exact). */
const gasConstant = 8.314462618;
const faraday = 96_485.33212;

/** Share of oxygen in the outside air that the sensor compares with; humid air. Source: heywood-1988, section 7.2. */
const reference = 0.209;

/**
 * E = R T / 4F ln(reference / exhaust).
 *
 * @param oxygen      partial pressure in the exhaust [atm], 1e-40 to 1
 * @param temperature of the element [degC], 200 to 1000
 * @returns [V], negative when the exhaust holds more oxygen than the air outside
 * Source: Nernst equation.
 */
export function nernstVoltage(oxygen: number, temperature: number, outside = reference): Result {
  const wrong =
    checkNumber('The oxygen', oxygen, 1e-40, 1, 'atm') ??
    checkNumber('The oxygen outside', outside, 0.01, 1, 'atm') ??
    checkNumber(
      'The temperature of the element',
      temperature,
      200,
      1000,
      'degrees C',
      'A colder sensor does not work yet.',
    );
  if (wrong) return wrong;
  const kelvin = temperature + 273.15;
  return { valid: true, value: ((gasConstant * kelvin) / (4 * faraday)) * Math.log(outside / oxygen) };
}

/**
 * Gibbs energy of formation [kJ/mol] by temperature [K]: CO, CO2, H2O (gas). Between the rows straight lines, which these nearly are.
 * Source: janaf-1998 (from memory).
 */
const gibbs: ReadonlyArray<readonly [number, number, number, number]> = [
  [400, -146.338, -394.675, -223.901],
  [500, -155.414, -394.939, -219.051],
  [600, -164.486, -395.182, -214.007],
  [700, -173.518, -395.398, -208.812],
  [800, -182.497, -395.586, -203.496],
  [900, -191.416, -395.748, -198.083],
  [1000, -200.275, -395.886, -192.59],
  [1100, -209.075, -396.001, -187.033],
  [1200, -217.819, -396.098, -181.425],
  [1300, -226.509, -396.177, -175.774],
];

/**
 * Ideal voltage at a lambda: exhaust of that lambda brought to equilibrium on the hot electrode, then Nernst. Real sensors give less on the
 * rich side when cool. Methane, which full equilibrium would form below about 450 degC in rich gas, is left out: at 350 degC and lambda 0.9
 * the figure is 30 mV high.
 *
 * @param lambda      0.7 to 2 [1]; within 0.0002 of 1 the curve is as good as vertical and is refused
 * @param temperature of the element [degC], 300 to 1000
 * @returns [V]
 * Source: janaf-1998; Nernst equation.
 */
export function voltageFromLambda(
  lambda: number,
  temperature: number,
  fuel: Fuel = fuels['petrol-e0'],
): Result<number, { oxygen: number }> {
  const wrong =
    checkNumber('Lambda', lambda, 0.7, 2, '') ??
    checkNumber(
      'The temperature of the element',
      temperature,
      300,
      1000,
      'degrees C',
      'A colder sensor does not work yet.',
    );
  if (wrong) return wrong;
  if (Math.abs(lambda - 1) < 0.0002)
    return refuse('At lambda 1 the voltage jumps, and no single figure belongs to it.');
  const oxygen = equilibriumOxygen(lambda, temperature + 273.15, fuel);
  if (!(oxygen >= 1e-40)) return refuse('So little air is not enough to burn this fuel to gas at all.');
  const voltage = nernstVoltage(oxygen, temperature);
  return voltage.valid ? { ...voltage, oxygen } : voltage;
}

/** Partial pressure of oxygen in wet exhaust at equilibrium and one atmosphere [atm]. */
function equilibriumOxygen(lambda: number, kelvin: number, fuel: Fuel): number {
  const need = 1 + fuel.hydrogen / 4 - fuel.oxygen / 2;
  const hydrogen = fuel.hydrogen / 2;
  const nitrogen = lambda * need * 3.773;
  if (lambda > 1) {
    const oxygen = (lambda - 1) * need;
    return oxygen / (1 + hydrogen + oxygen + nitrogen);
  }
  const [co, co2, water] = gibbsAt(kelvin);
  const energy = 1000 / (gasConstant * kelvin);
  const waterGas = Math.exp((co2 - co - water) * energy);
  const missing = 2 * need * (1 - lambda);
  const a = 1 - waterGas;
  const b = hydrogen - missing + waterGas * (1 + missing);
  const c = -waterGas * missing;
  // The form 2c / (-b - root) stays exact where a is near zero.
  const monoxide = (2 * c) / (-b - Math.sqrt(b * b - 4 * a * c));
  // CO + 1/2 O2 = CO2: sqrt(pO2) = (CO2/CO) / Kp.
  const root = ((1 - monoxide) / monoxide) * Math.exp((co2 - co) * energy);
  return root * root;
}

function gibbsAt(kelvin: number): readonly [number, number, number] {
  const upper = gibbs.findIndex(([at]) => at >= kelvin);
  const index = Math.max(1, upper < 0 ? gibbs.length - 1 : upper);
  const from = gibbs[index - 1]!;
  const to = gibbs[index]!;
  const part = (kelvin - from[0]) / (to[0] - from[0]);
  const mix = (column: 1 | 2 | 3) => from[column] + part * (to[column] - from[column]);
  return [mix(1), mix(2), mix(3)];
}
