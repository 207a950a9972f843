// Loss of economy against what was usual, and how much of it the mixture alone could explain.
import { consumptionLoss } from '../calculators/consumption-loss.ts';
import { lambdaThatExplains, mixturePenalty } from '../calculators/mixture-penalty.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import { inputOf, settle } from './draft.ts';
import { figure } from './plain.ts';
import { latest, type View } from './view.ts';

/** @param gas lambda already worked out from gas; the first one says what the mixture costs */
export function deriveConsumption(now: View, before: View, gas: readonly Derived[]): Derived[] {
  const present = latest(now, 'fuel-consumption');
  const usual = latest(before, 'fuel-consumption');
  if (!present || !usual) return [];
  const about = {
    calculator: 'consumption-loss',
    unit: '%',
    source: 'epa-420-f-11-041',
    inputs: [inputOf(usual), inputOf(present)],
  };
  return [
    settle(consumptionLoss(usual.value, present.value, 15_000), about, (result) => {
      const mixture = result.value > 0 ? lambdaThatExplains(Math.min(100, result.value)) : null;
      return {
        value: result.value,
        says: sayLoss(result.value, mixture?.valid ? mixture.plausible : true),
        steps: [
          `${figure(present.value, 1)} / ${figure(usual.value, 1)} L/100 km - 1 = ${figure(result.value, 0)} % more fuel`,
          `over 15,000 km that is ${figure(result.extraLitres ?? 0, 0)} litres and ${figure(result.extraCarbonDioxide ?? 0, 0)} kg of CO2`,
          ...(mixture?.valid
            ? [
                `the mixture alone would have to be lambda ${figure(mixture.value, 2)}: ${mixture.plausible ? 'an engine can run like that' : 'hardly any engine runs like that, so something else is in it'}`,
              ]
            : []),
          ...sayMixture(gas),
        ],
      };
    }),
  ];
}

function sayLoss(loss: number, plausible: boolean): string {
  if (loss < -3) return `The car takes about ${figure(-loss, 0)} % less fuel than before.`;
  if (loss < 3) return 'The car takes about as much fuel as before.';
  const words = `The car takes about ${figure(loss, 0)} % more fuel than before`;
  return plausible ? `${words}.` : `${words}, more than a wrong mixture alone could cost.`;
}

/** What the mixture that the gases show can cost by itself. */
function sayMixture(gas: readonly Derived[]): string[] {
  const lambda = gas.find((result) => result.calculator === 'lambda-from-gas' && result.result !== null)?.result;
  if (lambda === undefined || lambda === null) return [];
  const penalty = mixturePenalty(lambda);
  return penalty.valid
    ? [`the lambda of ${figure(lambda, 3)} that the gases show costs at most ${figure(penalty.value, 0)} % by itself`]
    : [];
}
