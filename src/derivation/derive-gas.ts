// Lambda, pattern and corrected CO from a gas analyser's figures, for each condition that the post gives.
import type { GasReading } from '../calculators/check-gas.ts';
import { correctedCo } from '../calculators/corrected-co.ts';
import { type Fuel, fuels } from '../calculators/fuels.ts';
import { gasDilution } from '../calculators/gas-dilution.ts';
import { type GasPattern, gasPattern } from '../calculators/gas-pattern.ts';
import { lambdaFromGas } from '../calculators/lambda-from-gas.ts';
import { lambdaFromOxygen } from '../calculators/lambda-from-oxygen.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import type { ReadingFinding } from '../vocabulary/findings.ts';
import type { Condition } from '../vocabulary/quantities.ts';
import { assumed, type DerivedInput, inputOf, settle } from './draft.ts';
import { figure, inWords } from './plain.ts';
import { conditionsOf, latest, type View } from './view.ts';

const gases = ['gas-co', 'gas-co2', 'gas-o2', 'gas-hc'] as const;

/** The fuels that a post can name, by intake's word; petrol and the unnamed take the constants of garage analysers. */
const fuelOfWord: Readonly<Record<string, Fuel>> = {
  e10: fuels['petrol-e10'],
  e85: fuels.e85,
  lpg: fuels.lpg,
  cng: fuels.cng,
  diesel: fuels.diesel,
};

export function fuelOf(view: View): Fuel {
  return fuelOfWord[view.engine.fuel?.toLowerCase() ?? ''] ?? fuels['petrol-analyser'];
}

/** What a gas test gave under one condition. */
interface GasSet {
  readonly when: Condition | null;
  readonly readings: Readonly<Partial<Record<'co' | 'co2' | 'o2' | 'hc' | 'nox', ReadingFinding>>>;
}

export function deriveGas(view: View): Derived[] {
  return gasSets(view).flatMap((set) => deriveSet(set, fuelOf(view)));
}

/** A figure without a condition counts for every condition that lacks it: people write the rest once. */
function gasSets(view: View): GasSet[] {
  const conditions = conditionsOf(view, gases);
  const stated = conditions.filter((when) => when !== null);
  return (stated.length > 0 ? stated : conditions).map((when) => {
    const at = (quantity: (typeof gases)[number] | 'gas-nox') =>
      latest(view, quantity, { when }) ?? latest(view, quantity, { when: null });
    const all = { co: at('gas-co'), co2: at('gas-co2'), o2: at('gas-o2'), hc: at('gas-hc'), nox: at('gas-nox') };
    return { when, readings: Object.fromEntries(Object.entries(all).filter(([, reading]) => reading !== undefined)) };
  });
}

function deriveSet({ when, readings }: GasSet, fuel: Fuel): Derived[] {
  const { co, co2, o2, hc, nox } = readings;
  const inputs: DerivedInput[] = [co, co2, o2, hc, nox].flatMap((reading) => (reading ? [inputOf(reading)] : []));
  if (co && co2 && o2) {
    const gas: GasReading = {
      co: co.value,
      co2: co2.value,
      o2: o2.value,
      hc: hc?.value ?? 0,
      ...(nox ? { nox: nox.value } : {}),
    };
    if (!hc) inputs.push(assumed('HC', 0, 'ppm vol'));
    const lambda = deriveLambda(gas, fuel, when, inputs, hc !== undefined);
    return lambda.valid
      ? [lambda, ...(fuel.spark ? derivePattern(gas, fuel, when, inputs) : []), ...deriveCo(co, co2, when)]
      : [lambda];
  }
  if (o2 && !co2 && (co?.value ?? 0) < 0.3 && (hc?.value ?? 0) < 200 && o2.value <= 6 && (co || hc))
    return [deriveFromOxygen(o2, when, inputs)];
  return co && co2 ? deriveCo(co, co2, when) : [];
}

