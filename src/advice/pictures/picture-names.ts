// What a picture shows and its name in an address. The name holds all of it, so that the picture can be drawn again without keeping
// anything: `trims.idle_1_251`, `signal.1.1.idle.240.0f0g...`. picture.ts calls it.
import { type Condition, conditions } from '../../vocabulary/quantities.ts';
import { type BaySpec, nameBay, readBay } from './bay-spec.ts';
import { signalScale } from './draw-signal.ts';

export interface TrimSpec {
  readonly condition: Condition | null;
  readonly bank: number | null;
  /** Total trim [%]. */
  readonly percent: number;
}

export type PictureSpec =
  | { readonly kind: 'bay'; readonly bay: BaySpec }
  | { readonly kind: 'trims'; readonly bars: readonly TrimSpec[] }
  | {
      readonly kind: 'signal';
      readonly bank: number | null;
      readonly sensor: number | null;
      readonly condition: Condition | null;
      readonly seconds: number | null;
      /** 2 to 120 samples [V]. */
      readonly volts: readonly number[];
    }
  /** Fault ids with probabilities, likeliest first. */
  | {
      readonly kind: 'ranking';
      readonly bars: ReadonlyArray<{ readonly fault: string; readonly probability: number }>;
    };

export const mostBars = 6;
/** Longest name [characters]: 120 samples of two characters, and their head. */
export const longestName = 300;
/** Steps of the voltage scale: two digits to the base of 36. */
const levels = 36 * 36 - 1;

export function nameSpec(spec: PictureSpec): string {
  switch (spec.kind) {
    case 'bay':
      return nameBay(spec.bay);
    case 'trims':
      return [
        'trims',
        ...spec.bars
          .slice(0, mostBars)
          .map(
            (bar) =>
              `${bar.condition ?? 'any'}_${bar.bank ?? 0}_${Math.round(Math.max(-150, Math.min(150, bar.percent)) * 10)}`,
          ),
      ].join('.');
    case 'signal':
      return [
        'signal',
        spec.bank ?? 0,
        spec.sensor ?? 0,
        spec.condition ?? 'any',
        spec.seconds === null ? 'rows' : Math.round(Math.min(9999, spec.seconds) * 10),
        spec.volts.slice(0, 120).map(writeLevel).join(''),
      ].join('.');
    case 'ranking':
      return [
        'ranking',
        ...spec.bars.slice(0, mostBars).map((bar) => `${bar.fault}_${Math.round(bar.probability * 100)}`),
      ]
        .join('.')
        .slice(0, longestName);
  }
}

/** What the picture of an address shows; null for anything that is none of ours. */
export function readPath(path: string): PictureSpec | null {
  const found = /^\/pictures\/([a-z0-9.\-_]{1,300})\.[0-9a-f]{8}\.(?:svg|png)$/.exec(path);
  return found ? readSpec(found[1]!) : null;
}

/** Null for anything that `nameSpec` does not write. */
export function readSpec(name: string): PictureSpec | null {
  const bay = readBay(name);
  if (bay) return { kind: 'bay', bay };
  const [kind, ...parts] = name.split('.');
  if (kind === 'signal') return readSignal(parts);
  if (parts.length === 0 || parts.length > mostBars) return null;
  if (kind === 'trims') {
    const bars = parts.map((part): TrimSpec | null => {
      const found = /^([a-z0-9-]{3,16})_([0-4])_(-?\d{1,4})$/.exec(part);
      const condition = found ? readCondition(found[1]!) : undefined;
      return found && condition !== undefined
        ? { condition, bank: numbered(found[2]!), percent: Number(found[3]) / 10 }
        : null;
    });
    return bars.every((bar) => bar !== null) ? { kind, bars } : null;
  }
  if (kind !== 'ranking') return null;
  const bars = parts.map((part) => {
    const found = /^([a-z0-9-]{3,60})_(\d{1,3})$/.exec(part);
    const percent = Number(found?.[2]);
    return found && percent <= 100 ? { fault: found[1]!, probability: percent / 100 } : null;
  });
  return bars.every((bar) => bar !== null) ? { kind, bars } : null;
}

function readSignal(parts: readonly string[]): PictureSpec | null {
  const [bank = '', sensor = '', when = '', time = '', samples = ''] = parts;
  const condition = readCondition(when);
  if (parts.length !== 5 || condition === undefined || !/^[0-4]$/.test(bank) || !/^[0-4]$/.test(sensor)) return null;
  if (!/^(rows|[1-9]\d{0,4})$/.test(time) || !/^(?:[0-9a-z]{2}){2,120}$/.test(samples)) return null;
  return {
    kind: 'signal',
    bank: numbered(bank),
    sensor: numbered(sensor),
    condition,
    seconds: time === 'rows' ? null : Number(time) / 10,
    volts: samples.match(/../g)!.map((pair) => (Number.parseInt(pair, 36) / levels) * signalScale.high),
  };
}

function writeLevel(volts: number): string {
  const share = Math.max(0, Math.min(1, volts / signalScale.high));
  return Math.round(share * levels)
    .toString(36)
    .padStart(2, '0');
}

/** Null for `any`, undefined for what is none. */
function readCondition(word: string): Condition | null | undefined {
  return word === 'any' ? null : conditions.find((condition) => condition === word);
}

function numbered(digit: string): number | null {
  return digit === '0' ? null : Number(digit);
}
