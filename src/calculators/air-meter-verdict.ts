// Whether the flow that an air meter reports can be right for the engine and the moment.
import { checkNumber } from './check-number.ts';
import { expectedAirFlow, type FlowBand } from './expected-air-flow.ts';
import type { Result } from './result.ts';

/**
 * @param flow         reported [g/s], 0 to 700
 * @param displacement [L]
 * @param when         idle and 2500rpm without load, or full throttle at `speed`
 * @param boosted      charged engines go beyond the full-throttle band, so only a low reading is judged there
 * @returns reported flow over the middle of the band [1], with the band and a verdict. Up to a third outside the band is `unusual` only:
 *          accessories, a hot or cold engine and idle speed move it that much (judgement)
 * Source: common practice (idle); sae-j1979 (1.184 g/L).
 */
export function airMeterVerdict(
  flow: number,
  displacement: number,
  when: 'idle' | '2500rpm' | 'full',
  speed = 5500,
  boosted = false,
): Result<number, FlowBand & { verdict: 'plausible' | 'unusual' | 'too-low' | 'too-high' }> {
  const wrong = checkNumber('The air flow', flow, 0, 700, 'g/s', 'It may be in kg/h, which is 3.6 times as much.');
  if (wrong) return wrong;
  const band = expectedAirFlow(displacement, when, speed);
  if (!band.valid) return band;
  const { low, high } = band;
  const mostHigh = boosted && when === 'full' ? Number.POSITIVE_INFINITY : high;
  const verdict =
    flow >= low && flow <= mostHigh
      ? 'plausible'
      : flow < low / 1.33
        ? 'too-low'
        : flow > mostHigh * 1.33
          ? 'too-high'
          : 'unusual';
  return { valid: true, value: flow / band.value, low, high, verdict };
}