function deriveLambda(
  gas: GasReading,
  fuel: Fuel,
  when: Condition | null,
  inputs: readonly DerivedInput[],
  hcGiven: boolean,
): Derived {
  const about = { calculator: 'lambda-from-gas', unit: '1', source: 'brettschneider-1979', when, inputs };
  return settle(lambdaFromGas(gas, { fuel }), about, (result) => {
    const allowing = lambdaFromGas(gas, { fuel, carbonPerHc: 12 });
    const need = 1 + fuel.hydrogen / 4 - fuel.oxygen / 2;
    const place = inWords(when);
    const sense =
      result.value < 0.97
        ? 'rich (more fuel than the air can burn)'
        : result.value > 1.03
          ? 'lean by the tailpipe (more air than the fuel needs, or air drawn into the exhaust)'
          : 'as it should be';
    return {
      value: result.value,
      says: `Lambda worked out from the gases${place === '' ? '' : ` ${place}`} is ${figure(result.value, 3)}: ${sense}.${result.trusted ? '' : ' So far out it is only a rough figure.'}`,
      steps: [
        `constants: ${fuel.name}, hydrogen ${fuel.hydrogen} and oxygen ${fuel.oxygen} per carbon, K 3.5, ${hcGiven ? 'HC counted as 6 carbon atoms' : 'HC not given, taken as 0'}`,
        `water-gas term = 3.5 / (3.5 + ${figure(gas.co, 2)} / ${figure(gas.co2, 2)}) = ${figure(result.waterTerm, 4)}`,
        `oxygen there = CO2 + CO/2 + O2${gas.nox === undefined ? '' : ' + NO/2'} + (${figure(fuel.hydrogen / 4, 4)} x ${figure(result.waterTerm, 4)} - ${figure(fuel.oxygen / 2, 4)}) x (CO2 + CO) = ${figure(result.available, 3)}`,
        `oxygen needed = ${figure(need, 4)} x (CO2 + CO + HC as carbon ${figure(result.hcCarbon, 3)}) = ${figure(result.needed, 3)}`,
        `lambda = ${figure(result.available, 3)} / ${figure(result.needed, 3)} = ${figure(result.value, 3)}`,
        ...(allowing.valid && Math.abs(allowing.value - result.value) >= 0.005
          ? [`analysers that allow for the HC that infrared misses would show ${figure(allowing.value, 3)}`]
          : []),
      ],
    };
  });
}

function deriveFromOxygen(o2: ReadingFinding, when: Condition | null, inputs: readonly DerivedInput[]): Derived {
  const about = { calculator: 'lambda-from-gas', unit: '1', source: 'heywood-1988, chapter 4', when, inputs };
  return settle(lambdaFromOxygen(o2.value), about, (result) => ({
    value: result.value,
    says: `From the oxygen alone lambda would be about ${figure(result.value, 2)}; with CO2 it could be worked out properly.`,
    steps: [`completely burnt gas with ${figure(o2.value, 2)} % O2 left over: lambda ${figure(result.value, 3)}`],
  }));
}

const patternSays: Record<GasPattern, string> = {
  clean: 'Together the gases look like a healthy engine with a working catalyst.',
  rich: 'Together the gases say that the engine runs rich.',
  'rich-and-misfire': 'Together the gases say that the engine runs rich and that some of its fuel does not burn.',
  misfire: 'Together the gases say that some of the fuel does not burn: a misfire looks like this.',
  'lean-or-air': 'Together the gases say that air is left over: a lean engine, or air drawn into the exhaust.',
  'air-in-exhaust':
    'Together the gases look like a sound engine with a lot of air drawn into the exhaust or the probe, rather than a lean engine.',
  'weak-catalyst': 'The mixture is right, but more is left unburnt than a working catalyst lets through.',
  'nox-only': 'Only NOx is high: the mixture and the burning are otherwise in order.',
  borderline: 'The gases are slightly off, without a clear pattern: more is left unburnt than behind a fresh catalyst.',
};

function derivePattern(
  gas: GasReading,
  fuel: Fuel,
  when: Condition | null,
  inputs: readonly DerivedInput[],
): Derived[] {
  const about = { calculator: 'gas-pattern', unit: '1', source: 'common practice', when, inputs };
  const result = gasPattern(gas, fuel);
  if (!result.valid) return [];
  const dilution = gasDilution(gas);
  return [
    settle(result, about, ({ value, lambda, airShare }) => ({
      value: airShare,
      says: patternSays[value],
      steps: [
        `lambda ${figure(lambda, 3)}, CO ${figure(gas.co, 2)} %, HC ${figure(gas.hc, 0)} ppm, O2 ${figure(gas.o2, 2)} %`,
        `were all its oxygen from outside, ${figure(100 * airShare, 0)} % of the sample would be air`,
        ...(dilution.valid && airShare > 0.05
          ? [`without that air: CO ${figure(dilution.undiluted.co, 2)} %, CO2 ${figure(dilution.undiluted.co2, 1)} %`]
          : []),
      ],
    })),
  ];
}

function deriveCo(co: ReadingFinding, co2: ReadingFinding, when: Condition | null): Derived[] {
  const result = correctedCo(co.value, co2.value);
  if (result.valid && !result.corrected) return [];
  const about = {
    calculator: 'corrected-co',
    unit: '% vol',
    source: 'un-r83, annex 5',
    when,
    inputs: [inputOf(co), inputOf(co2)],
  };
  return [
    settle(result, about, ({ value }) => ({
      value,
      says: `The sample was thinned with air; without it CO would read ${figure(value, 2)} %.`,
      steps: [
        `${figure(co.value, 2)} x 15 / (${figure(co.value, 2)} + ${figure(co2.value, 2)}) = ${figure(value, 2)} %`,
      ],
    })),
  ];
}
