// Service 06 on CAN: results of the control unit's own tests with their limits, eight bytes a test.
import { type Result, refuse } from '../result.ts';

export interface MonitorTest {
  readonly monitor: number;
  readonly test: number;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly unit: string;
  readonly passed: boolean;
  /** What the monitor watches, where the standard says so. */
  readonly about: string;
}

/** Scale of each unit id: unit, step, offset. From 0x80 the same ids count signed. Source: sae-j1979, unit and scaling ids. */
const scales = new Map<number, { unit: string; step: number; add?: number }>([
  [0x01, { unit: '1', step: 1 }],
  [0x02, { unit: '1', step: 0.1 }],
  [0x03, { unit: '1', step: 0.01 }],
  [0x04, { unit: '1', step: 0.001 }],
  [0x05, { unit: '1', step: 0.0000305 }],
  [0x0a, { unit: 'V', step: 0.000122 }],
  [0x0b, { unit: 'V', step: 0.001 }],
  [0x0c, { unit: 'V', step: 0.01 }],
  [0x0d, { unit: 'mA', step: 0.00390625 }],
  [0x10, { unit: 'ms', step: 1 }],
  [0x11, { unit: 'ms', step: 100 }],
  [0x12, { unit: 's', step: 1 }],
  [0x13, { unit: 'ohm', step: 0.001 }],
  [0x14, { unit: 'ohm', step: 1 }],
  [0x16, { unit: 'degC', step: 0.1, add: -40 }],
  [0x19, { unit: 'kPa', step: 0.079 }],
  [0x1e, { unit: 'lambda', step: 0.0000305 }],
  [0x20, { unit: 'ratio', step: 0.0039062 }],
  [0x24, { unit: 'counts', step: 1 }],
  [0x27, { unit: 'g/s', step: 0.01 }],
]);

/**
 * @param payload beginning with 46: then monitor, test, unit id, value (2), lowest (2), highest (2) for each test
 * @returns the tests; one passes when lowest <= value <= highest. A test whose unit id is the maker's own is left out. Refused when none is left
 * Source: sae-j1979, service 06 on CAN.
 */
export function decodeMonitorTests(payload: readonly number[]): Result<MonitorTest[]> {
  if (payload[0] !== 0x46) return refuse('This is no reply with test results.');
  const value: MonitorTest[] = [];
  for (let at = 1; at + 9 <= payload.length; at += 9) {
    const unitId = payload[at + 2]!;
    const scale = scales.get(unitId & 0x7f);
    if (!scale) continue;
    const isSigned = unitId >= 0x80;
    const scaled = (offset: number) => {
      const raw = 256 * payload[at + offset]! + payload[at + offset + 1]!;
      return (isSigned && raw >= 0x8000 ? raw - 0x1_0000 : raw) * scale.step + (scale.add ?? 0);
    };
    const [result, low, high] = [scaled(3), scaled(5), scaled(7)];
    value.push({
      monitor: payload[at]!,
      test: payload[at + 1]!,
      value: result,
      low,
      high,
      unit: scale.unit,
      passed: result >= low && result <= high,
      about: aboutMonitor(payload[at]!),
    });
  }
  return value.length === 0
    ? refuse('There is no test result in this reply that the standard explains.')
    : { valid: true, value };
}

/** What each monitor id watches. Source: sae-j1979, monitor ids. */
function aboutMonitor(id: number): string {
  if (id >= 0x01 && id <= 0x10) return `oxygen sensor bank ${1 + ((id - 1) >> 2)} sensor ${1 + ((id - 1) & 3)}`;
  if (id >= 0x21 && id <= 0x24) return `catalyst bank ${id - 0x20}`;
  if (id >= 0x31 && id <= 0x34) return `exhaust recirculation bank ${id - 0x30}`;
  if (id >= 0x39 && id <= 0x3d) return 'fuel-vapour system';
  if (id >= 0x41 && id <= 0x50)
    return `heater of oxygen sensor bank ${1 + ((id - 0x41) >> 2)} sensor ${1 + ((id - 0x41) & 3)}`;
  if (id >= 0x71 && id <= 0x74) return 'secondary air';
  if (id >= 0x81 && id <= 0x84) return `fuel system bank ${id - 0x80}`;
  if (id === 0xa1) return 'misfire, all cylinders';
  if (id >= 0xa2 && id <= 0xad) return `misfire cylinder ${id - 0xa1}`;
  return 'a test of the maker';
}
