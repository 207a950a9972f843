// Fuels, ratios, trims and consumption against handbooks and published figures.
import { bankDifference } from '../../../src/calculators/bank-difference.ts';
import { blendFuel } from '../../../src/calculators/blend-fuel.ts';
import {
  carbonDioxideByDistance,
  economyFromCarbon,
  meanConsumption,
} from '../../../src/calculators/carbon-dioxide.ts';
import { consumptionLoss } from '../../../src/calculators/consumption-loss.ts';
import { fuels } from '../../../src/calculators/fuels.ts';
import { leakSplit } from '../../../src/calculators/leak-split.ts';
import { mixturePenalty } from '../../../src/calculators/mixture-penalty.ts';
import { lambdaFromRatio, mixtureFromLambda } from '../../../src/calculators/mixture-ratio.ts';
import { stoichiometricRatio } from '../../../src/calculators/stoichiometric-ratio.ts';
import { totalTrim } from '../../../src/calculators/total-trim.ts';
import { trimCodeDue } from '../../../src/calculators/trim-code-due.ts';
import { readLog, readTimedChannel } from '../read-data.ts';
import { type Check, library, take } from './check.ts';

const heywood = 'heywood-1988, table D.4';
const ratios: Check[] = (
  [
    ['iso-octane', 2.25, 0, 15.13, 0.005, heywood],
    ['methane', 4, 0, 17.23, 0.01, heywood],
    ['propane', 8 / 3, 0, 15.67, 0.01, heywood],
    ['ethanol', 3, 0.5, 9, 0.05, heywood],
    ['methanol', 4, 1, 6.47, 0.01, heywood],
    ['petrol CH1.87', 1.87, 0, 14.6, 0.05, heywood],
    ['butane', 2.5, 0, 15.46, 0.01, 'tables of gaseous fuels'],
  ] as const
).map(([name, hydrogen, oxygen, expected, tolerance, from]) => ({
  calculator: 'stoichiometric-ratio',
  what: name,
  from,
  kind: 'from memory',
  got: () => take(stoichiometricRatio({ hydrogen, oxygen })),
  expected,
  tolerance,
  why: 'half the last digit printed, and a little for older atomic weights',
}));
const petrolRatio: Check = {
  calculator: 'stoichiometric-ratio',
  what: 'petrol',
  from: 'us-doe-fuel-table, 14.7',
  kind: 'published',
  got: () => take(stoichiometricRatio(fuels['petrol-e0'])),
  expected: 14.7,
  tolerance: 0.15,
  why: 'petrols differ; 14.7 is the round figure',
};

const blends: Check[] = (
  [
    ['density of E10 against E0', () => take(blendFuel(10)), 749, 1, 'acea-wltp-07-11, E10 749 g/L'],
    ['density of E5', () => take(blendFuel(5)), 747, 1, 'acea-wltp-07-11, E5 747 g/L'],
    ['hydrogen of E10', () => blend(10).fuel.hydrogen, 1.93, 0.01, 'acea-wltp-07-11'],
    ['oxygen of E10', () => blend(10).fuel.oxygen, 0.033, 0.0006, 'acea-wltp-07-11 (its E10 by density)'],
    ['hydrogen of E85', () => blend(85).fuel.hydrogen, 2.74, 0.02, 'acea-wltp-07-11'],
    ['oxygen of E85', () => blend(85).fuel.oxygen, 0.385, 0.008, 'acea-wltp-07-11'],
  ] as const
).map(([what, got, expected, tolerance, from]) => ({
  calculator: 'blend-fuel',
  what,
  from,
  kind: 'published',
  got,
  expected,
  tolerance,
  why: 'the published fuels have a little hydrocarbon of another density',
}));
function blend(ethanol: number) {
  const result = blendFuel(ethanol);
  if (!result.valid) throw new Error(result.because);
  return result;
}

const ways: Check[] = (
  [
    ['13.2 on a gauge', () => take(lambdaFromRatio(13.2)), 0.898],
    ['14.7 is 1', () => take(lambdaFromRatio(14.7)), 1],
    ['lambda 0.8 as ratio', () => ways3(0.8).ratio, 11.76],
    ['lambda 1.1 as equivalence', () => ways3(1.1).equivalence, 0.909],
  ] as const
).map(([what, got, expected]) => ({
  calculator: 'mixture-ratio',
  what,
  from: 'heywood-1988, section 2.9: lambda = ratio / stoichiometric = 1 / equivalence',
  kind: 'from memory',
  got,
  expected,
  tolerance: 0.0005,
}));
function ways3(lambda: number) {
  const result = mixtureFromLambda(lambda);
  if (!result.valid) throw new Error(result.because);
  return result;
}

