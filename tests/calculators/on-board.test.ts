// On-board data both ways, and replies that are cut short, padded, echoed or not replies at all.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeParameter } from '../../src/calculators/on-board/decode-parameter.ts';
import { decodeReply } from '../../src/calculators/on-board/decode-reply.ts';
import { encodeParameter } from '../../src/calculators/on-board/encode-parameter.ts';
import {
  decodeFuelSystem,
  decodeSensorsPresent,
  encodeFuelSystem,
  encodeSensorsPresent,
} from '../../src/calculators/on-board/enumerated-bytes.ts';
import { joinFrames } from '../../src/calculators/on-board/join-frames.ts';
import { decodeReadiness, encodeReadiness } from '../../src/calculators/on-board/monitor-readiness.ts';
import { decodeMonitorTests } from '../../src/calculators/on-board/monitor-test.ts';
import { parameterIds, parameterOf } from '../../src/calculators/on-board/parameters.ts';
import {
  bytesFromCode,
  codeFromBytes,
  decodeCodes,
  encodeCodes,
} from '../../src/calculators/on-board/trouble-code-bytes.ts';
import { quantities } from '../../src/vocabulary/quantities.ts';

const byte = fc.integer({ min: 0, max: 255 });

describe('live data', () => {
  it('comes back as the same bytes, for every parameter', () => {
    fc.assert(
      fc.property(fc.constantFrom(...parameterIds), fc.array(byte, { minLength: 4, maxLength: 4 }), (id, bytes) => {
        const parameter = parameterOf(id)!;
        const data = bytes.slice(0, parameter.length);
        const decoded = decodeParameter(id, data);
        if (!decoded.valid) throw new Error(decoded.because);
        // A figure that says "none" is left out and must be put back as null.
        const values = parameter.fields.map(
          (field) => decoded.value.find((figure) => figure.name === field.name)?.value ?? null,
        );
        const encoded = encodeParameter(id, values);
        expect(encoded).toEqual({ valid: true, value: data });
      }),
      { numRuns: 500 },
    );
  });

  it('has the vocabulary’s unit wherever it names one of its quantities', () => {
    for (const id of parameterIds) {
      for (const field of parameterOf(id)!.fields)
        if (field.quantity !== null) expect([id, field.unit]).toEqual([id, quantities[field.quantity].unit]);
    }
  });

  it('numbers sensors by the layout that the car states', () => {
    expect(parameterOf(0x16)!.fields[0]).toMatchObject({ bank: 1, sensor: 3 });
    expect(parameterOf(0x16, 'four-banks')!.fields[0]).toMatchObject({ bank: 2, sensor: 1 });
    expect(parameterOf(0x3b)!.fields[0]).toMatchObject({ bank: 2, sensor: 4 });
    expect(parameterOf(0x3b, 'four-banks')!.fields[0]).toMatchObject({ bank: 4, sensor: 2 });
  });

  it('leaves out a trim that the sensor is not used for', () => {
    const decoded = decodeParameter(0x15, [0x1e, 0xff]);
    expect(decoded.valid && decoded.value.map((figure) => figure.value)).toEqual([0.15]);
  });

  it('marks figures that stand for a missing input', () => {
    const trim = decodeParameter(0x07, [0xff]);
    expect(trim.valid && trim.placeholder).toEqual(['long-term trim']);
    const coolant = decodeParameter(0x05, [0x7b]);
    expect(coolant.valid && coolant.placeholder).toEqual([]);
  });

  it.each([
    ['a parameter that is not standard', 0xf0, [1]],
    ['too few bytes', 0x0c, [0x1a]],
    ['a byte above 255', 0x05, [300]],
    ['a byte that is no number', 0x05, [Number.NaN]],
  ])('is refused for %s', (_name, id, bytes) => {
    expect(decodeParameter(id, bytes).valid).toBe(false);
  });

  it('is refused the other way when it does not fit', () => {
    expect(encodeParameter(0x05, [300]).valid).toBe(false);
    expect(encodeParameter(0x05, [Number.NaN]).valid).toBe(false);
    expect(encodeParameter(0x05, [null]).valid).toBe(false);
    expect(encodeParameter(0x05, []).valid).toBe(false);
  });
});

describe('a whole reply', () => {
  it('may hold several parameters, with bit fields between them', () => {
    const reply = decodeReply([0x41, 0x0c, 0x1a, 0xf8, 0x03, 0x02, 0x00, 0x05, 0x7b]);
    expect(reply.valid && reply.value.map((item) => [item.parameter, item.figures[0]!.value])).toEqual([
      [0x0c, 1726],
      [0x05, 83],
    ]);
  });

  it('of a freeze frame has the frame’s number behind each parameter', () => {
    const reply = decodeReply([0x42, 0x0c, 0x00, 0x0b, 0x54, 0x05, 0x00, 0x7b]);
    expect(reply.valid && reply.frame).toBe(0);
    expect(reply.valid && reply.value.map((item) => item.figures[0]!.value)).toEqual([725, 83]);
  });

  it.each([
    ['a refusal', [0x7f, 0x01, 0x12]],
    ['nothing', []],
    ['an unknown parameter', [0x41, 0xf0, 1, 2]],
  ])('is refused for %s', (_name, bytes) => {
    expect(decodeReply(bytes).valid).toBe(false);
  });
});

