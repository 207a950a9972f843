// A reply's markdown as Discord writes it, with everything neutralised that a person's words could set going. The renderer calls it.
import { dropHidden } from '../../pages/readable-text.ts';
import { splitOwnLinks } from '../../serving/own-links.ts';

/**
 * Paragraphs, lists and `**bold**` stay; every other sign that Discord gives a meaning is escaped, so that echoed words form no
 * mention, link, code, quote or heading. @param address our own, whose links work; no other is made one. Source: discord-reference (docs: reference, message formatting)
 */
export function discordFromMarkdown(markdown: string, address: string | null = null): string {
  return dropHidden(markdown)
    .split('\n')
    .map((line) => {
      const item = /^(?:- |\d{1,3}\. )/.exec(line)?.[0] ?? '';
      return `${item}${withBold(line.slice(item.length), address)}`;
    })
    .join('\n');
}

/** `**bold**` within a line; a mark without its partner stays as it was typed. */
function withBold(line: string, address: string | null): string {
  const pieces = line.split('**');
  if (pieces.length % 2 === 0) {
    const last = pieces.pop() ?? '';
    pieces.push(`${pieces.pop() ?? ''}**${last}`);
  }
  return pieces
    .map((piece, index) => {
      const words = splitOwnLinks(piece, address)
        .map((part, place) => (place % 2 === 1 ? part : escapeInLine(part)))
        .join('');
      return index % 2 === 1 && words.trim() !== '' ? `**${words}**` : words;
    })
    .join('');
}

const escapeInLine = (text: string) => text.replace(/[\\*_~|`<>#[\]()@]/g, (sign) => `\\${sign}`);
