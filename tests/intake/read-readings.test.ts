// Readings in the mess in which people type them. Each row: a text, and every reading that a mechanic would take from it, as
// `quantity value[..high] [b<bank>] [s<sensor>] [condition] [before]` in the vocabulary's unit. Nothing else may be read.
import { describe, expect, it } from 'vitest';
import { readCodes } from '../../src/intake/read-codes.ts';
import { readEngine } from '../../src/intake/read-engine.ts';
import { readPost } from '../../src/intake/read-post.ts';
import { readReadings } from '../../src/intake/read-readings.ts';
import { readTables } from '../../src/intake/read-tables.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { loadFiguresKnowledge } from './figures-knowledge.ts';
import { readWith } from './read-figures.ts';

const knowledge = loadFiguresKnowledge();
const short: Record<string, string> = {
  'short-term-trim': 'stft',
  'long-term-trim': 'ltft',
  'sensor-voltage': 'volts',
};

function show(finding: Finding): string[] {
  if (finding.kind !== 'reading' || finding.quantity === 'displacement') return [];
  const round = (value: number) => String(Number(value.toPrecision(4)));
  return [
    [
      short[finding.quantity] ?? finding.quantity,
      !finding.range
        ? round(finding.value)
        : finding.range[0] === finding.range[1]
          ? `${round(finding.value)} still`
          : `${round(finding.range[0])}..${round(finding.range[1])}`,
      finding.bank === null ? '' : `b${finding.bank}`,
      finding.sensor === null ? '' : `s${finding.sensor}`,
      finding.when ?? '',
      finding.limit ?? '',
      finding.time === 'before' ? 'before' : '',
    ]
      .filter((part) => part !== '')
      .join(' '),
  ];
}

const readingsOf = (text: string) =>
  readWith([readCodes, readTables, readEngine, readReadings], text, knowledge).findings.flatMap(show);

