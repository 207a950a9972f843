// On-board replies in hexadecimal, against the standard's examples and against replies decoded by others.
import { describe, expect, it } from 'vitest';
import { codeFromBytes } from '../../src/calculators/on-board/trouble-code-bytes.ts';
import { readBytes } from '../../src/intake/read-bytes.ts';
import { loadFiguresKnowledge } from './figures-knowledge.ts';
import { readWith } from './read-figures.ts';

const knowledge = loadFiguresKnowledge();
const read = (text: string) =>
  readWith([readBytes], text, knowledge).findings.map((finding) =>
    finding.kind === 'reading'
      ? `${finding.quantity} ${finding.value}${finding.bank ? ` b${finding.bank}` : ''}${finding.sensor ? `s${finding.sensor}` : ''}`
      : finding.kind === 'code'
        ? `${finding.code} ${finding.status}`
        : finding.kind,
  );

const standard = 'SAE J1979, parameter table (from memory)';
const libraries =
  'unit tests of kotlin-obd-api (commit 5ea8605) and aws-iot-fleetwise-edge (commit 15e20f3), Apache-2.0';
const community = 'OBDb Ford-F-150 test cases (commit 090509f), CC BY-SA 4.0';

describe('on-board replies', () => {
  it.each([
    { text: '41 0C 1A F8', expected: ['engine-speed 1726'], from: standard },
    { text: '410499', expected: ['engine-load 60'], from: libraries },
    { text: '7E804410C0EA3', expected: ['engine-speed 936.75'], from: community },
    { text: '7E803410666', expected: ['short-term-trim -20.3125 b1'], from: community },
    { text: '7E803410E82', expected: ['ignition-advance 1'], from: community },
    { text: '7E804413D0EDF', expected: ['catalyst-temperature 340.7 b2s1'], from: community },
    {
      text: '7E8064134FDAF811B',
      expected: ['lambda 1.98190308 b1s1', 'pump-current 1.10546875 b1s1'],
      from: community,
    },
    { text: '41 14 5A FF', expected: ['sensor-voltage 0.45 b1s1'], from: `${standard}: FF, not used for trim` },
    {
      text: '>0106\n410680\n>0107\n41 07 A0',
      expected: ['short-term-trim 0 b1', 'long-term-trim 25 b1'],
      from: standard,
    },
    {
      text: '48 6B 10 41 0C 1A F8 22',
      expected: ['engine-speed 1726'],
      from: 'ISO 14230 / J1850 header of three bytes and a checksum (from memory)',
    },
    { text: '43 01 03 01 04 00 00', expected: ['P0103 stored', 'P0104 stored'], from: libraries },
    { text: '430201200121', expected: ['P0120 stored', 'P0121 stored'], from: libraries },
    {
      text: '00A\n0:430401080118\n1:011901200000',
      expected: ['P0108 stored', 'P0118 stored', 'P0119 stored', 'P0120 stored'],
      from: libraries,
    },
    {
      text: '4300035104A1AB\n43F10600000000',
      expected: ['P0003 stored', 'C1104 stored', 'B21AB stored', 'U3106 stored'],
      from: libraries,
    },
    { text: '47010301040105', expected: ['P0103 pending', 'P0104 pending', 'P0105 pending'], from: libraries },
    { text: '4A0201200121', expected: ['P0120 permanent', 'P0121 permanent'], from: libraries },
    { text: '4300', expected: ['code-list'], from: libraries },
    { text: 'it answers 41 05 7B when warm', expected: ['coolant-temperature 83'], from: standard },
    {
      text: '7E8 04 41 0C 1A F8\n7E9 04 41 0C 1B 00',
      expected: ['engine-speed 1726'],
      from: 'the engine unit answers for the engine',
    },
    { text: 'NO DATA\nCAN ERROR\n?', expected: [], from: 'adapter messages' },
    { text: 'The numbers are 41 12 15 and 43 44 45', expected: [], from: 'plain figures are left alone' },
  ])('reads $text', ({ text, expected }) => {
    expect(read(text)).toEqual(expected);
  });

  it.each([
    [0x01, 0x71, 'P0171'],
    [0x51, 0x04, 'C1104'],
    [0xa1, 0xab, 'B21AB'],
    [0xf1, 0x06, 'U3106'],
    [0, 0, null],
  ])('decodes the code bytes %i %i', (high, low, code) => {
    expect(codeFromBytes(high, low)).toBe(code);
  });
});