const totals: Check[] = (
  [
    [8, 12, 20, 20.96],
    [-10, -15, -25, -23.5],
    [25, 25, 50, 56.25],
  ] as const
).flatMap(([short, long, sum, product]): Check[] => [
  {
    calculator: 'total-trim',
    what: `${short} and ${long}, sum`,
    from: 'the trade adds short and long',
    kind: 'common practice',
    got: () => take(totalTrim(short, long)),
    expected: sum,
    tolerance: 1e-9,
  },
  {
    calculator: 'total-trim',
    what: `${short} and ${long}, as the engine gets it`,
    from: 'sae-j1979, both are factors on the base quantity',
    kind: 'from memory',
    got: () => {
      const result = totalTrim(short, long);
      return result.valid ? result.product : Number.NaN;
    },
    expected: product,
    tolerance: 1e-9,
  },
]);

/** A line through points, with a library's own least squares (normal equations). */
const splitPoints = [
  { trim: 26, flow: 2.4 },
  { trim: 9, flow: 8.4 },
  { trim: 4, flow: 14.4 },
  { trim: 3.5, flow: 40 },
];
const normal = (row: number) =>
  library(
    `(inv(transpose(X) * X) * transpose(X) * y)[${row}]`
      .replaceAll('X', `[${splitPoints.map(({ flow }) => `[1, ${1 / flow}]`).join(',')}]`)
      .replaceAll('y', `[${splitPoints.map(({ trim }) => trim).join(',')}]`),
  );
const splits: Check[] = [
  {
    calculator: 'leak-split',
    what: 'leak through four points',
    from: 'ordinary least squares by the normal equations, mathjs 15.2.0',
    kind: 'library',
    got: () => take(leakSplit(splitPoints)),
    expected: normal(2) / 100,
    tolerance: 1e-9,
  },
  {
    calculator: 'leak-split',
    what: 'share through four points',
    from: 'ordinary least squares by the normal equations, mathjs 15.2.0',
    kind: 'library',
    got: () => {
      const result = leakSplit(splitPoints);
      return result.valid ? result.share : Number.NaN;
    },
    expected: normal(1),
    tolerance: 1e-9,
  },
  {
    calculator: 'leak-split',
    what: '0.6 g/s leak, metered 2.4 and 8.4 g/s',
    from: 'mass balance: 0.6/2.4 is 25 %, 0.6/8.4 is 7.14 %',
    kind: 'definition',
    got: () =>
      take(
        leakSplit([
          { trim: 25, flow: 2.4 },
          { trim: 7.142857142857143, flow: 8.4 },
        ]),
      ),
    expected: 0.6,
    tolerance: 1e-9,
  },
];

const due: Check[] = (
  [
    ['12.5 reaches the first maker’s limit', 12.5, 1, 'mitsubishi-outlander-2003, +12.5 %'],
    ['25 is where trade pages put the code', 25, 2, 'trade pages on lean codes, about 25 %'],
    ['-35 reaches the last', -35, 3, 'toyota-trim-monitor, 35 % either way'],
  ] as const
).map(([what, trim, expected, from]) => ({
  calculator: 'trim-code-due',
  what,
  from,
  kind: 'published',
  got: () => take(trimCodeDue(trim)),
  expected,
  tolerance: 0,
}));

const banks: Check[] = (
  [
    [20, 2, 18],
    [2, 20, -18],
    [-12, 13, -25],
  ] as const
).map(([one, two, expected]) => ({
  calculator: 'bank-difference',
  what: `${one} against ${two}`,
  from: 'bank 1 less bank 2',
  kind: 'definition',
  got: () => take(bankDifference(one, two)),
  expected,
  tolerance: 0,
}));

