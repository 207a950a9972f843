// What all gases of one reading say together: rich, lean, misfire, air in the exhaust, a weak catalyst, or nothing wrong.
import type { GasReading } from './check-gas.ts';
import type { Fuel } from './fuels.ts';
import { gasDilution } from './gas-dilution.ts';
import { lambdaFromGas } from './lambda-from-gas.ts';
import type { Result } from './result.ts';

export type GasPattern =
  | 'clean'
  | 'rich'
  | 'rich-and-misfire'
  | 'misfire'
  | 'lean-or-air'
  | 'air-in-exhaust'
  | 'weak-catalyst'
  | 'nox-only'
  | 'borderline';

/**
 * Limits between the patterns, all common practice of gas analysis: a warm engine with a working catalyst stays below 0.3 % CO and
 * 100 ppm HC, beyond 0.5 % or 200 ppm it lets too much through; HC of several hundred with oxygen left over is fuel that did not burn; 1000 ppm NOx without load is high.
 */
const limit = {
  co: 0.5,
  coClean: 0.3,
  hc: 200,
  hcClean: 100,
  hcMisfire: 400,
  oxygenLeft: 1.5,
  nox: 1000,
  rich: 0.97,
  lean: 1.03,
  leanest: 1.2,
} as const;

/**
 * @returns the pattern, with lambda and the share of false air behind it. Refused where lambda is.
 * A lean engine and a sound one with air drawn into the exhaust give the same gas by the mass balance; only beyond lambda 1.2, where a
 * petrol engine would already misfire, is air the likelier of the two.
 * Source: common practice; mass balance of gasDilution.
 */
export function gasPattern(gas: GasReading, fuel?: Fuel): Result<GasPattern, { lambda: number; airShare: number }> {
  const lambda = lambdaFromGas(gas, fuel === undefined ? {} : { fuel });
  if (!lambda.valid) return lambda;
  const dilution = gasDilution(gas);
  if (!dilution.valid) return dilution;
  return { valid: true, value: patternOf(gas, lambda.value), lambda: lambda.value, airShare: dilution.value };
}

function patternOf(gas: GasReading, lambda: number): GasPattern {
  const unburnt = gas.hc >= limit.hcMisfire && gas.o2 >= limit.oxygenLeft;
  if (lambda < limit.rich && gas.co > limit.co) return unburnt ? 'rich-and-misfire' : 'rich';
  if (unburnt) return gas.co > 2 * limit.co ? 'rich-and-misfire' : 'misfire';
  if (lambda > limit.leanest) return 'air-in-exhaust';
  if (lambda > limit.lean) return 'lean-or-air';
  if (lambda < limit.rich) return 'borderline';
  if (gas.co > limit.co || gas.hc > limit.hc) return 'weak-catalyst';
  if ((gas.nox ?? 0) > limit.nox) return 'nox-only';
  return gas.co > limit.coClean || gas.hc > limit.hcClean ? 'borderline' : 'clean';
}
