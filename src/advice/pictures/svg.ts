// The few marks of which every picture is made. All colours stand on a paper of their own, so that a picture reads the same in light
// and dark surroundings; nothing is told by colour alone.

export const paper = '#f5f1e6';
export const ink = '#1f2d3a';
export const line = '#6d7b88';
export const fill = '#dfe5e3';
export const strong = '#14506b';

/** Text that came from data made harmless inside SVG. */
export function escapeText(text: string): string {
  return text.replace(/[&<>"']/g, (mark) => `&#${mark.charCodeAt(0)};`);
}

export function text(
  x: number,
  y: number,
  words: string,
  options: { size?: number; anchor?: 'start' | 'middle' | 'end'; bold?: boolean; colour?: string } = {},
): string {
  const { size = 13, anchor = 'middle', bold = false, colour = ink } = options;
  return `<text x="${round(x)}" y="${round(y)}" font-size="${size}" text-anchor="${anchor}"${bold ? ' font-weight="700"' : ''} fill="${colour}">${escapeText(words)}</text>`;
}

/** A whole picture with its words for those who cannot see it. */
export function picture(width: number, height: number, alternative: string, marks: readonly string[]): string {
  const title = escapeText(alternative);
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" aria-label="${title}" font-family="Inter, 'DejaVu Sans', system-ui, sans-serif"><title>${title}</title><rect width="${width}" height="${height}" rx="10" fill="${paper}"/>${marks.join('')}</svg>`;
}

/** One decimal is a tenth of a pixel: enough, and the same on every machine. */
export function round(value: number): number {
  return Math.round(value * 10) / 10;
}
