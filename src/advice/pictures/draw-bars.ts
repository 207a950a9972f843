// Bars for readings that a person would rather look at than read: total trims by condition and bank, and the ranking. picture.ts
// calls it.
import { capital, fill, ink, line, paper, picture, round, strong, text } from './svg.ts';

export interface TrimBar {
  /** In words ("idle"); null when the writer did not say. */
  readonly condition: string | null;
  readonly bank: number | null;
  /** Total trim [%]. */
  readonly percent: number;
}

/** Scale ends here on both sides [%]; longer bars are cut and say their figure. */
const trimEnd = 40;
/** Within this a warm engine is usually healthy [%]. Common practice. */
const healthyTrim = 10;

/** Fuel added is a full bar to the right, fuel taken away a hollow one to the left: told apart without colour. */
export function drawTrims(bars: readonly TrimBar[]): string {
  const rowHeight = 48;
  const top = 60;
  const bottom = top + bars.length * rowHeight;
  const zero = 232;
  const scale = 108 / trimEnd;
  return picture(400, bottom + 46, describeTrims(bars), [
    text(16, 28, 'Total fuel trim, %', { anchor: 'start', bold: true, size: 16 }),
    text(zero - 12, 52, '← takes fuel away', { size: 12, anchor: 'end' }),
    text(zero + 12, 52, 'adds fuel →', { size: 12, anchor: 'start' }),
    ...bars.flatMap((bar, index) => drawTrim(bar, top + index * rowHeight, zero, scale)),
    `<rect x="16" y="${bottom + 14}" width="16" height="16" fill="${fill}" stroke="${line}"/>`,
    text(40, bottom + 27, 'usual on a healthy warm engine: within 10', { anchor: 'start', size: 13 }),
  ]);
}

/** A name on its own line, and below it the bar before the usual span. */
function drawTrim(bar: TrimBar, y: number, zero: number, scale: number): string[] {
  const end = zero + Math.max(-trimEnd, Math.min(trimEnd, bar.percent)) * scale;
  const isPlus = bar.percent >= 0;
  const inside = isPlus ? end > 330 : end < 134;
  const outward = isPlus === inside ? -1 : 1;
  return [
    text(16, y + 16, capital(trimName(bar)), { anchor: 'start', size: 14 }),
    `<rect x="${round(zero - healthyTrim * scale)}" y="${y + 20}" width="${2 * healthyTrim * scale}" height="26" fill="${fill}"/>`,
    `<rect x="${round(Math.min(zero, end))}" y="${y + 24}" width="${round(Math.max(1, Math.abs(end - zero)))}" height="18" fill="${isPlus ? strong : paper}" stroke="${strong}" stroke-width="2"/>`,
    `<path d="M${zero} ${y + 20}V${y + 46}" stroke="${ink}" stroke-width="1.5"/>`,
    text(end + outward * 6, y + 38, signed(bar.percent), {
      anchor: outward < 0 ? 'end' : 'start',
      bold: true,
      colour: inside && isPlus ? paper : ink,
    }),
  ];
}

/** The picture in words. */
export function describeTrims(bars: readonly TrimBar[]): string {
  const says = bars.map((bar) => `${trimName(bar)} ${signed(bar.percent)} %`).join('; ');
  return `Total fuel trim as bars: ${says}. Within ${healthyTrim} % either way is usual on a healthy warm engine.`;
}

function trimName(bar: TrimBar): string {
  const bank = bar.bank === null ? null : `bank ${bar.bank}`;
  return [bar.condition, bank].filter((word) => word !== null).join(', ') || 'as given';
}

export interface RankedBar {
  readonly name: string;
  /** 0..1 */
  readonly probability: number;
}

export function drawRanking(bars: readonly RankedBar[]): string {
  const rowHeight = 48;
  const whole = 304;
  return picture(400, 48 + bars.length * rowHeight, describeRanking(bars), [
    text(16, 28, 'How likely each cause is', { anchor: 'start', bold: true, size: 16 }),
    ...bars.flatMap((bar, index) => {
      const y = 40 + index * rowHeight;
      return [
        text(16, y + 16, capital(bar.name.length > 48 ? `${bar.name.slice(0, 47)}…` : bar.name), {
          anchor: 'start',
          size: 14,
        }),
        `<rect x="16" y="${y + 24}" width="${whole}" height="14" fill="${paper}" stroke="${line}"/>`,
        `<rect x="16" y="${y + 24}" width="${round(whole * bar.probability)}" height="14" fill="${strong}"/>`,
        text(386, y + 37, `${percent(bar).replace('under ', '< ').replace('over ', '> ')} %`, {
          anchor: 'end',
          bold: true,
          size: 15,
        }),
      ];
    }),
  ]);
}

/** The picture in words. */
export function describeRanking(bars: readonly RankedBar[]): string {
  return `How likely each cause is, as bars: ${bars.map((bar) => `${bar.name} ${percent(bar)} %`).join('; ')}.`;
}

/** Rounded to 5, as the reply says it. */
function percent(bar: RankedBar): string {
  if (bar.probability < 0.05) return 'under 5';
  return bar.probability > 0.95 ? 'over 95' : String(Math.round(bar.probability * 20) * 5);
}

function signed(value: number): string {
  return `${value > 0 ? '+' : value < 0 ? '−' : ''}${Math.abs(Math.round(value * 10) / 10)}`;
}
