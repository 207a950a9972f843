// Vacuum and boost as people read them off a gauge, as absolute pressure; and the air pressure to expect at a height.
import { checkNumber } from './check-number.ts';
import type { Result } from './result.ts';

/**
 * @param gauge     [kPa] against outside: negative for vacuum ("18 inches of vacuum" is -61), positive for boost; -105 to 400
 * @param barometer outside pressure [kPa], 50 to 110
 * @returns absolute pressure [kPa], refused below zero
 * Source: definition.
 */
export function manifoldPressure(gauge: number, barometer = 101.325): Result {
  const wrong =
    checkNumber('The gauge pressure', gauge, -105, 400, 'kPa') ??
    checkNumber('The outside pressure', barometer, 50, 110, 'kPa');
  if (wrong) return wrong;
  const value = barometer + gauge;
  return (
    checkNumber('The pressure in the manifold', value, 0, 500, 'kPa', 'That is more vacuum than there is air.') ?? {
      valid: true,
      value,
    }
  );
}

/**
 * @param height above sea level [m], -450 to 6000
 * @returns usual outside pressure [kPa]
 * Source: us-standard-atmosphere-1976, troposphere.
 */
export function barometerAtHeight(height: number): Result {
  const wrong = checkNumber('The height', height, -450, 6000, 'm');
  if (wrong) return wrong;
  return { valid: true, value: 101.325 * (1 - 0.0065 * (height / 288.15)) ** 5.25588 };
}
