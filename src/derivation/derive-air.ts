// Whether the air flow fits the engine: against what is usual, and against the pressure in the manifold.
import { airMeterVerdict } from '../calculators/air-meter-verdict.ts';
import { volumetricEfficiency } from '../calculators/speed-density-flow.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import { assumed, inputOf, settle } from './draft.ts';
import { figure, inWords } from './plain.ts';
import { conditionsOf, latest, type View } from './view.ts';

export function deriveAir(view: View): Derived[] {
  const { displacement } = view.engine;
  if (displacement === null) return [];
  return [...deriveBands(view, displacement), ...deriveFilling(view, displacement)];
}

function deriveBands(view: View, displacement: number): Derived[] {
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

/**
 * How full the ports fill, from flow, pressure and speed of one moment [%]. An idling engine keeps much burnt gas and fills to 50 or 60 %,
 * at full throttle to 75 to 100 (common practice; heywood-1988, section 6.2), so only figures well outside are worth a word.
 */
const filling = { low: 42, high: 115 } as const;

/** Where nobody said, the air in the manifold of a warm engine [degC]. Judgement; 10 degrees are 3 %. */
const usualIntake = 40;

function deriveFilling(view: View, displacement: number): Derived[] {
  return conditionsOf(view, ['air-flow']).flatMap((when) => {
    const flow = latest(view, 'air-flow', { when });
    const pressure = latest(view, 'manifold-pressure', { when });
    const speed = latest(view, 'engine-speed', { when });
    if (!flow || !pressure || !speed || speed.value < 400) return [];
    const intake = latest(view, 'intake-temperature', { when });
    const temperature = intake?.value ?? usualIntake;
    const about = {
      calculator: 'volumetric-efficiency',
      unit: '%',
      source: 'heywood-1988, equation 2.27',
      when,
      inputs: [
        inputOf(flow),
        inputOf(pressure),
        inputOf(speed),
        intake ? inputOf(intake) : assumed('intake air temperature', usualIntake, 'degC'),
        assumed('displacement', displacement, 'L'),
      ],
    };
    const conditionsTaken = { displacement, speed: speed.value, pressure: pressure.value, temperature };
    return [
      settle(volumetricEfficiency(flow.value, conditionsTaken), about, ({ value }) => ({
        value,
        says:
          value < filling.low
            ? `For the pressure in the manifold the air meter reports little air${place(when)}: the meter reads low, or air comes in behind it.`
            : value > filling.high
              ? `For the pressure in the manifold the air meter reports much air${place(when)}: the meter or the pressure sensor is off.`
              : `Air flow and manifold pressure fit each other${place(when)}.`,
        steps: [
          `what the cylinders could draw in: ${figure(displacement, 1)} L x ${figure(speed.value, 0)}/120 x density at ${figure(pressure.value, 0)} kPa and ${figure(temperature, 0)} degrees C`,
          `${figure(flow.value, 2)} g/s of that is ${figure(value, 0)} %; 50 to 100 is usual, the less the lower the load`,
        ],
      })),
    ];
  });
}

function place(when: string | null): string {
  const words = inWords(when);
  return words === '' ? '' : ` ${words}`;
}
