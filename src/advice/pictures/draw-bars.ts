// Bars for readings that a person would rather look at than read: total trims by condition and bank, and the ranking.
import { fill, ink, line, paper, picture, round, strong, text } from './svg.ts';

export interface TrimBar {
  readonly condition: string;
  readonly bank: number;
  /** Total trim [%]. */
  readonly percent: number;
}

/** Scale ends here on both sides [%]; longer bars are cut and say their figure. */
const trimEnd = 40;
/** Within this a warm engine is usually healthy [%]. Common practice. */
const healthyTrim = 10;

export function drawTrims(bars: readonly TrimBar[]): string {
  const width = 400;
  const rowHeight = 34;
  const height = 74 + bars.length * rowHeight;
  const zero = 240;
  const scale = 120 / trimEnd;
  const says = bars.map((bar) => `${bar.condition} bank ${bar.bank} ${signed(bar.percent)} %`).join(', ');
  return picture(width, height, `Total fuel trim: ${says}. Shaded: within ${healthyTrim} % either way.`, [
    text(16, 24, 'Total fuel trim, %', { anchor: 'start', bold: true, size: 15 }),
    `<rect x="${zero - healthyTrim * scale}" y="40" width="${2 * healthyTrim * scale}" height="${bars.length * rowHeight}" fill="${fill}"/>`,
    `<path d="M${zero} 36V${44 + bars.length * rowHeight}" stroke="${ink}" stroke-width="1.5"/>`,
    ...bars.flatMap((bar, index) => {
      const y = 40 + index * rowHeight;
      const end = zero + Math.max(-trimEnd, Math.min(trimEnd, bar.percent)) * scale;
      const plus = bar.percent >= 0;
      return [
        text(16, y + 22, `${bar.condition}, bank ${bar.bank}`, { anchor: 'start' }),
        `<rect x="${round(Math.min(zero, end))}" y="${y + 7}" width="${round(Math.max(1, Math.abs(end - zero)))}" height="20" fill="${plus ? strong : 'none'}" stroke="${strong}" stroke-width="2"/>`,
        plus
          ? text(end > 350 ? end - 5 : end + 5, y + 22, signed(bar.percent), {
              anchor: end > 350 ? 'end' : 'start',
              bold: true,
              colour: end > 350 ? paper : ink,
            })
          : text(end - 5 < 150 ? end + 6 : end - 5, y + 22, signed(bar.percent), {
              anchor: end - 5 < 150 ? 'start' : 'end',
              bold: true,
            }),
      ];
    }),
    text(zero - 66, height - 12, 'takes fuel away', { size: 11 }),
    text(zero + 66, height - 12, 'adds fuel', { size: 11 }),
  ]);
}

export interface RankedBar {
  readonly name: string;
  /** 0..1 */
  readonly probability: number;
}

export function drawRanking(bars: readonly RankedBar[]): string {
  const rowHeight = 44;
  const height = 44 + bars.length * rowHeight;
  const whole = 330;
  const says = bars.map((bar) => `${bar.name} ${percent(bar)} %`).join(', ');
  return picture(400, height, `How likely each cause is: ${says}.`, [
    text(16, 24, 'How likely each cause is', { anchor: 'start', bold: true, size: 15 }),
    ...bars.flatMap((bar, index) => {
      const y = 36 + index * rowHeight;
      return [
        text(16, y + 16, bar.name.length > 46 ? `${bar.name.slice(0, 45)}…` : bar.name, { anchor: 'start' }),
        `<rect x="16" y="${y + 22}" width="${whole}" height="12" fill="none" stroke="${line}"/>`,
        `<rect x="16" y="${y + 22}" width="${round(whole * bar.probability)}" height="12" fill="${strong}"/>`,
        text(388, y + 33, `${percent(bar)} %`, { anchor: 'end', bold: true }),
      ];
    }),
  ]);
}

/** Rounded to 5, as the reply says it. */
function percent(bar: RankedBar): number {
  return Math.round(bar.probability * 20) * 5;
}

function signed(value: number): string {
  return `${value > 0 ? '+' : value < 0 ? '−' : ''}${Math.abs(Math.round(value * 10) / 10)}`;
}
