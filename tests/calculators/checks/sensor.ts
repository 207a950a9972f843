// Oxygen sensor, heater and recorded signals against laws, data sheets and logs with figures worked out by others.
import { mean as libraryMean, max, min, sampleCorrelation } from 'simple-statistics';
import { heaterPower, heaterResistance } from '../../../src/calculators/heater.ts';
import { nernstVoltage, voltageFromLambda } from '../../../src/calculators/nernst-voltage.ts';
import { sensorSignal } from '../../../src/calculators/sensor-signal.ts';
import { signalDelay } from '../../../src/calculators/signal-delay.ts';
import { storageIndex } from '../../../src/calculators/storage-index.ts';
import { lambdaFromPumpCurrent, pumpCurrentFromLambda } from '../../../src/calculators/wide-range-lambda.ts';
import { readLog, readTimedChannel } from '../read-data.ts';
import { type Check, library, take } from './check.ts';

const nernst: Check[] = (
  [
    [600, 0.01],
    [600, 1e-20],
    [700, 0.01],
    [700, 1e-18],
    [800, 0.05],
  ] as const
).map(([temperature, oxygen]) => ({
  calculator: 'nernst-voltage',
  what: `${temperature} degC, ${oxygen} atm`,
  from: 'manuals of zirconia analysers: E = 0.0496 T log10(p air / p gas) mV, 20.9 % oxygen in air',
  kind: 'from memory',
  got: () => 1000 * take(nernstVoltage(oxygen, temperature)),
  expected: library('0.0496 * T * log10(0.209 / p)', { T: temperature + 273.15, p: oxygen }),
  tolerance: 0.5,
  why: 'the constant 0.0496 is good to one part in a thousand',
}));

/** Full chemical equilibrium on the electrode, worked out with the GRI-Mech 3.0 thermodynamic data in an open chemistry library [mV]. */
const equilibrium: ReadonlyArray<readonly [number, number, number]> = [
  [0.9, 500, 998],
  [0.9, 700, 910],
  [0.95, 600, 926],
  [0.97, 800, 802],
  [0.99, 350, 988],
  [0.99, 700, 807],
  [0.999, 600, 775],
  [1.001, 600, 131],
  [1.01, 350, 63],
  [1.03, 700, 75],
  [1.1, 800, 57],
];
const fromLambda = equilibrium.map(
  ([lambda, temperature, expected]): Check => ({
    calculator: 'voltage-from-lambda',
    what: `lambda ${lambda}, ${temperature} degC`,
    from: 'GRI-Mech 3.0 equilibrium in an open chemistry library, run apart from this project',
    kind: 'library',
    got: () => 1000 * take(voltageFromLambda(lambda, temperature)),
    expected,
    tolerance: 1.5,
    why: 'two sets of thermodynamic tables, and a library that lets methane form',
  }),
);

const sheet = 'wideband-data-sheet, table of pump current';
const wideRange: Check[] = (
  [
    [0.329, 1.179],
    [0.671, 1.429],
    [0.938, 1.701],
    [1.15, 1.99],
    [1.385, 2.434],
  ] as const
).flatMap(([current, lambda]): Check[] => [
  {
    calculator: 'wide-range-lambda',
    what: `${current} mA`,
    from: sheet,
    kind: 'published',
    got: () => take(lambdaFromPumpCurrent(current, 'lsu-4.9')),
    expected: lambda,
    tolerance: 0.0005,
  },
  {
    calculator: 'wide-range-lambda',
    what: `lambda ${lambda} back to current`,
    from: sheet,
    kind: 'published',
    got: () => take(pumpCurrentFromLambda(lambda)),
    expected: current,
    tolerance: 0.0005,
  },
]);
/** The same sheet states the oxygen content behind each current, which lambda of lean gas must agree with. */
const oxygenSide: Check[] = (
  [
    [0.33, 3],
    [0.67, 6],
    [0.94, 8.29],
    [1.38, 12],
  ] as const
).map(([current, o2]) => ({
  calculator: 'wide-range-lambda',
  what: `${current} mA is ${o2} % oxygen`,
  from: 'wideband-data-sheet, oxygen column, against the balance of wet lean petrol gas (mathjs 15.2.0)',
  kind: 'published',
  got: () => take(lambdaFromPumpCurrent(current, 'lsu-4.9')),
  // Wet gas of CH1.85: x = (l-1)s / (1 + h/2 + (l-1)s + 3.773 l s), solved for l.
  expected: library('(x*(1 + 0.925 - s) + s) / (s*(1 - x*4.773))', { x: o2 / 100, s: 1.4625 }),
  tolerance: 0.06,
  why: 'the sheet’s oxygen is of a test gas without water; water shifts lambda by up to 0.05',
}));

