// On-board data against replies that others recorded and decoded, and the standard's own examples.

import { decodeParameter } from '../../../src/calculators/on-board/decode-parameter.ts';
import { decodeReply } from '../../../src/calculators/on-board/decode-reply.ts';
import {
  decodeFuelSystem,
  decodeFuelType,
  decodeSensorsPresent,
  decodeStandard,
} from '../../../src/calculators/on-board/enumerated-bytes.ts';
import { joinFrames } from '../../../src/calculators/on-board/join-frames.ts';
import { decodeReadiness } from '../../../src/calculators/on-board/monitor-readiness.ts';
import { decodeMonitorTests } from '../../../src/calculators/on-board/monitor-test.ts';
import { parameterOf } from '../../../src/calculators/on-board/parameters.ts';
import { bytesFromCode, codeFromBytes, decodeCodes } from '../../../src/calculators/on-board/trouble-code-bytes.ts';
import { readLines } from '../read-data.ts';
import { type Check, take } from './check.ts';

const vectors = readLines<{ reply: string; pid: string; decoded: Record<string, unknown> }>(
  'obd-replies-plain/vectors.jsonl',
);
const codeVectors = readLines<{ reply: string[]; codes: string[] }>('obd-replies-plain/codes.jsonl');
const recorded = 'obd-replies-plain, decoded by others';

/** One check a figure: the decoded figure nearest to the one beside the reply. */
const live: Check[] = vectors
  .filter(({ pid }) => parameterOf(Number.parseInt(pid, 16)) !== null)
  .flatMap(({ reply, decoded }) =>
    Object.entries(decoded)
      .filter((entry): entry is [string, number] => typeof entry[1] === 'number')
      .map(
        ([name, expected]): Check => ({
          calculator: 'decode-reply',
          what: `${reply} ${name}`,
          from: recorded,
          kind: 'recorded',
          got: () => {
            const figures = take(decodeReply(take(joinFrames([reply]))[0]!.bytes)).flatMap((item) => item.figures);
            return figures.reduce(
              (best, { value }) => (Math.abs(value - expected) < Math.abs(best - expected) ? value : best),
              Number.POSITIVE_INFINITY,
            );
          },
          expected,
          tolerance: Math.max(1e-5, 1e-6 * Math.abs(expected)),
          why: 'the recorded figures are rounded to five decimals',
        }),
      ),
  );

const codes: Check[] = codeVectors.map(({ reply, codes: expected }) => ({
  calculator: 'decode-codes',
  what: reply.join(' | '),
  from: recorded,
  kind: 'recorded',
  got: () => {
    const found = take(joinFrames(reply)).flatMap(({ bytes }) => take(decodeCodes(bytes)));
    return JSON.stringify(found) === JSON.stringify(expected) ? 1 : 0;
  },
  expected: 1,
  tolerance: 0,
}));

/** Readiness, all four bytes with the reading of others. */
const readiness: Check[] = vectors
  .filter(({ pid }) => pid === '01')
  .map(({ reply, decoded }) => ({
    calculator: 'decode-readiness',
    what: reply,
    from: recorded,
    kind: 'recorded',
    got: () => {
      const state = take(decodeReadiness(take(joinFrames([reply]))[0]!.bytes.slice(2)));
      const expected: Array<[unknown, unknown]> = [
        [state.lampOn ? 1 : 0, decoded.mil],
        [state.codes, decoded.stored_codes],
        [state.ignition === 'compression' ? 1 : 0, decoded.compression_ignition],
        [state.monitors.misfire === undefined ? 0 : 1, decoded.misfire_supported],
        [state.monitors['fuel-system'] === undefined ? 0 : 1, decoded.fuel_supported],
      ];
      if (state.ignition === 'spark') {
        for (const [name, key] of [
          ['catalyst', 'catalyst'],
          ['evap', 'evap'],
          ['oxygen-sensor', 'oxygen_sensor'],
          ['oxygen-sensor-heater', 'oxygen_heater'],
          ['egr', 'egr'],
        ] as const) {
          const monitor = state.monitors[name];
          expected.push([monitor === undefined ? 0 : 1, decoded[`${key}_supported`]]);
          if (monitor !== undefined) expected.push([monitor ? 0 : 1, decoded[`${key}_incomplete`]]);
        }
      }
      return expected.every(([mine, theirs]) => mine === theirs) ? 1 : 0;
    },
    expected: 1,
    tolerance: 0,
  }));

const standard = 'sae-j1979 / iso-15031-5, tables';
const figure = (id: number, bytes: readonly number[], at = 0) => take(decodeParameter(id, bytes))[at]!.value;
const tabled: Check[] = (
  [
    [
      'real reply 34 7B D1 7F CC, lambda',
      () => figure(0x34, [0x7b, 0xd1, 0x7f, 0xcc]),
      0.9673,
      'a public issue thread',
    ],
    [
      'real reply 34 7B D1 7F CC, current',
      () => figure(0x34, [0x7b, 0xd1, 0x7f, 0xcc], 1),
      -0.203125,
      'a public issue thread',
    ],
    ['lambda of 8000', () => figure(0x24, [0x80, 0, 0, 0]), 0.9994, `${standard}: 0.0000305 a bit`],
    ['rail pressure 0.079 a bit', () => figure(0x22, [0x12, 0xc0]), 379.2, standard],
    ['trim A0 is +25', () => figure(0x06, [0xa0]), 25, standard],
    ['catalyst temperature 1194', () => figure(0x3c, [0x11, 0x94]), 410, standard],
  ] as const
).map(([what, got, expected, from]) => ({
  calculator: 'decode-parameter',
  what,
  from,
  kind: 'from memory',
  got,
  expected,
  tolerance: 0.001,
  why: 'the standard rounds its steps',
}));

