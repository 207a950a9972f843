// Whether the air flow fits the engine, and the load that it means.
import { airMeterVerdict } from '../calculators/air-meter-verdict.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import { assumed, inputOf, settle } from './draft.ts';
import { figure, inWords } from './plain.ts';
import { latest, type View } from './view.ts';

export function deriveAir(view: View): Derived[] {
  const { displacement } = view.engine;
  if (displacement === null) return [];
  return (['idle', '2500rpm'] as const).flatMap((when) => {
    const flow = latest(view, 'air-flow', { when });
    if (!flow) return [];
    const about = {
      calculator: 'air-flow',
      unit: '1',
      source: 'common practice',
      when,
      inputs: [inputOf(flow), assumed('displacement', displacement, 'L')],
    };
    return [
      settle(airMeterVerdict(flow.value, displacement, when), about, (result) => {
        const band = `${figure(result.low, 1)} to ${figure(result.high, 1)} g/s`;
        const read = `${figure(flow.value, 1)} g/s ${inWords(when)}`;
        const size = `${figure(displacement, 1)} litre engine`;
        return {
          value: result.value,
          says: {
            plausible: `An air flow of ${read} is about right for a ${size}.`,
            unusual: `An air flow of ${read} is a little unusual for a ${size} (${band} is usual).`,
            'too-low': `An air flow of ${read} is low for a ${size} (${band} is usual): the meter reads low, or air comes in behind it.`,
            'too-high': `An air flow of ${read} is high for a ${size} (${band} is usual): a fast idle, a load, or a meter that reads high.`,
          }[result.verdict],
          steps: [
            `usual ${inWords(when)} for ${figure(displacement, 1)} L: ${band}`,
            `read ${figure(flow.value, 2)} g/s, ${figure(result.value, 2)} times the middle of that`,
          ],
        };
      }),
    ];
  });
}
