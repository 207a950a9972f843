// The PNG renderer of Node: a real PNG of the stated width with the shipped font. That the Workers runtime draws the same bytes is in
// tests/runtime/main-job-suite.ts.
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { pngWidth } from '../../src/imaging/render-png.ts';
import { resvgOnNode } from '../../src/imaging/resvg-on-node.ts';

const svg = (words: string, font = 'Inter') =>
  `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 100" width="400" height="100" font-family="${font}"><rect width="400" height="100" fill="#ffffff"/><text x="10" y="50" font-size="30">${words}</text></svg>`;

describe('renderPng', () => {
  it('draws a PNG twice as wide as the drawing', async () => {
    const png = await resvgOnNode()(svg('B1 S2'));
    // From the PNG specification (ISO/IEC 15948): signature, then the header chunk with width and height.
    expect([...png.slice(0, 8)]).toEqual([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
    const view = new DataView(png.buffer);
    expect([view.getUint32(16), view.getUint32(20)]).toEqual([pngWidth, 200]);
  });

  it('has letters: a picture with words differs from one without, Greek ones too', async () => {
    const render = resvgOnNode();
    const [empty, words, greek] = [await render(svg('')), await render(svg('B1 S2')), await render(svg('λ'))];
    expect(words).not.toEqual(empty);
    expect(greek).not.toEqual(empty);
  });

  it('uses the shipped face whatever fonts the machine has', async () => {
    const render = resvgOnNode();
    expect(await render(svg('lambda 0.98', 'DejaVu Sans'))).toEqual(await render(svg('lambda 0.98')));
  });
});

describe('the shipped face', () => {
  it('has every letter that the pictures use: none is drawn as an empty box', async () => {
    const render = resvgOnNode();
    // A letter of the private area that no face has.
    const missing = await render(svg('\ue123'));
    for (const letter of '←→↑↓’…−λ%°+/äéß')
      expect([letter, (await render(svg(letter))).toString() === missing.toString()]).toEqual([letter, false]);
    const folder = new URL('../../src/advice/pictures/', import.meta.url);
    const used = readdirSync(folder).flatMap((file) => [
      ...readFileSync(new URL(file, folder), 'utf8').replaceAll(/^\s*(?:\/\/|\/?\*).*$/gm, ''),
    ]);
    const known = new Set('←→↑↓’…−');
    expect(used.filter((letter) => letter > '~' && !known.has(letter))).toEqual([]);
  });
});
