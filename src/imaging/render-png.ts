// What turns a drawing of src/advice/pictures into a PNG, for chat platforms that show no SVG. The front doors choose one of the two
// renderers beside this file; the pictures route and the channels get it handed in.

/**
 * Draws one of our own SVG pictures as a PNG.
 *
 * @param svg a picture as `drawPicture` returns it; never text from outside
 * @returns the PNG's bytes, `pngWidth` pixels wide
 */
export type RenderPng = (svg: string) => Promise<Uint8Array<ArrayBuffer>>;

/** Pixels across: twice the drawing's own width, so that a phone's fine screen shows it sharp. */
export const pngWidth = 800;

/** The one face that both renderers load and that the drawings name. */
export const pictureFont = 'Inter';