const consumption: Check[] = [
  {
    calculator: 'consumption-loss',
    what: '25 down to 20 miles a gallon',
    from: 'epa-420-f-11-041 and fuel-economy pages: gallons a mile count, so a quarter more',
    kind: 'published',
    got: () => take(consumptionLoss(library('235.214583/25'), library('235.214583/20'))),
    expected: 25,
    tolerance: 1e-6,
  },
  {
    calculator: 'consumption-loss',
    what: 'extra litres of 15 % on 8.0 L/100 km over 15,000 km',
    from: 'arithmetic of the definition, mathjs 15.2.0',
    kind: 'library',
    got: () => {
      const result = consumptionLoss(8, 9.2, 15_000, 1.8);
      return result.valid ? (result.extraLitres ?? Number.NaN) : Number.NaN;
    },
    expected: library('150 * 8 * 0.15'),
    tolerance: 1e-9,
  },
  {
    calculator: 'consumption-loss',
    what: 'carbon dioxide of 180 litres',
    from: 'epa-420-f-11-041, 8,887 g a US gallon',
    kind: 'published',
    got: () => {
      const result = consumptionLoss(8, 9.2, 15_000);
      return result.valid ? (result.extraCarbonDioxide ?? Number.NaN) : Number.NaN;
    },
    expected: library('180 * 8.887 / 3.785411784'),
    tolerance: 1e-9,
  },
  ...(
    [
      [0.97, 3.1],
      [0.9, 11.1],
      [0.8, 25],
    ] as const
  ).map(
    ([lambda, expected]): Check => ({
      calculator: 'mixture-penalty',
      what: `at lambda ${lambda}`,
      from: 'definition of lambda: fuel for the same air goes with 1/lambda',
      kind: 'definition',
      got: () => take(mixturePenalty(lambda)),
      expected,
      tolerance: 0.05,
    }),
  ),
  ...(
    [
      [0.41, 3.4, 400],
      [0.1, 1, 350],
      [2, 30, 420],
    ] as const
  ).map(
    ([hc, co, co2]): Check => ({
      calculator: 'carbon-dioxide',
      what: `miles a gallon from ${hc}, ${co} and ${co2} g/mile`,
      from: 'cfr-600-113-78: 2421/(0.866 HC + 0.429 CO + 0.273 CO2), mathjs 15.2.0',
      kind: 'library',
      got: () => take(economyFromCarbon(hc, co, co2)),
      expected: library('2421/(0.866*hc + 0.429*co + 0.273*co2)', { hc, co, co2 }),
      tolerance: 1e-9,
    }),
  ),
  {
    calculator: 'carbon-dioxide',
    what: 'grams a mile at 25 miles a gallon',
    from: 'epa-420-f-11-041: 8,887/25 = 355 g a mile',
    kind: 'published',
    got: () => take(carbonDioxideByDistance(235.214583 / 25, 8.887 / 3.785411784)) * 1.609344,
    expected: 355,
    tolerance: 0.5,
  },
  {
    calculator: 'carbon-dioxide',
    what: 'mean of two stretches',
    from: 'harmonic mean of miles a gallon, 40 and 20 over equal distance is 26.67',
    kind: 'definition',
    got: () =>
      235.214583 /
      take(
        meanConsumption([
          { distance: 100, consumption: 235.214583 / 40 },
          { distance: 100, consumption: 235.214583 / 20 },
        ]),
      ),
    expected: 26.67,
    tolerance: 0.005,
  },
];

/** A recorded car that is lean at idle; means of its rows were worked out apart from this project. */
const corsa = readLog('log-corsa-2012/segment-12.csv');
const warm = corsa.filter((row) => row['coolant C']! >= 75);
const idle = warm.filter(
  (row) => row['vehicle speed km/h'] === 0 && row['engine speed 1/min']! >= 500 && row['engine speed 1/min']! <= 1100,
);
const cruise = warm.filter(
  (row) => row['vehicle speed km/h']! >= 50 && row['engine load %']! >= 20 && row['engine load %']! <= 60,
);
const meanOf = (rows: readonly Record<string, number>[], value: (row: Record<string, number>) => number) =>
  rows.reduce((sum, row) => sum + value(row), 0) / rows.length;
const productOf = (row: Record<string, number>) => {
  const result = totalTrim(row['short-term trim %']!, row['long-term trim %']!);
  return result.valid ? result.product : Number.NaN;
};
const recorded = 'log-corsa-2012, figures by a separate script';
const ratioLog = readTimedChannel('log-dual-injection/log.csv', 'front ratio').values.map((value) =>
  take(lambdaFromRatio(value, 14.69)),
);
const logged: Check[] = (
  [
    ['total-trim', 'warm idle of a recorded car, mean', () => meanOf(idle, productOf), 54.75, 0.006, recorded],
    ['total-trim', 'cruise of the same, mean', () => meanOf(cruise, productOf), 6.6, 0.006, recorded],
    [
      'leak-split',
      'leak of the recorded car from its idle and cruise means',
      () =>
        take(
          leakSplit(
            [idle, cruise].map((rows) => ({
              trim: meanOf(rows, productOf),
              flow: meanOf(rows, (row) => row['air flow g/s']!),
            })),
          ),
        ),
      0.777,
      0.01,
      `${recorded} (extra air needed at idle)`,
    ],
    [
      'mixture-ratio',
      'recorded wide-range sensor, least lambda',
      () => Math.min(...ratioLog),
      0.785,
      0.0005,
      'log-dual-injection, figures by a separate script',
    ],
    [
      'mixture-ratio',
      'the same, most',
      () => Math.max(...ratioLog),
      1.521,
      0.0008,
      'log-dual-injection, figures by a separate script',
    ],
    [
      'mixture-ratio',
      'the same, mean',
      () => ratioLog.reduce((sum, value) => sum + value, 0) / ratioLog.length,
      1.059,
      0.0005,
      'log-dual-injection, figures by a separate script',
    ],
  ] as const
).map(([calculator, what, got, expected, tolerance, from]) => ({
  calculator,
  what,
  from,
  kind: 'recorded',
  got,
  expected,
  tolerance,
}));

export const mixtureChecks: readonly Check[] = [
  ...ratios,
  petrolRatio,
  ...blends,
  ...ways,
  ...totals,
  ...splits,
  ...due,
  ...banks,
  ...consumption,
  ...logged,
];
