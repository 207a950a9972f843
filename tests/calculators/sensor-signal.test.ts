// The signal calculators on made and recorded logs: slow sampling, gaps, traps, verdicts.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type SignalSummary, sensorSignal } from '../../src/calculators/sensor-signal.ts';
import { signalDelay } from '../../src/calculators/signal-delay.ts';
import { storageIndex } from '../../src/calculators/storage-index.ts';
import { readLog, readText, readTimedChannel } from './read-data.ts';

function summary(
  volts: ArrayLike<number>,
  times: ArrayLike<number> | null,
  place: 'front' | 'rear' = 'front',
): SignalSummary {
  const result = sensorSignal(volts, times, { place });
  if (!result.valid) throw new Error(result.because);
  return result.value;
}

/** A square-shouldered signal like a sensor's: switches at the frequency, edges of the given time. */
function made(frequency: number, edge: number, interval: number, seconds: number, low = 0.1, high = 0.85) {
  const times = Array.from({ length: Math.floor(seconds / interval) }, (_, index) => index * interval);
  const volts = times.map((time) => {
    const phase = (time * frequency) % 1;
    const half = 0.5 / frequency;
    const since = (phase < 0.5 ? phase : phase - 0.5) / frequency;
    const part = Math.min(1, since / Math.min(edge, half));
    return phase < 0.5 ? low + (high - low) * part : high - (high - low) * part;
  });
  return { times, volts };
}

describe('a recorded sensor voltage', () => {
  it.each([
    ['healthy', made(1, 0.06, 0.01, 20)],
    ['slow', made(0.2, 0.06, 0.01, 60)],
    ['slow', made(0.5, 0.8, 0.01, 60)],
    ['weak', made(1, 0.06, 0.01, 20, 0.3, 0.6)],
    ['stuck-lean', made(1, 0.06, 0.01, 20, 0.05, 0.15)],
    ['stuck-rich', made(1, 0.06, 0.01, 20, 0.75, 0.9)],
    ['no-activity', made(1, 0.06, 0.01, 20, 0.44, 0.47)],
    ['cannot-tell', made(1.7, 0.06, 1, 200)],
  ] as const)('is judged %s', (verdict, { volts, times }) => {
    const result = summary(volts, times);
    expect(result.verdict).toBe(verdict);
    expect(result.reasons.length).toBeGreaterThan(0);
  });

  it('counts switches and times edges as they were made', () => {
    const { volts, times } = made(1.5, 0.12, 0.005, 30);
    const result = summary(volts, times);
    expect(result.switchesPerSecond).toBeCloseTo(3, 1);
    // 0.3 V of a 0.75 V edge of 120 ms.
    expect(result.riseTime).toBeCloseTo((1000 * 0.12 * 0.3) / 0.75, 0);
    expect(result.fallTime).toBeCloseTo((1000 * 0.12 * 0.3) / 0.75, 0);
    expect(result.richDwell).toBeCloseTo(1 / 3, 1);
  });

  it('times no edge that falls between two samples', () => {
    const { volts, times } = made(0.5, 0.05, 0.2, 60);
    expect(summary(volts, times).riseTime).toBeNull();
  });

  it('finds the same rate under irregular sampling', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0.02, max: 0.12, noNaN: true }), { minLength: 400, maxLength: 600 }),
        (steps) => {
          let time = 0;
          const times = steps.map((step) => (time += step));
          const volts = times.map((at) => 0.45 + 0.38 * Math.sin(2 * Math.PI * 0.6 * at));
          expect(Math.abs((summary(volts, times).switchesPerSecond ?? 0) - 1.2)).toBeLessThan(0.12);
        },
      ),
      { numRuns: 30 },
    );
  });

  it('claims nothing by time across a pause of the logger', () => {
    const { volts, times } = made(1, 0.06, 0.02, 20);
    const paused = times.map((time) => (time < 10 ? time : time + 600));
    const whole = summary(volts, times);
    const cut = summary(volts, paused);
    expect(Math.abs((cut.switchesPerSecond ?? 0) - (whole.switchesPerSecond ?? 0))).toBeLessThan(0.1);
    expect(cut.mean).toBeCloseTo(whole.mean, 2);
  });

  it('counts changes and not rows where a slow poll repeats its value', () => {
    const { volts, times } = made(2, 0.06, 0.02, 40);
    // One fresh value in twenty: 0.4 s, against half periods of 0.25 s.
    const held = volts.map((_, index) => volts[index - (index % 20)]!);
    expect(summary(held, times).verdict).toBe('cannot-tell');
    expect(summary(volts, times).verdict).toBe('healthy');
  });

  it('leaves out what is no voltage, and says how many', () => {
    const { volts, times } = made(1, 0.06, 0.02, 20);
    const dirty = [...volts];
    dirty[5] = Number.NaN;
    dirty[9] = 1.275;
    dirty[11] = 14.2;
    const result = summary(dirty, times);
    expect(result.leftOut).toBe(3);
    expect(result.maximum).toBeLessThan(1);
    expect(result.verdict).toBe('healthy');
  });

  it('lies within the samples whatever they are', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -5, max: 20 }), { minLength: 0, maxLength: 200 }), (volts) => {
        const result = sensorSignal(
          volts,
          volts.map((_, index) => index / 10),
        );
        if (!result.valid) return;
        const { minimum, mean, maximum, richShare } = result.value;
        expect(minimum).toBeLessThanOrEqual(mean + 1e-12);
        expect(mean).toBeLessThanOrEqual(maximum + 1e-12);
        expect(richShare).toBeGreaterThanOrEqual(0);
        expect(richShare).toBeLessThanOrEqual(1);
      }),
    );
  });

  it.each([
    ['too few samples', [0.1, 0.8, 0.1], [0, 1, 2]],
    [
      'times that run backwards',
      Array.from({ length: 20 }, () => 0.5),
      Array.from({ length: 20 }, (_, index) => -index),
    ],
    ['fewer times than voltages', Array.from({ length: 20 }, () => 0.5), [0, 1]],
    ['nothing at all', [], []],
  ])('refuses %s', (_name, volts, times) => {
    expect(sensorSignal(volts, times).valid).toBe(false);
  });

  it('judges a million samples in less than a second', () => {
    const times = Float64Array.from({ length: 1_000_000 }, (_, index) => index / 50);
    const volts = times.map((time) => 0.45 + 0.4 * Math.sin(5 * time));
    const start = performance.now();
    expect(summary(volts, times).verdict).toBe('healthy');
    expect(performance.now() - start).toBeLessThan(1000);
  });
});

