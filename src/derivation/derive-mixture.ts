// Air-fuel ratios as people read them off a gauge, turned into lambda.
import { gaugeRatio, lambdaFromRatio } from '../calculators/mixture-ratio.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import { assumed, inputOf, settle } from './draft.ts';
import { figure, inWords } from './plain.ts';
import { conditionsOf, latest, type View } from './view.ts';

export function deriveMixture(view: View): Derived[] {
  return conditionsOf(view, ['air-fuel-ratio']).flatMap((when) => {
    const reading = latest(view, 'air-fuel-ratio', { when });
    if (!reading) return [];
    const about = {
      calculator: 'mixture-ratio',
      unit: '1',
      source: 'heywood-1988, section 2.9',
      when,
      bank: reading.bank,
      inputs: [inputOf(reading), assumed('ratio that the gauge takes for lambda 1', gaugeRatio, 'kg/kg')],
    };
    return [
      settle(lambdaFromRatio(reading.value), about, ({ value }) => {
        const place = inWords(when);
        return {
          value,
          says: `An air-fuel ratio of ${figure(reading.value, 1)} to 1${place === '' ? '' : ` ${place}`} is lambda ${figure(value, 2)}: ${value < 0.97 ? 'rich' : value > 1.03 ? 'lean' : 'as it should be when driving steadily'}.`,
          steps: [
            `${figure(reading.value, 2)} / ${gaugeRatio} = ${figure(value, 3)}`,
            'gauges take 14.7 for lambda 1 whatever fuel is in the tank, so lambda holds for any fuel',
          ],
        };
      }),
    ];
  });
}
