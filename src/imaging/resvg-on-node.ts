// The PNG renderer of the front door on one machine: resvg as a native module, with the font that comes with the program and none of
// the machine's own, so that every machine draws the same.
import { createRequire } from 'node:module';
import { renderAsync } from '@resvg/resvg-js';
import { pictureFont, pngWidth, type RenderPng } from './render-png.ts';

/** Draws on a thread of its own, outside the way of other requests. */
export function resvgOnNode(): RenderPng {
  const fontFile = createRequire(import.meta.url).resolve('@expo-google-fonts/inter/500Medium/Inter_500Medium.ttf');
  return async (svg) => {
    const image = await renderAsync(svg, {
      fitTo: { mode: 'width', value: pngWidth },
      font: { fontFiles: [fontFile], loadSystemFonts: false, defaultFontFamily: pictureFont },
    });
    return new Uint8Array(image.asPng());
  };
}