const same = (mine: unknown, theirs: unknown) => (JSON.stringify(mine) === JSON.stringify(theirs) ? 1 : 0);
const words: Check[] = (
  [
    ['decode-fuel-system', '02 00 is closed loop', () => same(take(decodeFuelSystem([2, 0])), ['closed-loop', 'off'])],
    [
      'decode-fuel-system',
      '04 is open loop by driving',
      () => same(take(decodeFuelSystem([4, 0]))[0], 'open-loop-driving'),
    ],
    [
      'decode-fuel-system',
      '10 is a sensor fault',
      () => same(take(decodeFuelSystem([0x10, 0]))[0], 'closed-loop-sensor-fault'),
    ],
    [
      'decode-sensors-present',
      '13 33 is two a bank',
      () =>
        same(
          take(decodeSensorsPresent(0x13, 0x33)).map(({ bank, sensor }) => 10 * bank + sensor),
          [11, 12, 21, 22],
        ),
    ],
    [
      'decode-sensors-present',
      '1D 33 is banks 1 and 3',
      () =>
        same(
          take(decodeSensorsPresent(0x1d, 0x33)).map(({ bank, sensor }) => 10 * bank + sensor),
          [11, 12, 31, 32],
        ),
    ],
    ['decode-sensors-present', '13 03 is one bank', () => take(decodeSensorsPresent(0x13, 3)).length / 2],
    ['decode-fuel-type', '01 is petrol', () => same(take(decodeFuelType(1)), 'petrol')],
    ['decode-fuel-type', '04 is diesel', () => same(take(decodeFuelType(4)), 'diesel')],
    ['decode-fuel-type', '0C is bi-fuel on LPG', () => same(take(decodeFuelType(12)), 'bi-fuel on lpg')],
    ['decode-standard', '06 is EOBD', () => same(take(decodeStandard(6)), 'EOBD')],
    ['decode-standard', '01 is OBD II', () => same(take(decodeStandard(1)), 'OBD II (CARB)')],
    ['decode-standard', '0A is JOBD', () => same(take(decodeStandard(10)), 'JOBD')],
    ['code-bytes', '01 71', () => same(codeFromBytes(0x01, 0x71), 'P0171')],
    ['code-bytes', '92 34', () => same(codeFromBytes(0x92, 0x34), 'B1234')],
    ['code-bytes', 'C1 00', () => same(codeFromBytes(0xc1, 0), 'U0100')],
    ['code-bytes', 'P2A00 to bytes', () => same(take(bytesFromCode('P2A00')), [0x2a, 0])],
    [
      'decode-monitor-tests',
      'edge of 70 ms within 120',
      () => {
        const [test] = take(decodeMonitorTests([0x46, 1, 5, 0x10, 0, 0x46, 0, 0, 0, 0x78]));
        return same(
          [test!.value, test!.high, test!.passed, test!.about],
          [70, 120, true, 'oxygen sensor bank 1 sensor 1'],
        );
      },
    ],
    [
      'decode-monitor-tests',
      'signed, over its limit',
      () => {
        const [test] = take(decodeMonitorTests([0x46, 0x21, 0x80, 0x84, 0xff, 0xff, 0, 0, 0, 0x78]));
        return same([test!.passed, test!.value < 0, test!.about], [false, true, 'catalyst bank 1']);
      },
    ],
    [
      'decode-monitor-tests',
      'misfire counts of cylinder 4',
      () => {
        const [test] = take(decodeMonitorTests([0x46, 0xa5, 0x0b, 0x24, 0, 3, 0, 0, 0xff, 0xff]));
        return same([test!.value, test!.about], [3, 'misfire cylinder 4']);
      },
    ],
  ] as const
).map(([calculator, what, got]) => ({
  calculator,
  what,
  from: standard,
  kind: 'from memory',
  got,
  expected: 1,
  tolerance: 0,
}));

const joined: Check[] = (
  [
    ['frames with headers', ['7E8 10 0A 43 04 01 08 01 18', '7E8 21 01 19 01 20 00 00 00'], '43040108011801190120'],
    ['a length line and numbered lines', ['00A', '0:430401080118', '1:011901200000'], '43040108011801190120'],
    ['one short frame with padding', ['7E8 03 41 05 7B 55 55 55 55'], '41057b'],
    ['29-bit headers', ['18 DA F1 10 03 41 05 7B'], '41057b'],
  ] as const
).map(([what, lines, expected]) => ({
  calculator: 'join-frames',
  what,
  from: 'iso-15765-2, frame types',
  kind: 'from memory',
  got: () =>
    same(
      take(joinFrames(lines))[0]!
        .bytes.map((byte) => byte.toString(16).padStart(2, '0'))
        .join(''),
      expected,
    ),
  expected: 1,
  tolerance: 0,
}));

export const onBoardChecks: readonly Check[] = [...live, ...codes, ...readiness, ...tabled, ...words, ...joined];
