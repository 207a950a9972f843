// Pictures by address. The address holds what to draw and a short hash of the drawing: nothing is stored, every runtime draws the
// same, and a changed drawing gets a new address, so that it may be cached for ever. locate.ts, the pages and the route call this.
import type { BaySpec } from './bay-spec.ts';
import { nameBay, readBay } from './bay-spec.ts';
import { drawRanking, drawTrims, type TrimBar } from './draw-bars.ts';
import { describeBay, drawBay } from './draw-bay.ts';

export type PictureSpec =
  | { readonly kind: 'bay'; readonly bay: BaySpec }
  | { readonly kind: 'trims'; readonly bars: readonly TrimBar[] }
  /** Fault ids with probabilities, likeliest first. */
  | {
      readonly kind: 'ranking';
      readonly bars: ReadonlyArray<{ readonly fault: string; readonly probability: number }>;
    };

const mostBars = 6;
const addressPattern = /^([a-z0-9.\-_]{1,150})\.([0-9a-f]{8})\.(?:svg|png)$/;
/** What makes a PNG of a drawing: another font or renderer gives other bytes, so it gets another address. */
const drawnWith = 'Inter 500, resvg 2.6.2, 800 pixels';

/** The address of a picture: `/pictures/<what>.<hash>.svg`, at most 200 characters. */
export function picturePath(spec: PictureSpec, nameOfFault: (id: string) => string = (id) => id): string {
  return `/pictures/${nameSpec(spec)}.${hashOf(drawSpec(spec, nameOfFault))}.svg`;
}

/**
 * Draws the picture of an address's last part.
 *
 * @param file        `<what>.<hash>.svg`, or the same with `.png` for its PNG
 * @param nameOfFault plain name of a fault id
 * @returns SVG text; null when the address is not one that this version writes
 */
export function drawPicture(file: string, nameOfFault: (id: string) => string = (id) => id): string | null {
  const found = addressPattern.exec(file);
  const spec = found ? readSpec(found[1]!) : null;
  if (!found || !spec) return null;
  const drawn = drawSpec(spec, nameOfFault);
  return hashOf(drawn) === found[2] ? drawn : null;
}

/** Address of a picture's PNG, for platforms that show no SVG. */
export function pngPath(path: string): string {
  return path.replace(/\.svg$/, '.png');
}

/** The words for those who cannot see it. */
export function pictureWords(file: string): string | null {
  const found = addressPattern.exec(file);
  const spec = found ? readSpec(found[1]!) : null;
  if (!spec) return null;
  return spec.kind === 'bay'
    ? describeBay(spec.bay)
    : spec.kind === 'trims'
      ? 'Total fuel trims as bars.'
      : 'How likely each cause is, as bars.';
}

function drawSpec(spec: PictureSpec, nameOfFault: (id: string) => string): string {
  if (spec.kind === 'bay') return drawBay(spec.bay);
  if (spec.kind === 'trims') return drawTrims(spec.bars.slice(0, mostBars));
  return drawRanking(
    spec.bars.slice(0, mostBars).map((bar) => ({ name: nameOfFault(bar.fault), probability: bar.probability })),
  );
}

const conditions = ['idle', '2500rpm', 'cruise', 'load', 'any'] as const;

function nameSpec(spec: PictureSpec): string {
  if (spec.kind === 'bay') return nameBay(spec.bay);
  if (spec.kind === 'trims') {
    const bars = spec.bars
      .slice(0, mostBars)
      .map((bar) => `${bar.condition}_${bar.bank}_${Math.round(Math.max(-150, Math.min(150, bar.percent)) * 10)}`);
    return ['trims', ...bars].join('.');
  }
  const bars: string[] = [];
  for (const bar of spec.bars.slice(0, mostBars)) {
    const next = `${bar.fault}_${Math.round(bar.probability * 100)}`;
    if (['ranking', ...bars, next].join('.').length <= 150) bars.push(next);
  }
  return ['ranking', ...bars].join('.');
}

function readSpec(name: string): PictureSpec | null {
  const bay = readBay(name);
  if (bay) return { kind: 'bay', bay };
  const [kind, ...parts] = name.split('.');
  if (parts.length === 0 || parts.length > mostBars) return null;
  if (kind === 'trims') {
    const bars = parts.map((part): TrimBar | null => {
      const found = /^([a-z0-9]{3,8})_([1-4])_(-?\d{1,4})$/.exec(part);
      const condition = conditions.find((word) => word === found?.[1]);
      return found && condition ? { condition, bank: Number(found[2]), percent: Number(found[3]) / 10 } : null;
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

/** FNV-1a, 32 bits, over UTF-16 units: not a secret, only a mark that changes with the drawing. */
function hashOf(drawing: string): string {
  let hash = 0x811c9dc5;
  for (const text of [drawing, drawnWith])
    for (let index = 0; index < text.length; index += 1) hash = Math.imul(hash ^ text.charCodeAt(index), 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, '0');
}
