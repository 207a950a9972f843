// Air flow of a four-stroke engine from manifold pressure, and how full its cylinders get from a measured flow.
import { airDensity } from './air-density.ts';
import { checkNumber } from './check-number.ts';
import { type Refusal, type Result, refuse } from './result.ts';

/** Engine and moment: displacement [L], speed [1/min], absolute pressure [kPa] and temperature [degC] of the air drawn in. */
export interface Intake {
  readonly displacement: number;
  readonly speed: number;
  readonly pressure: number;
  readonly temperature: number;
}

/**
 * Flow = displacement x speed/120 x density x filling (two turns a cycle).
 *
 * @param filling how full the cylinders get at that pressure [1], 0.1 to 1.5
 * @returns [g/s]
 * Source: heywood-1988, equation 2.27.
 */
export function speedDensityFlow(intake: Intake, filling: number): Result {
  const wrong = checkEngine(intake) ?? checkNumber('The filling', filling, 0.1, 1.5, '');
  if (wrong) return wrong;
  const density = airDensity(intake.pressure, intake.temperature);
  if (!density.valid) return density;
  return { valid: true, value: ((intake.displacement * intake.speed) / 120) * density.value * filling };
}

/**
 * Volumetric efficiency: measured flow over what the displacement could draw in at that density.
 *
 * @param flow   [g/s], 0 to 700
 * @param intake pressure and temperature outside the engine give the overall figure, those in the manifold that of the ports alone
 * @returns [%]; refused above 150 %, where displacement or unit must be wrong
 * Source: heywood-1988, equation 2.27.
 */
export function volumetricEfficiency(flow: number, intake: Intake): Result {
  const wrong =
    checkEngine(intake) ??
    checkNumber('The air flow', flow, 0, 700, 'g/s', 'It may be in kg/h, which is 3.6 times as much.');
  if (wrong) return wrong;
  const density = airDensity(intake.pressure, intake.temperature);
  if (!density.valid) return density;
  const value = (100 * flow) / (((intake.displacement * intake.speed) / 120) * density.value);
  if (value > 150)
    return refuse(
      'The engine would be more than full, so the displacement, the speed or the unit of the air flow must be wrong.',
    );
  return { valid: true, value };
}

function checkEngine(intake: Intake): Refusal | null {
  return (
    checkNumber('The displacement', intake.displacement, 0.05, 30, 'L', 'It may be in cm3 rather than litres.') ??
    checkNumber('The engine speed', intake.speed, 100, 20_000, '1/min')
  );
}