const heater: Check[] = (
  [
    ['wide-range sensor 3.2 ohm', 3.2, 'wide-range', 'plausible', 'wideband-data-sheet, 3.2 ohm typical'],
    [
      'wide-range sensor at its cold limit 1.7 ohm',
      1.7,
      'wide-range',
      'low',
      'wideband-data-sheet, never below 1.8 ohm',
    ],
    ['front sensor 6 ohm', 6, 'rod-two-point', 'plausible', 'toyota-sensor-values, 5 to 7 ohm'],
    ['rear sensor 16 ohm', 16, 'rod-two-point', 'plausible', 'toyota-sensor-values, 11 to 16 ohm'],
    ['rear sensor 8.2 ohm', 8.2, 'rod-two-point', 'plausible', 'nissan-sensor-values, 5.2 to 8.2 ohm'],
    ['more than 100 ohm', 101, 'any', 'open', 'bmw-heater-text, 100 ohm'],
  ] as const
).map(([what, resistance, kind, verdict, from]) => ({
  calculator: 'heater-resistance',
  what: `${what} is ${verdict}`,
  from,
  kind: 'published',
  got: () => {
    const result = heaterResistance(resistance, kind);
    return result.valid && result.verdict === verdict ? 1 : 0;
  },
  expected: 1,
  tolerance: 0,
}));
const hot: Check[] = (
  [
    [13.1, 200],
    [17.7, 400],
    [22.5, 700],
  ] as const
).map(([resistance, temperature]) => ({
  calculator: 'heater-resistance',
  what: `${resistance} ohm at ${temperature} degC, cold`,
  from: 'hyundai-heater-table, 9.2 ohm at 20 degC',
  kind: 'published',
  got: () => take(heaterResistance(resistance, 'any', temperature)),
  expected: 9.2,
  tolerance: 0.05,
}));
const power: Check[] = (
  [
    [13.5, 9, 1],
    [7.5, 7.5, 1],
    [14, 3.2, 0.3],
  ] as const
).map(([voltage, resistance, duty]) => ({
  calculator: 'heater-power',
  what: `${voltage} V on ${resistance} ohm, ${duty} of the time`,
  from: 'Ohm’s law with units, mathjs 15.2.0',
  kind: 'library',
  got: () => take(heaterPower(voltage, resistance, duty)),
  expected: library(`number((${voltage} V)^2 / (${resistance} ohm) * ${duty}, W)`),
  tolerance: 1e-9,
}));

/** A sine of known frequency about 0.45 V: crossings and edges follow from trigonometry. */
const samples = 10_000;
const times = Float64Array.from({ length: samples }, (_, index) => index / 100);
const sine = times.map((time) => 0.45 + 0.4 * Math.sin(2 * Math.PI * 0.8 * time));
const lagged = times.map((time) => 0.45 + 0.4 * Math.sin(2 * Math.PI * 0.8 * (time - 0.37)));
const halved = times.map((time) => 0.6 + 0.1 * Math.sin(2 * Math.PI * 0.8 * time));
const signal = () => take(sensorSignal(sine, times));
const synthetic: Check[] = (
  [
    [
      'switches of 0.8 Hz',
      () => signal().switchesPerSecond ?? Number.NaN,
      '2 * 0.8',
      0.02,
      'the ends of the log cut one period',
    ],
    [
      'rise time from 0.3 to 0.6 V [ms]',
      () => signal().riseTime ?? Number.NaN,
      '1000 * 2 * asin(0.15/0.4) / (2*pi*0.8)',
      0.5,
      'straight lines between samples 10 ms apart',
    ],
    ['mean', () => signal().mean, '0.45', 1e-3, 'whole periods but for the last sample'],
    ['time on the rich side', () => signal().richShare, '0.5', 0.008, 'one sample in a period of 125'],
  ] as const
).map(([what, got, formula, tolerance, why]) => ({
  calculator: 'sensor-signal',
  what: `sine, ${what}`,
  from: 'trigonometry of a sine, mathjs 15.2.0',
  kind: 'library',
  got,
  expected: library(formula),
  tolerance,
  why,
}));

