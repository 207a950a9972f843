// The text of a file that somebody sent. Uploads of the web chat and files of the chat platforms both come through here.

/** UTF-8, or UTF-16 with its mark; null for what is no text (a page sent in place of a file counts as none too). */
export function decodeText(bytes: Uint8Array): string | null {
  const mark =
    bytes[0] === 0xff && bytes[1] === 0xfe ? 'utf-16le' : bytes[0] === 0xfe && bytes[1] === 0xff ? 'utf-16be' : 'utf-8';
  const text = new TextDecoder(mark).decode(bytes);
  if (text.includes('\u0000') || /^\s{0,100}<(?:!doctype|html)/i.test(text.slice(0, 300))) return null;
  return text;
}
