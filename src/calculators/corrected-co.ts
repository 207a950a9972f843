// CO brought back to undiluted gas, so that a leaking probe or exhaust does not hide a high reading.
import { checkNumber } from './check-number.ts';
import { type Result, refuse } from './result.ts';

/**
 * Corrected CO of the idle test: CO x 15 / (CO + CO2) while CO + CO2 is below 15 (10 for two-strokes).
 *
 * @param co        [% vol], 0 to 15
 * @param co2       [% vol], 0 to 16.5
 * @param twoStroke uses 10 in place of 15
 * @returns corrected CO [% vol]; `corrected` false when the gas needed no correction; refused when there is no exhaust in the gas
 * Source: un-r83, annex 5 (type II test).
 */
export function correctedCo(co: number, co2: number, twoStroke = false): Result<number, { corrected: boolean }> {
  const wrong = checkNumber('CO', co, 0, 15, '%') ?? checkNumber('CO2', co2, 0, 16.5, '%');
  if (wrong) return wrong;
  const whole = twoStroke ? 10 : 15;
  const sum = co + co2;
  if (sum >= whole) return { valid: true, value: co, corrected: false };
  if (sum < 0.5)
    return refuse('There is almost no CO or CO2, so the probe was not in the exhaust of a running engine.');
  return { valid: true, value: (co * whole) / sum, corrected: true };
}
