// Finds addresses of this very program in a message, the only ones that chat platforms show as links. Their renderers call it.

/**
 * @param address where people reach the program, without a slash at the end; null finds nothing
 * @returns the text in pieces: words, link, words, link, ... (an odd number of pieces; words may be empty)
 */
export function splitOwnLinks(text: string, address: string | null): string[] {
  if (address === null) return [text];
  const pieces: string[] = [];
  let from = 0;
  for (let at = text.indexOf(`${address}/`); at >= 0; at = text.indexOf(`${address}/`, from)) {
    const path = /^[\w/?=.-]{1,300}/.exec(text.slice(at + address.length, at + address.length + 300))?.[0] ?? '/';
    // A full stop or question mark behind it belongs to the sentence.
    const link = address + path.replace(/[.?]{1,9}$/, '');
    pieces.push(text.slice(from, at), link);
    from = at + link.length;
  }
  return [...pieces, text.slice(from)];
}
