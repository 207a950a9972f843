// The stretch of a sensor's signal that a log leaves behind: bounded, evenly spaced, unbroken.
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readPost } from '../../src/intake/read-post.ts';
import { SignalTrace } from '../../src/intake/signal-trace.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';
import type { ReadingFinding } from '../../src/vocabulary/findings.ts';

const knowledge = loadKnowledgeFolder();

/** Feeds rows `every` seconds apart, the value being the time. */
function fed(rows: number, every: number, breaks: readonly number[] = []): ReturnType<SignalTrace['result']> {
  const trace = new SignalTrace();
  for (let row = 0; row < rows; row += 1) trace.add(row * every, row * every, row > 0 && !breaks.includes(row));
  return trace.result();
}

describe('SignalTrace', () => {
  it('keeps every row of a slow log up to 120', () => {
    const trace = fed(500, 1)!;
    expect(trace.values).toEqual(Array.from({ length: 120 }, (_, index) => index));
    expect(trace.seconds).toBe(119);
  });

  it('thins a quick log evenly until it shows fifteen seconds', () => {
    const trace = fed(5000, 0.02)!;
    const steps = new Set(
      trace.values.slice(1).map((value, index) => Math.round((value - trace.values[index]!) * 1000)),
    );
    expect(steps.size).toBe(1);
    expect(trace.seconds).toBeGreaterThanOrEqual(15);
    expect(trace.values.length).toBeLessThanOrEqual(120);
  });

  it('keeps the longest stretch where the log breaks, and none that is too short to draw', () => {
    expect(fed(100, 1, [30])!.values[0]).toBe(30);
    expect(fed(19, 1)).toBeNull();
    expect(fed(60, 1, [15, 30, 45])).toBeNull();
  });

  it('counts rows where the log has no time', () => {
    const trace = new SignalTrace();
    for (let row = 0; row < 50; row += 1) trace.add(0.5, Number.NaN, row > 0);
    expect(trace.result()).toEqual({ seconds: null, values: Array.from({ length: 50 }, () => 0.5) });
  });

  it('never holds more than it may, whatever comes', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.float({ noNaN: true }), fc.float(), fc.boolean()), { maxLength: 2000 }),
        (rows) => {
          const trace = new SignalTrace();
          for (const [value, time, isUnbroken] of rows) trace.add(value, time, isUnbroken);
          const kept = trace.result();
          return (
            kept === null ||
            (kept.values.length >= 20 && kept.values.length <= 120 && !(kept.seconds! <= 0 && kept.seconds !== null))
          );
        },
      ),
      { numRuns: 100 },
    );
  });
});

describe('a log with a sensor', () => {
  const traced = (text: string) =>
    readPost('', emptyCase, knowledge, [{ name: 'log.csv', text }]).findings.filter(
      (finding): finding is ReadingFinding => finding.kind === 'reading' && finding.trace !== undefined,
    );

  it('leaves the signal of the condition, in order and in volts', () => {
    const rows = Array.from({ length: 90 }, (_, index) => `${index},800,0,88,${index % 4 < 2 ? '0.10' : '0.80'}`).join(
      '\n',
    );
    const [reading, ...others] = traced(
      `time s,engine speed 1/min,vehicle speed km/h,coolant C,front sensor V\n${rows}`,
    );
    expect(others).toEqual([]);
    expect(reading).toMatchObject({ quantity: 'sensor-voltage', when: 'idle', trace: { when: 'idle', seconds: 89 } });
    expect(reading!.trace!.values.slice(0, 6)).toEqual([0.1, 0.1, 0.8, 0.8, 0.1, 0.1]);
  });

  it('leaves one over several conditions of a real log that changes too often', () => {
    const text = readFileSync(new URL('../data/log-corsa-2012/segment-12.csv', import.meta.url), 'utf8');
    const mixed = traced(text).filter((finding) => finding.trace!.when === null);
    expect(mixed.map((finding) => finding.sensor)).toEqual([1, 2]);
    // Each value stands in the log's own column.
    const lines = text.split('\n').map((line) => line.split(','));
    const at = lines[0]!.indexOf('front sensor V');
    const column = new Set(lines.slice(1).map((cells) => Number(cells[at])));
    for (const value of mixed[0]!.trace!.values) expect(column.has(value)).toBe(true);
  });

  it('leaves none for trims and temperatures', () => {
    const rows = Array.from({ length: 60 }, (_, index) => `${index},800,0,88,${index % 5}`).join('\n');
    expect(traced(`time s,engine speed 1/min,vehicle speed km/h,coolant C,short-term trim %\n${rows}`)).toEqual([]);
  });
});