describe('the recorded logs (tests/data)', () => {
  const corsa = readLog('log-corsa-2012/segment-12.csv');

  it('give no rate of switching where there are no times, and say so', () => {
    const result = summary(
      corsa.map((row) => row['front sensor V']!),
      null,
    );
    expect(result.switchesPerSecond).toBeNull();
    expect(result.verdict).toBe('cannot-tell');
    expect(result.reasons.join(' ')).toContain('no times');
  });

  it('give the front sensor’s share below 0.45 V at warm idle that a separate script found', () => {
    const figures = JSON.parse(readText('log-corsa-2012/figures.json'));
    const idle = corsa.filter(
      (row) =>
        row['coolant C']! >= 75 &&
        row['vehicle speed km/h'] === 0 &&
        row['engine speed 1/min']! >= 500 &&
        row['engine speed 1/min']! <= 1100,
    );
    expect(idle).toHaveLength(figures.warm_idle.rows);
    const result = summary(
      idle.map((row) => row['front sensor V']!),
      null,
    );
    expect(result.mean).toBeCloseTo(figures.warm_idle.front_V_mean, 3);
    expect(1 - result.richShare).toBeCloseTo(figures.warm_idle['front_share_below_0.45'], 3);
  });

  it('show a steady rear sensor over the long idle of the dual-injection car', () => {
    const rear = readTimedChannel('log-dual-injection/log.csv', 'rear V');
    // The longest stretch without a crossing of 0.45 V, as the figures beside the log describe it.
    let best: [number, number] = [0, 0];
    let from = 0;
    rear.values.forEach((volt, index) => {
      if (volt <= 0.45) from = index + 1;
      else if (index - from > best[1] - best[0]) best = [from, index];
    });
    const volts = rear.values.slice(best[0], best[1] + 1);
    const times = rear.times.slice(best[0], best[1] + 1);
    expect(times.at(-1)! - times[0]!).toBeGreaterThan(150);
    const result = summary(volts, times, 'rear');
    expect(result.crossings).toBe(0);
    expect(result.verdict).toBe('steady');
  });
});

describe('rear against front', () => {
  const { volts } = made(1, 0.3, 0.1, 60);

  it('is 1 for the same signal and 0 for a steady rear', () => {
    const same = storageIndex(volts, volts);
    expect(same.valid && same.value).toBeCloseTo(1, 12);
    expect(same.valid && same.verdict).toBe('worn');
    const steady = storageIndex(volts, new Array(volts.length).fill(0.7));
    expect(steady.valid && steady.value).toBe(0);
    expect(steady.valid && steady.verdict).toBe('good');
  });

  it('is refused with a front sensor that hardly moves, few rows, or unequal lengths', () => {
    expect(storageIndex(new Array(100).fill(0.5), volts.slice(0, 100)).valid).toBe(false);
    expect(storageIndex(volts.slice(0, 49), volts.slice(0, 49)).valid).toBe(false);
    expect(storageIndex(volts, volts.slice(1)).valid).toBe(false);
  });
});

describe('the delay of one signal behind another', () => {
  it('is found whatever it is', () => {
    const leading = Array.from({ length: 2000 }, (_, index) => Math.sin(index / 7) + Math.sin(index / 3.1));
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60 }), (lag) => {
        const following = leading.map((_, index) => leading[Math.max(0, index - lag)]!);
        const result = signalDelay(leading, following, 0.05, 4);
        expect(result.valid && Math.abs(result.value - lag * 0.05)).toBeLessThan(1e-9);
      }),
      { numRuns: 30 },
    );
  });

  it('is refused for signals with nothing in common, flat ones, and gaps', () => {
    const one = Array.from({ length: 300 }, (_, index) => Math.sin(index * index));
    const two = Array.from({ length: 300 }, (_, index) => Math.cos(index * index * 1.7));
    expect(signalDelay(one, two, 0.1).valid).toBe(false);
    expect(signalDelay(new Array(300).fill(1), one, 0.1).valid).toBe(false);
    expect(signalDelay(one, [...one.slice(1), Number.NaN], 0.1).valid).toBe(false);
    expect(signalDelay(one, one, 0).valid).toBe(false);
  });
});
