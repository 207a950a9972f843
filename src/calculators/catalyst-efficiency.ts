// What a catalyst takes out of each gas, from readings ahead of it and behind it.
import { checkGas, type GasReading } from './check-gas.ts';
import { lambdaFromGas } from './lambda-from-gas.ts';
import { type Result, refuse } from './result.ts';

export interface Conversion {
  /** Conversion of each gas [%]; null where there was too little ahead of the catalyst to tell. */
  readonly co: number | null;
  readonly hc: number | null;
  readonly nox: number | null;
  /** The mixture was where a three-way catalyst can work on all three gases (lambda 0.98 to 1.02). */
  readonly inWindow: boolean;
}

/** Less than this ahead of the catalyst is within the analyser's own error: CO [% vol], HC and NOx [ppm vol]. Source: oiml-r99 (0.06 % and 12 ppm for class I). */
const least = { co: 0.2, hc: 60, nox: 100 } as const;

/**
 * 1 - out/in for each gas, both brought to the same carbon so that air between the two probes does not count.
 *
 * @returns conversion of HC and CO together, the lower of the two [%]; refused when a reading cannot be true, when there was nothing to
 *          convert, or when more comes out than went in by over a tenth (the readings belong to different moments)
 * Source: definition; window heywood-1988, figure 11-57.
 */
export function catalystEfficiency(before: GasReading, after: GasReading): Result<number, Conversion> {
  const wrong = checkGas(before) ?? checkGas(after);
  if (wrong) return wrong;
  const lambda = lambdaFromGas(before);
  if (!lambda.valid) return lambda;
  const carbonOut = after.co + after.co2;
  if (carbonOut < 6) return refuse('Behind the catalyst the probe drew in mostly air.');
  const scale = (before.co + before.co2) / carbonOut;
  const share = (gas: 'co' | 'hc' | 'nox') => {
    const into = before[gas];
    const out = after[gas];
    return into === undefined || out === undefined || into < least[gas] ? null : 100 * (1 - (out * scale) / into);
  };
  const conversion = { co: share('co'), hc: share('hc'), nox: share('nox') };
  const known = [conversion.co, conversion.hc].filter((value) => value !== null);
  if (known.length === 0) return refuse('There was too little CO and HC ahead of the catalyst to see what it does.');
  const value = Math.min(...known);
  if (value < -10)
    return refuse(
      'More comes out of the catalyst than goes in, so the two readings were not taken under the same conditions.',
    );
  return { valid: true, value, ...conversion, inWindow: lambda.value >= 0.98 && lambda.value <= 1.02 };
}
