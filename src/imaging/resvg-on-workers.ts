// The PNG renderer of the Workers runtime: resvg as WebAssembly with the same font. worker.ts hands in both files, since only the
// bundler knows how to bring them.
import { initWasm, Resvg } from '@resvg/resvg-wasm';
import { pictureFont, pngWidth, type RenderPng } from './render-png.ts';

/** Compiled at the first picture of an isolate, not at its start. */
let ready: Promise<void> | null = null;

/**
 * @param engine resvg's WebAssembly module
 * @param font   the bytes of one TrueType face
 */
export function resvgOnWorkers(engine: WebAssembly.Module, font: ArrayBuffer): RenderPng {
  const fontBuffers = [new Uint8Array(font)];
  return async (svg) => {
    ready ??= initWasm(engine).catch((error: unknown) => {
      ready = null;
      throw error;
    });
    await ready;
    const drawing = new Resvg(svg, {
      fitTo: { mode: 'width', value: pngWidth },
      font: { fontBuffers, loadSystemFonts: false, defaultFontFamily: pictureFont },
    });
    const image = drawing.render();
    try {
      return new Uint8Array(image.asPng());
    } finally {
      // Memory of the WebAssembly side is not collected by itself.
      image.free();
      drawing.free();
    }
  };
}
