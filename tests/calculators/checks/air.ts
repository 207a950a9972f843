// Air and fuel flow, loads and pressures against tables, a worked trade example and a library with units.
import { airDensity } from '../../../src/calculators/air-density.ts';
import { airMeterVerdict } from '../../../src/calculators/air-meter-verdict.ts';
import { absoluteLoad, calculatedLoad } from '../../../src/calculators/engine-load.ts';
import { expectedAirFlow } from '../../../src/calculators/expected-air-flow.ts';
import { consumptionFromFlow, fuelFlow, injectorFlow } from '../../../src/calculators/fuel-flow.ts';
import { leakFlow } from '../../../src/calculators/leak-hole.ts';
import { barometerAtHeight, manifoldPressure } from '../../../src/calculators/manifold-pressure.ts';
import { speedDensityFlow, volumetricEfficiency } from '../../../src/calculators/speed-density-flow.ts';
import { readLog } from '../read-data.ts';
import { type Check, library, take } from './check.ts';

type Row = readonly [string, () => number, number, number, string, Check['kind'], string?];
const rows = (calculator: string, list: readonly Row[]): Check[] =>
  list.map(([what, got, expected, tolerance, from, kind, why]) => ({
    calculator,
    what,
    from,
    kind,
    got,
    expected,
    tolerance,
    ...(why === undefined ? {} : { why }),
  }));

const magazine = 'a trade magazine’s worked example of calculated load, October 2015';
const atmosphere = 'us-standard-atmosphere-1976';
const definition = 'sae-j1979, definition worked out by mathjs 15.2.0';

/** Warm idle and cruise of a recorded car, means made by a separate script. */
const corsa = readLog('log-corsa-2012/segment-12.csv');
const meanOf = (select: (row: Record<string, number>) => boolean, column: string) => {
  const kept = corsa.filter(select);
  return kept.reduce((sum, row) => sum + row[column]!, 0) / kept.length;
};
const isIdle = (row: Record<string, number>) =>
  row['coolant C']! >= 75 &&
  row['vehicle speed km/h'] === 0 &&
  row['engine speed 1/min']! >= 500 &&
  row['engine speed 1/min']! <= 1100;

