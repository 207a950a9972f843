// Cuts a reply that is too long for one message of a platform. The renderers of the chat platforms call it.

/**
 * Cuts text into pieces of at most `limit` UTF-16 units: at blank lines where that is possible, else at line ends, blanks, and
 * last anywhere but inside an entity, an escape or a surrogate pair.
 */
export function cutText(text: string, limit: number): string[] {
  const pieces: string[] = [];
  let rest = text;
  while (rest.length > limit) {
    const at = cutPlace(rest, limit);
    pieces.push(rest.slice(0, at).trimEnd());
    rest = rest.slice(at).replace(/^[\n ]{1,40}/, '');
  }
  if (rest.trim() !== '') pieces.push(rest);
  return pieces.filter((piece) => piece !== '');
}

function cutPlace(text: string, limit: number): number {
  for (const mark of ['\n\n', '\n', ' ']) {
    const at = text.lastIndexOf(mark, limit - mark.length);
    if (at > limit / 3) return at + mark.length;
  }
  let at = limit;
  const entity = text.lastIndexOf('&', at - 1);
  if (entity > at - 5 && entity >= 0 && /^&(?:amp|lt|gt);/.test(text.slice(entity, entity + 5))) {
    const end = text.indexOf(';', entity) + 1;
    if (end > at) at = entity > 0 ? entity : end;
  }
  const unit = text.charCodeAt(at - 1);
  const isHalf =
    (unit >= 0xd800 && unit <= 0xdbff) ||
    (unit === 0x5c && /[^\\](?:\\\\){0,20}\\$/.test(text.slice(Math.max(0, at - 42), at)));
  return isHalf && at > 1 ? at - 1 : at;
}