describe('lines of a reply', () => {
  it('keeps the control units apart', () => {
    const joined = joinFrames(['0105', '7E8 03 41 05 7B', '7E9 03 41 05 7C', 'NO DATA', '>']);
    expect(joined.valid && joined.value).toEqual([
      { unit: '7e8', bytes: [0x41, 0x05, 0x7b] },
      { unit: '7e9', bytes: [0x41, 0x05, 0x7c] },
    ]);
  });

  it('refuses a long reply with a frame missing', () => {
    expect(joinFrames(['7E8 10 0A 43 04 01 08 01 18']).valid).toBe(false);
    expect(joinFrames(['7E8 10 14 49 02 01 31 44 34', '7E8 22 47 50 30 30 52 35 35']).valid).toBe(false);
  });

  it('takes a long reply of more than sixteen frames', () => {
    const payload = Array.from({ length: 130 }, (_, index) => index & 255);
    payload[0] = 0x49;
    const hex = (bytes: number[]) => bytes.map((value) => value.toString(16).padStart(2, '0')).join(' ');
    const lines = [`7E8 10 82 ${hex(payload.slice(0, 6))}`];
    for (let at = 6, sequence = 1; at < payload.length; at += 7, sequence = (sequence + 1) & 15)
      lines.push(`7E8 ${hex([0x20 + sequence])} ${hex(payload.slice(at, at + 7))}`);
    expect(joinFrames(lines)).toEqual({ valid: true, value: [{ unit: '7e8', bytes: payload }] });
  });

  it('never throws, whatever the lines are', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ maxLength: 60 }), { maxLength: 30 }), (lines) => {
        expect(typeof joinFrames(lines).valid).toBe('boolean');
      }),
    );
    fc.assert(
      fc.property(fc.array(fc.array(byte, { maxLength: 12 }), { maxLength: 20 }), (frames) => {
        const lines = frames.map((frame) => `7E8${frame.map((value) => value.toString(16).padStart(2, '0')).join('')}`);
        const joined = joinFrames(lines);
        if (joined.valid) {
          for (const { bytes } of joined.value) {
            decodeReply(bytes);
            decodeCodes(bytes);
            decodeMonitorTests(bytes);
          }
        }
      }),
    );
  });
});

describe('trouble codes', () => {
  it('come back from their two bytes, all of them', () => {
    for (let high = 0; high < 256; high += 1) {
      for (const low of [0, 1, 0x71, 0xa5, 0xff]) {
        const code = codeFromBytes(high, low);
        if (code === null) continue;
        expect(bytesFromCode(code)).toEqual({ valid: true, value: [high, low] });
      }
    }
    expect(codeFromBytes(0, 0)).toBeNull();
  });

  it('come back from a reply that lists them', () => {
    const codes = fc.array(
      fc
        .tuple(byte, byte)
        .filter(([high, low]) => high + low > 0)
        .map(([high, low]) => codeFromBytes(high, low)!),
      { maxLength: 40 },
    );
    fc.assert(
      fc.property(codes, fc.constantFrom(0x43, 0x47, 0x4a as const), (list, service) => {
        const unique = [...new Set(list)];
        const payload = encodeCodes(unique, service as 0x43);
        if (!payload.valid) throw new Error(payload.because);
        const decoded = decodeCodes(payload.value);
        expect(decoded.valid && decoded.value).toEqual(unique);
        expect(decoded.valid && decoded.announced).toBe(unique.length);
      }),
    );
  });

  it.each(['P4171', 'X0171', 'p0171', 'P017', 'P01711', 'P0G71', ''])('are refused in the form %s', (code) => {
    expect(bytesFromCode(code).valid).toBe(false);
  });

  it('are refused when the reply announces more than it holds', () => {
    expect(decodeCodes([0x43, 3, 1, 0x71, 4, 0x20]).valid).toBe(false);
    expect(decodeCodes([0x41, 0]).valid).toBe(false);
    expect(decodeCodes([]).valid).toBe(false);
  });
});

describe('bit fields', () => {
  it('of readiness come back', () => {
    fc.assert(
      fc.property(byte, byte, byte, byte, (a, b, c, d) => {
        const state = decodeReadiness([a, b, c, d]);
        if (!state.valid) throw new Error(state.because);
        const bytes = encodeReadiness(state.value);
        if (!bytes.valid) throw new Error(bytes.because);
        // Bits of tests that the car does not have carry nothing, so the state is compared and not the bytes.
        expect(decodeReadiness(bytes.value)).toEqual(state);
      }),
    );
  });

  it('say that a set bit means not finished (SAE J1979)', () => {
    const state = decodeReadiness([0x82, 0x07, 0x65, 0x04]);
    if (!state.valid) throw new Error(state.because);
    expect(state.value).toMatchObject({ lampOn: true, codes: 2, ignition: 'spark' });
    expect(state.unfinished).toEqual(['evap']);
    const three = decodeReadiness([0x81, 0x07, 0xe5, 0xa5]);
    expect(three.valid && three.unfinished).toEqual(['catalyst', 'evap', 'oxygen-sensor', 'egr']);
  });

  it('of fuel system and sensors come back', () => {
    for (const first of [0, 1, 2, 4, 8, 16]) {
      const status = decodeFuelSystem([first, 0]);
      if (!status.valid) throw new Error(status.because);
      expect(encodeFuelSystem(status.value)).toEqual({ valid: true, value: [first, 0] });
    }
    for (let value = 0; value < 256; value += 1) {
      for (const parameter of [0x13, 0x1d] as const) {
        const places = decodeSensorsPresent(parameter, value);
        if (!places.valid) throw new Error(places.because);
        expect(encodeSensorsPresent(parameter, places.value)).toEqual({ valid: true, value });
      }
    }
  });

  it('are refused when more than one status is set or bytes are missing', () => {
    expect(decodeFuelSystem([3, 0]).valid).toBe(false);
    expect(decodeFuelSystem([]).valid).toBe(false);
    expect(decodeReadiness([1, 2, 3]).valid).toBe(false);
    expect(decodeSensorsPresent(0x13, 256).valid).toBe(false);
  });
});
