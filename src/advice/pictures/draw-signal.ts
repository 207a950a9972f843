// A stretch of an oxygen sensor's signal with the voltages that a mechanic holds it against. picture.ts calls it.
import { capital, fill, line, picture, round, strong, text } from './svg.ts';

export interface Signal {
  readonly bank: number | null;
  readonly sensor: number | null;
  /** In words ("idle"); null when the log does not tell. */
  readonly condition: string | null;
  /** Length of the stretch [s]; null without a time. */
  readonly seconds: number | null;
  /** Evenly spaced samples [V], 2 to 120. */
  readonly volts: readonly number[];
}

/** The scale of a two-point sensor [V]; what lies outside is drawn at its edge. */
export const signalScale = { low: 0, high: 1.2 } as const;
/** Middle that a two-point sensor switches about, and what a healthy one passes on both sides [V]. Source: common practice. */
const [middle, leanBelow, richAbove] = [0.45, 0.2, 0.7];

const [left, right, top, bottom] = [52, 384, 56, 236];

export function drawSignal(signal: Signal): string {
  const height = (volts: number) =>
    bottom -
    ((bottom - top) * (Math.max(signalScale.low, Math.min(signalScale.high, volts)) - signalScale.low)) /
      (signalScale.high - signalScale.low);
  const step = (right - left) / (signal.volts.length - 1);
  const path = signal.volts
    .map((volts, index) => `${index === 0 ? 'M' : 'L'}${round(left + index * step)} ${round(height(volts))}`)
    .join('');
  const level = (volts: number, dashes: string) =>
    `<path d="M${left} ${round(height(volts))}H${right}" stroke="${line}" stroke-width="1.5"${dashes ? ` stroke-dasharray="${dashes}"` : ''}/>`;
  const label = (volts: number) =>
    text(left - 8, height(volts) + 4.5, volts.toFixed(volts === middle ? 2 : 1), { size: 13, anchor: 'end' });
  return picture(400, 288, describeSignal(signal), [
    text(16, 28, capital(`${nameOf(signal)}${signal.condition === null ? '' : `, ${signal.condition}`}, volts`), {
      anchor: 'start',
      bold: true,
      size: 16,
    }),
    `<rect x="${left}" y="${top}" width="${right - left}" height="${bottom - top}" fill="${fill}"/>`,
    level(richAbove, '6 4'),
    level(middle, ''),
    level(leanBelow, '6 4'),
    ...[1, richAbove, middle, leanBelow, 0].map(label),
    `<path d="${path}" fill="none" stroke="${strong}" stroke-width="2.5" stroke-linejoin="round" stroke-linecap="round"/>`,
    text(right, top - 8, 'rich ↑', { size: 13, anchor: 'end' }),
    text(200, bottom + 20, 'lean ↓', { size: 13 }),
    text(left, bottom + 20, '0', { size: 13, anchor: 'start' }),
    text(right, bottom + 20, signal.seconds === null ? `${signal.volts.length} rows` : `${figure(signal.seconds)} s`, {
      size: 13,
      anchor: 'end',
    }),
    text(
      200,
      bottom + 40,
      signal.sensor === 2
        ? 'Behind a good catalyst it stays almost level.'
        : 'A warm, healthy front sensor passes both dashed lines.',
      { size: 13 },
    ),
  ]);
}

/** The picture in words. */
export function describeSignal(signal: Signal): string {
  const low = Math.min(...signal.volts);
  const high = Math.max(...signal.volts);
  const length = signal.seconds === null ? `${signal.volts.length} rows` : `${figure(signal.seconds)} seconds`;
  const crossings = signal.volts.filter(
    (volts, index) => index > 0 && volts >= middle !== signal.volts[index - 1]! >= middle,
  ).length;
  return `${capital(nameOf(signal))}${signal.condition === null ? '' : ` at ${signal.condition}`} over ${length}: between ${low.toFixed(2)} and ${high.toFixed(2)} V, crossing 0.45 V ${crossings} ${crossings === 1 ? 'time' : 'times'}. Lines at 0.2, 0.45 and 0.7 V.`;
}

function nameOf({ bank, sensor }: Signal): string {
  const which =
    sensor === 2 ? 'rear sensor' : sensor === null ? 'sensor' : sensor === 1 ? 'front sensor' : `sensor ${sensor}`;
  return bank === null ? which : `${which} of bank ${bank}`;
}

function figure(value: number): string {
  return String(value >= 10 ? Math.round(value) : Math.round(value * 10) / 10);
}