/** How people write figures: common practice. */
const rows: ReadonlyArray<readonly [what: string, text: string, expected: readonly string[]]> = [
  ['a sign and a percent sign', 'My LTFT is +22% at idle.', ['ltft 22 idle']],
  ['no unit and no verb', 'LTFT 22', ['ltft 22']],
  ['a minus sign', 'long term fuel trim sits at -14%', ['ltft -14']],
  ['a typographic minus', 'STFT \u221214 %', ['stft -14']],
  ['a spelt minus', 'short term trim is minus 4 percent', ['stft -4']],
  ['number words', 'The long term trim went up to twenty percent', ['ltft 20']],
  ['number words with a hyphen', 'long term trim reads twenty-two percent', ['ltft 22']],
  ['two trims in a row', 'STFT 3 LTFT 22', ['stft 3', 'ltft 22']],
  ['the number first', '22% LTFT, 3% STFT', ['ltft 22', 'stft 3']],
  ['a list over banks', 'LTFT B1 +18, B2 +20', ['ltft 18 b1', 'ltft 20 b2']],
  ['banks behind', 'LTFT is +18 on bank 1 and +20 on bank 2', ['ltft 18 b1', 'ltft 20 b2']],
  ['banks in words', 'bank one short term is 4.7, bank two short term is -1.6', ['stft 4.7 b1', 'stft -1.6 b2']],
  [
    'a bank number glued to the name',
    'STFT1 -2.3 LTFT1 12.5 STFT2 0.8 LTFT2 7.0',
    ['stft -2.3 b1', 'ltft 12.5 b1', 'stft 0.8 b2', 'ltft 7 b2'],
  ],
  ['both banks', 'LTFT +25% on both banks', ['ltft 25 b1', 'ltft 25 b2']],
  [
    'conditions before',
    'At idle LTFT is 22, at 2500 rpm it drops to 3',
    ['ltft 22 idle', 'ltft 3 2500rpm', 'engine-speed 2500'],
  ],
  ['conditions behind', 'LTFT 22 at idle, 3 at cruise', ['ltft 22 idle', 'ltft 3 cruise']],
  ['a range with a dash', 'LTFT hovers around 20-25%', ['ltft 20..25']],
  ['a range between', 'long term trim is between 10 and 14 percent', ['ltft 10..14']],
  ['a range without zeros', 'upstream O2 swings .1-.9 V', ['volts 0.1..0.9 s1']],
  ['a range with both units', 'the front o2 goes from 0.1v to 0.8v', ['volts 0.1..0.8 s1']],
  ['about', 'LTFT ~25', ['ltft 25']],
  ['a limit reached', 'LTFT maxed out at 25', ['ltft 25 at-least']],
  ['a decimal comma', 'Lambda sensor 0,45 V on bank 1 sensor 1', ['volts 0.45 b1 s1']],
  ['a leading point', 'downstream sensor reads .72 v steady', ['volts 0.72 still s2']],
  ['millivolts', 'o2 sensor stuck at 450mv', ['volts 0.45 still']],
  ['sensor codes', 'B1S1 0.1-0.9V, B1S2 0.65V', ['volts 0.1..0.9 b1 s1', 'volts 0.65 b1 s2']],
  ['pair notation', 'O2S 1/1 0.45 V and O2S 2/1 0.12 V', ['volts 0.45 b1 s1', 'volts 0.12 b2 s1']],
  ['a rear sensor', 'rear o2 sensor sits at 0.7 volts', ['volts 0.7 still s2']],
  ['post-cat', 'Post-cat O2 is 0.6V, pre-cat is switching 0.1 to 0.8 V', ['volts 0.6 s2', 'volts 0.1..0.8 s1']],
  [
    'ppm and percent',
    'HC 140 ppm, CO 0.45%, CO2 14.6%, O2 0.8%',
    ['gas-hc 140', 'gas-co 0.45', 'gas-co2 14.6', 'gas-o2 0.8'],
  ],
  [
    'a test with limits',
    'Failed MOT. CO 0.85% (limit 0.2%) at fast idle, lambda 1.01',
    ['gas-co 0.85 2500rpm', 'lambda 1.01 2500rpm'],
  ],
  ['a limit in words', 'CO was 1.2 and it should be below 0.3', ['gas-co 1.2']],
  ['air flow', 'MAF reads 3.2 g/s at idle', ['air-flow 3.2 idle']],
  ['air flow in kg per hour', 'MAF 12 kg/h at idle', ['air-flow 3.333 idle']],
  ['manifold vacuum', 'Vacuum is a steady 18 inHg at idle', ['manifold-pressure 40.37 idle']],
  ['manifold pressure', 'MAP 35 kPa at idle', ['manifold-pressure 35 idle']],
  ['fuel pressure in psi', 'fuel pressure is 38 psi key on engine off', ['fuel-pressure 262 key-on']],
  ['fuel pressure in bar', 'fuel pressure 3.1 bar', ['fuel-pressure 310']],
  ['tyre pressure is none of ours', 'tire pressure 32 psi all round', []],
  ['Fahrenheit', 'coolant temp gets to 195F', ['coolant-temperature 90.56']],
  ['Celsius without unit', 'ECT 92', ['coolant-temperature 92']],
  ['distance in thousands', '150k miles on the clock', ['distance 241400']],
  ['a thousands comma', '1,200 miles since the last oil change', ['distance 1931']],
  ['distance without unit', 'Bought it with 98,000 on the clock', ['distance 157700']],
  [
    'consumption that fell',
    'Mileage dropped from 28 mpg to 21 mpg',
    ['fuel-consumption 8.401 before', 'fuel-consumption 11.2'],
  ],
  ['consumption in litres', 'it uses 11.5 l/100km now', ['fuel-consumption 11.5']],
  ['imperial gallons', 'I only get 27 mpg out of my petrol Astra, it passed its MOT', ['fuel-consumption 10.46']],
  [
    'oil',
    'It burns a quart every 1000 miles. Oil use: 1 quart per 1000 miles',
    ['oil-consumption 0.588', 'oil-consumption 0.588'],
  ],
  ['idle speed', 'idles at 950 rpm', ['engine-speed 950 idle']],
  ['thousands of revs', 'it cuts out at 3.5k rpm', ['engine-speed 3500']],
  ['heater resistance', 'Measured 6.2 ohms across the heater of the downstream sensor', ['heater-resistance 6.2 s2']],
  [
    'wideband',
    'wideband shows 14.2 at cruise and 11.8 at WOT',
    ['air-fuel-ratio 14.2 cruise', 'air-fuel-ratio 11.8 load'],
  ],
  ['ratio notation', 'AFR 14.7:1 at idle', ['air-fuel-ratio 14.7 idle']],
  [
    'a live-data list on lines',
    'RPM: 780\nECT: 88 C\nSTFT B1: 3.1%\nLTFT B1: 12.5%\nMAF: 3.41 g/s\nO2 B1S1: 0.14 V',
    ['engine-speed 780', 'coolant-temperature 88', 'stft 3.1 b1', 'ltft 12.5 b1', 'air-flow 3.41', 'volts 0.14 b1 s1'],
  ],
  [
    'a heading over lines',
    'At idle:\nSTFT 2\nLTFT 19\n\nAt 2500 rpm:\nSTFT 1\nLTFT 4',
    ['stft 2 idle', 'ltft 19 idle', 'engine-speed 2500', 'stft 1 2500rpm', 'ltft 4 2500rpm'],
  ],
  [
    'a bank heading over lines',
    'Bank 1\nSTFT 2\nLTFT 19\nBank 2\nSTFT 1\nLTFT 4',
    ['stft 2 b1', 'ltft 19 b1', 'stft 1 b2', 'ltft 4 b2'],
  ],
  ['an absent bank', 'STFT B2 99.2% LTFT B2 99.2% LTFT B1 5.5%', ['ltft 5.5 b1']],
  ['trims as factors', 'LTFT 1.08 on both banks, STFT .97 to 1.03', ['ltft 8 b1', 'ltft 8 b2', 'stft -3..3']],
  ['percent steps are no factors', 'STFT 0.78 LTFT 1.56', ['stft 0.78', 'ltft 1.56']],
  [
    'money, dates and times are left alone',
    'Paid $350 on 12/05/2023 at 10:30 for 2 sensors, o2 sensor part no. 234-4622',
    [],
  ],
  ['counts are left alone', 'replaced 2 O2 sensors and 4 spark plugs, o2 sensors 3 times', []],
  ['a question about an own figure', 'Is 0.45 V normal on the upstream sensor?', ['volts 0.45 s1']],
  ['compression', 'compression is 150 psi on all cylinders', ['compression 1034']],
  ['back pressure', 'backpressure is 4 psi at 2500 rpm', ['back-pressure 27.58 2500rpm', 'engine-speed 2500']],
  ['cross counts', 'cross counts 8 per second', ['switches 8']],
  ['plus or minus', 'short term stays within +/- 5%', ['stft -5..5']],
  [
    'a freeze frame',
    'Freeze frame: P0171, load 32%, ECT 86C, STFT 12.5%, LTFT 18.8%, RPM 1750, speed 40 mph',
    ['engine-load 32', 'coolant-temperature 86', 'stft 12.5', 'ltft 18.8', 'engine-speed 1750', 'vehicle-speed 64.37'],
  ],
  ['battery', 'battery voltage 12.4 V, 14.2 V running', ['battery-voltage 12.4', 'battery-voltage 14.2']],
  ['timing', 'ignition timing 10 degrees BTDC at idle', ['ignition-advance 10 idle']],
  [
    'catalyst temperatures',
    'cat inlet temperature 350C, outlet 420C',
    ['catalyst-temperature 350', 'catalyst-temperature 420'],
  ],
  ['grams per mile', 'CO 12.5 gpm on the dyno', ['gas-mass 7.767']],
  ['all capitals', 'LTFT B1 AT 24 PERCENT AT IDLE', ['ltft 24 b1 idle']],
  ['full-width digits', 'LTFT \uff12\uff12\uff05', ['ltft 22']],
  ['was and now', 'LTFT was 25 before the repair and is 4 now', ['ltft 25 before', 'ltft 4']],
  [
    'a bank and a condition before two trims',
    'bank 1 idle STFT +1 LTFT +9, bank 2 idle STFT -11 LTFT -12',
    ['stft 1 b1 idle', 'ltft 9 b1 idle', 'stft -11 b2 idle', 'ltft -12 b2 idle'],
  ],
  [
    'the figure before its name, both banks',
    '-16 on LTFT both banks at idle',
    ['ltft -16 b1 idle', 'ltft -16 b2 idle'],
  ],
  [
    'a condition behind some words',
    'LTFT is -17 at idle and goes to -3 when I hold it at 2500',
    ['ltft -17 idle', 'ltft -3 2500rpm'],
  ],
  [
    'revved to a speed',
    'short term at idle is 2. Rev it to 3000 and short goes to +16 with long at 7',
    ['stft 2 idle', 'stft 16 2500rpm', 'ltft 7 2500rpm'],
  ],
  ['a pair over two banks', 'B1/B2: LTFT 11/13', ['ltft 11 b1', 'ltft 13 b2']],
  ['a pair before its banks', 'LTFT 11% and 13% on B1 and B2', ['ltft 11 b1', 'ltft 13 b2']],
  ['two banks in words', 'LTFT on bank 1 and bank 2 are 11 and 13', ['ltft 11 b1', 'ltft 13 b2']],
  [
    'pairs under two names',
    'STFT/LTFT idle 4/16, 1600 rpm 2/8, 2500 rpm 1/5',
    [
      'stft 4 idle',
      'ltft 16 idle',
      'stft 2',
      'ltft 8',
      'engine-speed 1600',
      'stft 1 2500rpm',
      'ltft 5 2500rpm',
      'engine-speed 2500',
    ],
  ],
  [
    'pairs in the order of the trims before',
    'Bank 1 short 1.6 / long 17.2. At 2500 it goes to 2.3 / 9.4 on bank 1 and 0.8 / 8.6 on bank 2.',
    [
      'stft 1.6 b1',
      'ltft 17.2 b1',
      'stft 2.3 b1 2500rpm',
      'ltft 9.4 b1 2500rpm',
      'stft 0.8 b2 2500rpm',
      'ltft 8.6 b2 2500rpm',
    ],
  ],
  [
    'the other bank without names',
    'On bank two short term is 24 and long term 23; bank one is -2 and -4.',
    ['stft 24 b2', 'ltft 23 b2', 'stft -2 b1', 'ltft -4 b1'],
  ],
  ['a short and a long trim joined', 'short and long term trims are 4 and 16 at idle', ['stft 4 idle', 'ltft 16 idle']],
  ['a fraction of a tank is no pair', 'LTFT 12 with 1/4 tank left', ['ltft 12']],
  ['a date is no pair', 'LTFT 12 since 10/12', ['ltft 12']],
  ['an air meter without unit', 'MAF idle 3.6, 2500 15.1', ['air-flow 3.6 idle', 'air-flow 15.1 2500rpm']],
  [
    'a list closed by its condition',
    'HC: 410, CO: 5.1, CO2: 10.3, O2: 0.5 at idle; HC: 120, CO: 1.7, CO2: 13.1, O2: 0.4 at 2500.',
    [
      'gas-hc 410 idle',
      'gas-co 5.1 idle',
      'gas-co2 10.3 idle',
      'gas-o2 0.5 idle',
      'gas-hc 120 2500rpm',
      'gas-co 1.7 2500rpm',
      'gas-co2 13.1 2500rpm',
      'gas-o2 0.4 2500rpm',
    ],
  ],
  [
    'a gauge of the mixture',
    'B1S1 AFR gauge 15.7 at idle and 14.6 cruising',
    ['air-fuel-ratio 15.7 b1 s1 idle', 'air-fuel-ratio 14.6 b1 s1 cruise'],
  ],
  [
    'a test that reads lambda at fast idle only',
    'MOT failed. First test CO 1.52% (limit 0.3%), lambda 0.961. HC was 11 ppm.',
    ['gas-co 1.52 2500rpm', 'lambda 0.961 2500rpm', 'gas-hc 11 2500rpm'],
  ],
  ['lambda beside a test is of no run', 'Passed its MOT. Scanner shows lambda 0.98', ['lambda 0.98']],
  [
    'the loaded test in one line',
    'Smog: 15 mph HC max 105 ave 26 meas 181 CO max 0.6 ave 0.05 meas 1.31. 25 mph HC max 80 ave 19 meas 133',
    ['vehicle-speed 24.14', 'gas-hc 181 load', 'gas-co 1.31 load', 'vehicle-speed 40.23', 'gas-hc 133 load'],
  ],
  [
    'both banks in short',
    'Long term was +21 on both, now it is +5',
    ['ltft 21 b1 before', 'ltft 21 b2 before', 'ltft 5'],
  ],
  ['a bank behind a comma', 'long term neg 19, short term neg 5, bank 1.', ['ltft -19 b1', 'stft -5 b1']],
  ['a question inside brackets', 'LTFT +24 at idle (maxed?), +7 at 2500', ['ltft 24 idle', 'ltft 7 2500rpm']],
  [
    'millivolts of two banks',
    'O2 sensors: running, bank 2 stays at 440 mV while bank 1 switches 110-880mV',
    ['volts 0.44 still b2', 'volts 0.11..0.88 b1'],
  ],
  [
    'a running engine after the key',
    'Key on engine off both O2 sensors read 460mV, with it running B1S1 is 0.1 V',
    ['volts 0.46 key-on', 'volts 0.1 b1 s1'],
  ],
  ['a time before its name', 'the o2 takes 340 ms to go from rich to lean', ['edge-time 340']],
  [
    'a bank that a semicolon carries on',
    'Trims on b2: idle 20.3 long / 2.3 short; at 2000 rpm 10.9 long / 0.8 short. B1: idle -1.6 long / 0.8 short.',
    [
      'ltft 20.3 b2 idle',
      'stft 2.3 b2 idle',
      'ltft 10.9 b2 2500rpm',
      'stft 0.8 b2 2500rpm',
      'engine-speed 2000',
      'ltft -1.6 b1 idle',
      'stft 0.8 b1 idle',
    ],
  ],
  [
    'banks in order and a pair behind',
    'STFT B1 13, B2 12, LTFT 6/7',
    ['stft 13 b1', 'stft 12 b2', 'ltft 6 b1', 'ltft 7 b2'],
  ],
  [
    'a speed that heads a sentence',
    'Idle: HC 14 ppm, CO 0.02 %. 2700rpm: HC 8 ppm, CO 0.01 %.',
    ['gas-hc 14 idle', 'gas-co 0.02 idle', 'gas-hc 8 2500rpm', 'gas-co 0.01 2500rpm', 'engine-speed 2700'],
  ],
  [
    'only what it became under a condition',
    'Manifold vacuum drops from 18 to 7 inHg when held at 2500',
    ['manifold-pressure 40.37 before', 'manifold-pressure 77.62 2500rpm'],
  ],
  ['a vacuum in inches', 'vac gauge 19 inches steady', ['manifold-pressure 36.98']],
  ['an idle air flow', 'Idle air flow 2.7 g/s on a 2.4', ['air-flow 2.7 idle']],
  [
    'the place of the sentence before',
    'Replaced bank 1 sensor 2 sensor. Voltage there was 1.1V all the time, new one shows 0.7',
    ['volts 1.1 still b1 s2', 'volts 0.7 b1 s2'],
  ],
  [
    'a swing without its name beside it',
    'LTFT 2.3, both sensors look fine, 0.1 to 0.9',
    ['ltft 2.3', 'volts 0.1..0.9'],
  ],
  [
    'a consumption that used to be',
    'It takes 13.8 l/100 in town out of a 1.6 that used to do 9',
    ['fuel-consumption 13.8', 'fuel-consumption 9 before'],
  ],
  ['a sensor that follows another', 'B1S2 follows B1S1, about 0.1 to 0.8 V', ['volts 0.1..0.8 b1 s2']],
  ['number words among factors', 'STFT 1.01 and LTFT minus four', ['stft 1.01', 'ltft -4']],
  [
    'a condition that a semicolon carries on',
    'Idle: HC 185 limit 100; CO 0.31 limit 1.0; O2 1.9; CO2 13.7 on the smog sheet',
    ['gas-hc 185 idle', 'gas-co 0.31 idle', 'gas-o2 1.9 idle', 'gas-co2 13.7 idle'],
  ],
  [
    'full throttle behind its figure',
    'MAF at idle 1.5 g/s and only 63 g/s at full throttle.',
    ['air-flow 1.5 idle', 'air-flow 63 load'],
  ],
  ['a trim that idle drops', 'LTFT at idle drops to 4', ['ltft 4 idle']],
  ['an idle that drops', 'Idle drops to 560 with the fan on', ['engine-speed 560 idle']],
  ['a swing of a bank', 'O2 sensors: bank 1 0.1-0.9 and bank 2 0.2-0.8', ['volts 0.1..0.9 b1', 'volts 0.2..0.8 b2']],
  ['thousands that stand alone', 'Failed the MOT on CO. 78k.', ['distance 125500']],
  ['an idle speed when cold', 'Idle 1400 rpm when cold', ['engine-speed 1400 cold']],
  ['lambda with a thousands-like comma', 'Lambda 1,014 at fast idle', ['lambda 1.014 2500rpm']],
];