/** The recorded logs, with what was worked out from them apart from this project. */
const corsa = readLog('log-corsa-2012/segment-12.csv');
const front = corsa.map((row) => row['front sensor V']!);
const rear = corsa.map((row) => row['rear sensor V']!);
const recorded = 'log-corsa-2012, figures worked out by a separate script';
const logged: Check[] = [
  ...(
    [
      ['front, least', () => take(sensorSignal(front, null)).minimum, 0, 0.0005],
      ['front, most', () => take(sensorSignal(front, null)).maximum, 0.93, 0.0005],
      ['front, mean', () => take(sensorSignal(front, null)).mean, 0.369, 0.0005],
      [
        'rear, readings at the top of the scale',
        () => take(sensorSignal(rear, null, { place: 'rear' })).leftOut,
        36,
        0,
      ],
    ] as const
  ).map(
    ([what, got, expected, tolerance]): Check => ({
      calculator: 'sensor-signal',
      what: `log without times, ${what}`,
      from: recorded,
      kind: 'recorded',
      got,
      expected,
      tolerance,
    }),
  ),
  {
    calculator: 'sensor-signal',
    what: 'log without times, mean against a library',
    from: 'simple-statistics 7.12.1',
    kind: 'library',
    got: () => take(sensorSignal(front, null)).mean,
    expected: libraryMean(front),
    tolerance: 1e-9,
  },
];
const dual = readTimedChannel('log-dual-injection/log.csv', 'rear V');
const rearLog = () => take(sensorSignal(dual.values, dual.times, { place: 'rear' }));
const dualChecks: Check[] = (
  [
    ['least', () => rearLog().minimum, min(dual.values), 1e-12, 'simple-statistics 7.12.1', 'library'],
    ['most', () => rearLog().maximum, max(dual.values), 1e-12, 'simple-statistics 7.12.1', 'library'],
    [
      'crossings',
      () => rearLog().crossings,
      35,
      1,
      'log-dual-injection: 36 of 0.45 V, 34 from 0.3 to 0.6 V, by a separate script',
      'recorded',
    ],
  ] as const
).map(([what, got, expected, tolerance, from, kind]) => ({
  calculator: 'sensor-signal',
  what: `rear sensor with times, ${what}`,
  from,
  kind,
  got,
  expected,
  tolerance,
}));

const storage: Check[] = (
  [
    ['a rear that copies the front', sine, 1],
    ['a rear of a quarter of the swing', halved, 0.25],
    ['a rear that stands still', new Float64Array(samples).fill(0.7), 0],
  ] as const
).map(([what, behind, expected]) => ({
  calculator: 'storage-index',
  what,
  from: 'path length of a sine goes with its amplitude',
  kind: 'definition',
  got: () =>
    take(
      storageIndex(
        // One sample in ten, so that each step clears the noise.
        sine.filter((_, index) => index % 10 === 0),
        behind.filter((_: number, index: number) => index % 10 === 0),
      ),
    ),
  expected,
  tolerance: 0.03,
  why: 'the smallest steps are taken for noise',
}));

const delays: Check[] = [
  {
    calculator: 'signal-delay',
    what: 'a sine delayed by 0.37 s',
    from: 'the delay it was made with',
    kind: 'definition',
    got: () => take(signalDelay(sine, lagged, 0.01, 1)),
    expected: 0.37,
    tolerance: 0.005,
  },
  {
    calculator: 'signal-delay',
    what: 'no delay',
    from: 'a signal against itself',
    kind: 'definition',
    got: () => take(signalDelay(sine, sine, 0.01, 1)),
    expected: 0,
    tolerance: 0,
  },
  {
    calculator: 'signal-delay',
    what: 'correlation at the delay found',
    from: 'simple-statistics 7.12.1, sampleCorrelation',
    kind: 'library',
    got: () => {
      const result = signalDelay(sine, halved, 0.01, 1);
      return result.valid ? result.correlation : Number.NaN;
    },
    expected: sampleCorrelation([...sine], [...halved]),
    tolerance: 1e-9,
  },
];

export const sensorChecks: readonly Check[] = [
  ...nernst,
  ...fromLambda,
  ...wideRange,
  ...oxygenSide,
  ...heater,
  ...hot,
  ...power,
  ...synthetic,
  ...logged,
  ...dualChecks,
  ...storage,
  ...delays,
];
