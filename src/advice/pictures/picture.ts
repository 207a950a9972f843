// Pictures by address. The address holds what to draw and a short hash of the drawing: nothing is stored, every runtime draws the
// same, and a changed drawing gets a new address, so that it may be cached for ever. The advice, the pages and the route call this.
import type { Condition } from '../../vocabulary/quantities.ts';
import { describeRanking, describeTrims, drawRanking, drawTrims, type RankedBar, type TrimBar } from './draw-bars.ts';
import { describeBay, drawBay } from './draw-bay.ts';
import { describeSignal, drawSignal, type Signal } from './draw-signal.ts';
import { longestName, mostBars, nameSpec, type PictureSpec, readSpec } from './picture-names.ts';

const addressPattern = /^([a-z0-9.\-_]{1,300})\.([0-9a-f]{8})\.(?:svg|png)$/;
/** What makes a PNG of a drawing: another font or renderer gives other bytes, so it gets another address. */
const drawnWith = 'Inter 500, resvg 2.6.2, 800 pixels';

type NameOfFault = (id: string) => string;

/** The address of a picture: `/pictures/<what>.<hash>.svg`, at most 330 characters; a bay's stays below 200. */
export function picturePath(spec: PictureSpec, nameOfFault: NameOfFault = (id) => id): string {
  const fitted = fitName(spec);
  return `/pictures/${nameSpec(fitted)}.${hashOf(drawSpec(fitted, nameOfFault))}.svg`;
}

/**
 * Draws the picture of an address's last part.
 *
 * @param file        `<what>.<hash>.svg`, or the same with `.png` for its PNG
 * @param nameOfFault plain name of a fault id
 * @returns SVG text; null when the address is not one that this version writes
 */
export function drawPicture(file: string, nameOfFault: NameOfFault = (id) => id): string | null {
  const found = addressPattern.exec(file);
  const spec = found ? readSpec(found[1]!) : null;
  if (!found || !spec) return null;
  const drawn = drawSpec(spec, nameOfFault);
  return hashOf(drawn) === found[2] ? drawn : null;
}

/** The size that a drawing states [pixels]. */
export function sizeOf(drawing: string): { width: number; height: number } {
  const found = /viewBox="0 0 (\d{1,4}) (\d{1,4})"/.exec(drawing);
  return { width: Number(found?.[1] ?? 0), height: Number(found?.[2] ?? 0) };
}

/** Address of a picture's PNG, for platforms that show no SVG. */
export function pngPath(path: string): string {
  return path.replace(/\.svg$/, '.png');
}

/** The picture in words, for those who cannot see it. */
export function describePicture(spec: PictureSpec, nameOfFault: NameOfFault = (id) => id): string {
  switch (spec.kind) {
    case 'bay':
      return describeBay(spec.bay);
    case 'trims':
      return describeTrims(trimBars(spec));
    case 'signal':
      return describeSignal(signalOf(spec));
    case 'ranking':
      return describeRanking(rankedBars(spec, nameOfFault));
  }
}

function drawSpec(spec: PictureSpec, nameOfFault: NameOfFault): string {
  switch (spec.kind) {
    case 'bay':
      return drawBay(spec.bay);
    case 'trims':
      return drawTrims(trimBars(spec));
    case 'signal':
      return drawSignal(signalOf(spec));
    case 'ranking':
      return drawRanking(rankedBars(spec, nameOfFault));
  }
}

function trimBars(spec: PictureSpec & { kind: 'trims' }): TrimBar[] {
  return spec.bars.slice(0, mostBars).map((bar) => ({ ...bar, condition: inWords(bar.condition) }));
}

function signalOf(spec: PictureSpec & { kind: 'signal' }): Signal {
  return { ...spec, condition: inWords(spec.condition) };
}

function rankedBars(spec: PictureSpec & { kind: 'ranking' }, nameOfFault: NameOfFault): RankedBar[] {
  return spec.bars
    .slice(0, mostBars)
    .map((bar) => ({ name: nameOfFault(bar.fault), probability: Math.round(bar.probability * 100) / 100 }));
}

/** What is drawn must be what the name tells: values rounded as the name writes them, causes only as many as it holds. */
function fitName(spec: PictureSpec): PictureSpec {
  let bars = spec.kind === 'ranking' ? spec.bars.slice(0, mostBars) : [];
  while (spec.kind === 'ranking' && nameSpec({ ...spec, bars }).length >= longestName) bars = bars.slice(0, -1);
  return readSpec(nameSpec(spec.kind === 'ranking' ? { ...spec, bars } : spec)) ?? spec;
}

function inWords(condition: Condition | null): string | null {
  if (condition === null) return null;
  return condition === '2500rpm' ? '2,500 rpm' : condition.replaceAll('-', ' ');
}

/** FNV-1a, 32 bits, over UTF-16 units: not a secret, only a mark that changes with the drawing. */
function hashOf(drawing: string): string {
  let hash = 0x811c9dc5;
  for (const text of [drawing, drawnWith])
    for (let index = 0; index < text.length; index += 1) hash = Math.imul(hash ^ text.charCodeAt(index), 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, '0');
}
