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

/**
 * One line of words. The shipped face has one weight: bold is a thin outline of the same colour, so that the PNG and a browser with
 * another font show the same thing.
 */
export function text(
  x: number,
  y: number,
  words: string,
  options: { size?: number; anchor?: 'start' | 'middle' | 'end'; bold?: boolean; colour?: string } = {},
): string {
  const { size = 14, anchor = 'middle', bold = false, colour = ink } = options;
  const heavier = bold ? ` stroke="${colour}" stroke-width="0.5"` : '';
  return `<text x="${round(x)}" y="${round(y)}" font-size="${size}" text-anchor="${anchor}"${heavier} fill="${colour}">${escapeText(words)}</text>`;
}

/** A whole picture with its words for those who cannot see it. The rim keeps it apart from surroundings as light as the paper. */
export function picture(width: number, height: number, alternative: string, marks: readonly string[]): string {
  const title = escapeText(alternative);
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" aria-label="${title}" font-family="Inter, 'DejaVu Sans', system-ui, sans-serif" font-weight="500"><title>${title}</title><rect x="0.5" y="0.5" width="${width - 1}" height="${height - 1}" rx="10" fill="${paper}" stroke="${line}"/>${marks.join('')}</svg>`;
}

/** One decimal is a tenth of a pixel: enough, and the same on every machine. */
export function round(value: number): number {
  return Math.round(value * 10) / 10;
}

export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
