// Tables of figures with and without their line ends. Layouts: common practice of emission test sheets and of posts.
import { describe, expect, it } from 'vitest';
import { readReadings } from '../../src/intake/read-readings.ts';
import { readTables } from '../../src/intake/read-tables.ts';
import { loadFiguresKnowledge } from './figures-knowledge.ts';
import { readWith } from './read-figures.ts';

const knowledge = loadFiguresKnowledge();
const read = (text: string) =>
  readWith([readTables, readReadings], text, knowledge)
    .findings.flatMap((finding) =>
      finding.kind === 'reading'
        ? [
            [
              finding.quantity,
              finding.value,
              finding.bank ? `b${finding.bank}` : '',
              finding.when ?? '',
              finding.time === 'before' ? 'before' : '',
            ]
              .filter((part) => part !== '')
              .join(' '),
          ]
        : [],
    )
    .sort();

const dynamometer =
  'RPM %CO2 %O2 HC(PPM) CO(%) NO(PPM)\nMEAS MEAS MEAS MAX AVE MEAS MAX AVE MEAS MAX AVE MEAS\n15 mph 1850 14.6 0.2 68 15 90 0.52 0.04 0.30 700 200 1100\n25 mph 1902 14.8 0.1 50 12 44 0.46 0.05 0.11 690 180 300';
const dynamometerReadings = [
  'engine-speed 1850 load',
  'engine-speed 1902 load',
  'gas-co 0.11 load',
  'gas-co 0.3 load',
  'gas-co2 14.6 load',
  'gas-co2 14.8 load',
  'gas-hc 44 load',
  'gas-hc 90 load',
  'gas-nox 1100 load',
  'gas-nox 300 load',
  'gas-o2 0.1 load',
  'gas-o2 0.2 load',
];

describe('tables', () => {
  it.each([
    ['names over columns with limit, average and measured', dynamometer, dynamometerReadings],
    ['the same squeezed into one line', dynamometer.replaceAll('\n', ' '), dynamometerReadings],
    [
      'limit and reading columns',
      'Limit Reading Result\nHC 220 45 PASS\nCO 1.20 2.03 FAIL',
      ['gas-co 2.03', 'gas-hc 45'],
    ],
    [
      'the same squeezed into one line',
      'Limit Reading Result HC 220 45 PASS CO 1.20 2.03 FAIL',
      ['gas-co 2.03', 'gas-hc 45'],
    ],
    ['reading before limit', 'Reading Limit\nHC 45 220\nCO 2.03 1.20', ['gas-co 2.03', 'gas-hc 45']],
    [
      'conditions over columns',
      '        Idle   2500 rpm\nCO %    0.5    0.3\nHC ppm  120    80',
      ['gas-co 0.3 2500rpm', 'gas-co 0.5 idle', 'gas-hc 120 idle', 'gas-hc 80 2500rpm'],
    ],
    [
      'banks over columns',
      'Bank 1 | Bank 2\nSTFT 3 | 5\nLTFT 12 | 2',
      ['long-term-trim 12 b1', 'long-term-trim 2 b2', 'short-term-trim 3 b1', 'short-term-trim 5 b2'],
    ],
    [
      'before and after',
      'before after\nCO 4.5 0.3\nHC 300 40',
      ['gas-co 0.3', 'gas-co 4.5 before', 'gas-hc 300 before', 'gas-hc 40'],
    ],
    [
      'roles before each figure',
      'Smog: HC(PPM) MAX 68 AVE 15 MEAS 90 CO(%) MAX .52 AVE .04 MEAS .30',
      ['gas-co 0.3', 'gas-hc 90'],
    ],
    [
      'figures with their limits in brackets',
      'Fast idle: CO 0.45 FAIL (0.30), HC 26 ppm PASS (200), Lambda 1.014 PASS',
      ['gas-co 0.45 2500rpm', 'gas-hc 26 2500rpm', 'lambda 1.014 2500rpm'],
    ],
    [
      'conditions over rows of limit and reading, in one line',
      'Test RPM Limit Reading Result Idle CO 1.00 0.03 PASS HC 220 35 PASS CO2 14.8 2500 CO 1.00 1.45 FAIL HC 220 88 PASS CO2 13.7',
      [
        'gas-co 0.03 idle',
        'gas-co 1.45 2500rpm',
        'gas-co2 13.7 2500rpm',
        'gas-co2 14.8 idle',
        'gas-hc 35 idle',
        'gas-hc 88 2500rpm',
      ],
    ],
    [
      'banks over columns with a remark behind, in one line',
      'Bank 1 Bank 2 / STFT 3.1 -1.6 / LTFT 19.5 2.3 / O2S1 0.12 0.48 - all at hot idle.',
      [
        'long-term-trim 19.5 b1 idle',
        'long-term-trim 2.3 b2 idle',
        'sensor-voltage 0.12 b1 idle',
        'sensor-voltage 0.48 b2 idle',
        'short-term-trim -1.6 b2 idle',
        'short-term-trim 3.1 b1 idle',
      ],
    ],
    [
      'banks before rows of two trims',
      'STFT LTFT\nB1 4 13\nB2 1 15',
      ['long-term-trim 13 b1', 'long-term-trim 15 b2', 'short-term-trim 1 b2', 'short-term-trim 4 b1'],
    ],
    [
      'a slow and a fast test',
      'HC CO CO2 O2\nSlow 205 1.3 13.8 0.9\nFast 75 0.2 14.6 0.5',
      [
        'gas-co 0.2 2500rpm',
        'gas-co 1.3 idle',
        'gas-co2 13.8 idle',
        'gas-co2 14.6 2500rpm',
        'gas-hc 205 idle',
        'gas-hc 75 2500rpm',
        'gas-o2 0.5 2500rpm',
        'gas-o2 0.9 idle',
      ],
    ],
    [
      'two names in a sentence',
      'The STFT and LTFT at idle 2 and 14',
      ['long-term-trim 14 idle', 'short-term-trim 2 idle'],
    ],
    ['prose that speaks of limits', 'The limit reading on HC is 220 and I got HC 45', ['gas-hc 45']],
  ])('reads %s', (_what, text, expected) => {
    expect(read(text)).toEqual([...expected].sort());
  });

  it('turns an impossible cell into a conflict', () => {
    const { conflicts } = readWith([readTables], 'Limit Reading\nHC 220 45\nCO 1.2 205', knowledge);
    expect(conflicts).toHaveLength(1);
    expect(conflicts[0]!.quote).toBe('205');
  });
});