export const airChecks: readonly Check[] = [
  ...rows('air-density', [
    ['15 degC, sea level', () => take(airDensity(101.325, 15)), 1.225, 0.0005, atmosphere, 'from memory'],
    [
      '0 degC, 101.325 kPa',
      () => take(airDensity(101.325, 0)),
      1.2929,
      0.001,
      'tables of physical constants',
      'from memory',
      'real air is 0.05 % denser at 0 degC than an ideal gas',
    ],
    ['25 degC, 100 kPa', () => take(airDensity(100, 25)), 1.1684, 0.0005, 'iso-2533 gas law, tables', 'from memory'],
    [
      '25 degC, 101.325 kPa',
      () => take(airDensity(101.325, 25)),
      1.184,
      0.0005,
      'sae-j1979, absolute load',
      'published',
    ],
  ]),
  ...rows('speed-density-flow', [
    [
      '3.0 L, 700 1/min, full, 1.18 g/L',
      () => take(speedDensityFlow({ displacement: 3, speed: 700, pressure: 101, temperature: 25 }, 1)),
      20.7,
      0.06,
      magazine,
      'published',
    ],
    [
      'half of it at idle filling',
      () => take(speedDensityFlow({ displacement: 3, speed: 700, pressure: 101, temperature: 25 }, 0.5)),
      10.35,
      0.06,
      magazine,
      'published',
    ],
    [
      'a third of that at 20 inHg of vacuum',
      () => take(speedDensityFlow({ displacement: 3, speed: 700, pressure: 33.6, temperature: 25 }, 0.5)),
      3.4,
      0.06,
      magazine,
      'published',
    ],
    [
      'recorded idle at 75 % filling',
      () =>
        take(
          speedDensityFlow(
            {
              displacement: 1.229,
              speed: meanOf(isIdle, 'engine speed 1/min'),
              pressure: meanOf(isIdle, 'manifold pressure kPa'),
              temperature: meanOf(isIdle, 'intake air C'),
            },
            0.75,
          ),
        ),
      3.378,
      0.01,
      'log-corsa-2012, by a separate script',
      'recorded',
      'the mean of products against the product of means',
    ],
  ]),
  ...rows('volumetric-efficiency', [
    [
      '110 g/s, 2.0 L, 6000',
      () => take(volumetricEfficiency(110, { displacement: 2, speed: 6000, pressure: 101.325, temperature: 25 })),
      92.9,
      0.1,
      'heywood-1988, equation 2.27 with tables of air',
      'from memory',
    ],
    [
      '20.7 g/s is full',
      () => take(volumetricEfficiency(20.7, { displacement: 3, speed: 700, pressure: 101, temperature: 25 })),
      100,
      0.5,
      magazine,
      'published',
    ],
    [
      'with units',
      () => take(volumetricEfficiency(45, { displacement: 1.6, speed: 4500, pressure: 100, temperature: 20 })),
      library(
        '100 * number(45 g/s / (1.6 L * 4500 / (2 * 60 s) * (100 kPa * 28.9647 g/mol / (8.314462618 J/(mol K) * 293.15 K))), "")'.replace(
          ', ""',
          '',
        ),
      ),
      0.01,
      'gas law with units, mathjs 15.2.0',
      'library',
      'gas constant of air to four digits',
    ],
  ]),
  ...rows('absolute-load', [
    [
      '3.0 g/s, 2.0 L, 750',
      () => take(absoluteLoad(3, 2, 750)),
      library('100*3/(2*750/120*1.184)'),
      1e-9,
      definition,
      'library',
    ],
    [
      '12 g/s at 2500',
      () => take(absoluteLoad(12, 2, 2500)),
      library('100*12/(2*2500/120*1.184)'),
      1e-9,
      definition,
      'library',
    ],
    ['calculated load a third of full', () => take(calculatedLoad(3.4, 10.33)), 33, 0.5, magazine, 'published'],
    [
      'full throttle at 1500 m is 100',
      () => take(calculatedLoad((100 * 84.56) / 101.325, 100, 84.56)),
      100,
      1e-9,
      'sae-j1979: 100 % at full throttle at any height',
      'from memory',
    ],
  ]),
  ...rows('fuel-flow', [
    ['3.0 g/s at 14.7', () => take(fuelFlow(3, 1)), 0.2041, 0.00005, 'definition of lambda', 'definition'],
    [
      'the same in L/h',
      () => {
        const result = fuelFlow(3, 1);
        return result.valid ? result.litresPerHour : Number.NaN;
      },
      library('number(3/14.7 g/s / (745 g/L), L/hour)'),
      1e-9,
      'units by mathjs 15.2.0',
      'library',
    ],
    ['3.945 L/h at 90 km/h', () => take(consumptionFromFlow(3.945, 90)), 4.383, 0.001, 'definition', 'definition'],
    [
      '300 at 300 kPa, at 200',
      () => take(injectorFlow(300, 300, 200)),
      244.9,
      0.05,
      'Bernoulli: square root of pressure',
      'definition',
    ],
    [
      'doubled by four times the pressure',
      () => take(injectorFlow(200, 250, 1000)),
      400,
      1e-9,
      'Bernoulli',
      'definition',
    ],
  ]),
  ...rows('leak-flow', [
    [
      'choked, 1 cm2, 100 kPa, 15 degC, no losses',
      () => take(leakFlow(Math.sqrt(400 / Math.PI), 20, 100, 15, 1)),
      library('1000 * 0.040418 * 1e-4 * 1e5 / sqrt(288.15)'),
      0.01,
      'naca-1135: choked air flow is 0.0404 p A / sqrt(T)',
      'from memory',
    ],
    [
      'same at half the diameter, a quarter',
      () => take(leakFlow(1, 35)) / take(leakFlow(2, 35)),
      0.25,
      1e-12,
      'area of a circle',
      'definition',
    ],
    [
      'no more below the critical 0.5283',
      () => take(leakFlow(3, 53.52)) / take(leakFlow(3, 20)),
      1,
      1e-4,
      'naca-1135: critical pressure ratio 0.52828',
      'from memory',
    ],
  ]),
  ...rows('manifold-pressure', [
    [
      '18 inHg of vacuum',
      () => take(manifoldPressure(-60.96)),
      40.4,
      0.06,
      'nist-sp-811, 3.386389 kPa an inch',
      'published',
    ],
    ['1000 m', () => take(barometerAtHeight(1000)), 89.87, 0.01, atmosphere, 'from memory'],
    ['2000 m', () => take(barometerAtHeight(2000)), 79.5, 0.01, atmosphere, 'from memory'],
    ['sea level', () => take(barometerAtHeight(0)), 101.325, 1e-9, atmosphere, 'from memory'],
  ]),
  ...rows('expected-air-flow', [
    [
      '3.0 L idle lies in 2 to 7 g/s',
      () => take(expectedAirFlow(3, 'idle')),
      4.5,
      2.5,
      'trade texts, 2 to 7 g/s for most cars',
      'common practice',
    ],
    [
      '1 g/s a litre lies in the band',
      () => bandHolds(2, 2),
      1,
      0,
      'trade rule, 1 g/s per litre at idle',
      'common practice',
    ],
    [
      'recorded healthy 2.9 g/s of a four-cylinder',
      () => bandHolds(2, 2.902),
      1,
      0,
      'log-dual-injection, idle 2.902 g/s at 726 1/min',
      'recorded',
    ],
    [
      '110 g/s of 2.0 L at 6000 lies in the band',
      () => fullHolds(2, 6000, 110),
      1,
      0,
      'trade texts on full-throttle flow',
      'from memory',
    ],
  ]),
  ...rows('air-meter-verdict', [
    [
      'recorded lean car: 1.48 g/s of 1.229 L is no more than unusual',
      () => verdictIs(1.479, 1.229, 'plausible'),
      1,
      0,
      'log-corsa-2012, warm idle',
      'recorded',
    ],
    [
      '10.8 kg/h taken for g/s is too high',
      () => verdictIs(10.8, 2, 'too-high'),
      1,
      0,
      'nist-sp-811: 10.8 kg/h is 3.0 g/s',
      'published',
    ],
    [
      'half a gram for two litres is too low',
      () => verdictIs(0.5, 2, 'too-low'),
      1,
      0,
      'trade rule, 1 g/s per litre',
      'common practice',
    ],
  ]),
];

function bandHolds(displacement: number, flow: number): number {
  const result = expectedAirFlow(displacement, 'idle');
  return result.valid && flow >= result.low && flow <= result.high ? 1 : 0;
}

function fullHolds(displacement: number, speed: number, flow: number): number {
  const result = expectedAirFlow(displacement, 'full', speed);
  return result.valid && flow >= result.low && flow <= result.high ? 1 : 0;
}

function verdictIs(flow: number, displacement: number, verdict: string): number {
  const result = airMeterVerdict(flow, displacement, 'idle');
  return result.valid && result.verdict === verdict ? 1 : 0;
}