describe('readings', () => {
  it.each(rows)('reads %s', (_what, text, expected) => {
    expect(readingsOf(text).sort()).toEqual([...expected].sort());
  });

  it('turns what physics forbids into a conflict with a question', () => {
    for (const text of ['CO = 205 %', 'CO2 40%', 'it revs to 18000 rpm', 'STFT 140%']) {
      const result = readWith([readReadings], text, knowledge);
      expect(result.findings).toEqual([]);
      expect(result.conflicts).toHaveLength(1);
      expect(result.conflicts[0]!.question).toMatch(/\?/);
    }
  });
});

describe('a signal that stands still', () => {
  // The wording is that of workshops (common practice): a stuck signal has no range, a bare figure may be a moment of a swinging one.
  it.each([
    ['B1S1 stuck at 0.45 V', [0.45, 0.45]],
    ['O2 sensor reads 0.45 V all the time', [0.45, 0.45]],
    ['front sensor flat at 0.1 volts', [0.1, 0.1]],
    ['b1s1 0.12v and never moves', [0.12, 0.12]],
    ['rear o2 steady 0.7 V', [0.7, 0.7]],
    ['front o2 is not stuck, 0.45 V', null],
    ['B1S1 0.45 V at idle', null],
    ['front sensor switches 0.1 to 0.9', [0.1, 0.9]],
  ])('in %j has the range %j', (text, range) => {
    const { findings } = readPost(text, emptyCase, knowledge);
    const voltage = findings.find((finding) => finding.kind === 'reading' && finding.quantity === 'sensor-voltage');
    expect(voltage).toMatchObject({ range });
    expect(findings.some(({ kind }) => kind === 'work-done')).toBe(false);
  });
});
