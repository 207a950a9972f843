// The air flow that a healthy warm engine shows at idle, at 2500 1/min without load, and at most.
import { checkNumber } from './check-number.ts';
import type { Result } from './result.ts';

/** A band of air flow [g/s]. */
export interface FlowBand {
  readonly low: number;
  readonly high: number;
}

/**
 * Bands per litre of displacement [g/s per L]: at idle the trade's one gram a second per litre, widened for accessories; at 2500 1/min
 * without load the same air per stroke, by speed. Source: common practice.
 */
const perLitre = { idle: [0.8, 1.5], '2500rpm': [2.6, 5.2] } as const;

/** Fresh air for each litre drawn in at full throttle and 1.184 g/L (25 degC, 100 kPa) [1]. Source: common practice. */
const fullEfficiency = [0.75, 0.95] as const;

/**
 * @param displacement [L], 0.05 to 30
 * @param when         condition; `full` is full throttle at `speed`
 * @param speed        engine speed [1/min], 300 to 20,000; only used at full throttle
 * @returns the middle of the band [g/s], with the band; four-stroke, naturally aspirated
 * Source: common practice (idle); sae-j1979 (1.184 g/L).
 */
export function expectedAirFlow(
  displacement: number,
  when: 'idle' | '2500rpm' | 'full',
  speed = 5500,
): Result<number, FlowBand> {
  const wrong =
    checkNumber('The displacement', displacement, 0.05, 30, 'L', 'It may be in cm3 rather than litres.') ??
    checkNumber('The engine speed', speed, 300, 20_000, '1/min');
  if (wrong) return wrong;
  const [low, high] =
    when === 'full'
      ? fullEfficiency.map((efficiency) => (efficiency * 1.184 * displacement * speed) / 120)
      : perLitre[when].map((flow) => flow * displacement);
  return { valid: true, value: (low! + high!) / 2, low: low!, high: high! };
}
