// Text to and from Slack's own markup (mrkdwn). Readers turn what people typed into plain text; the renderer turns a reply's
// markdown into mrkdwn in which nothing that a person wrote can come alive.
import { dropHidden } from '../../pages/readable-text.ts';
import { splitOwnLinks } from '../../serving/own-links.ts';

/**
 * What a person typed, as plain text: links by their label and address, mentions as words, the three entities decoded.
 *
 * @param botUser user id of the bot, whose mention is left out; null when not known
 * Source: slack-text-formatting (api.slack.com, "Formatting text for app surfaces")
 */
export function plainFromSlack(text: string, botUser: string | null): string {
  const withoutForms = text.replace(/<([^<>]{1,4000})>/g, (whole, inside: string) => {
    const bar = inside.indexOf('|');
    const target = bar < 0 ? inside : inside.slice(0, bar);
    const label = bar < 0 ? '' : inside.slice(bar + 1);
    if (target.startsWith('@')) return botUser !== null && target === `@${botUser}` ? '' : `@${label || 'someone'}`;
    if (target.startsWith('#')) return `#${label || 'channel'}`;
    if (target.startsWith('!')) return label || `@${target.slice(1).split('^', 1)[0]}`;
    if (/^(?:https?|mailto|tel):/i.test(target)) return label && label !== target ? `${label} (${target})` : target;
    return whole;
  });
  return withoutForms
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&')
    .replace(/^[ \t]{1,20}/, '');
}

/** Encodes the three signs that Slack gives a meaning; after it no text can form a mention or a link. */
export function escapeSlack(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}

/**
 * A reply's markdown (paragraphs, lists, `**bold**`) as mrkdwn. Signs that hide or turn text are left out, so that `@` and a
 * name cannot be written apart and read together.
 *
 * @param address our own, whose links work; no other does
 */
export function slackFromMarkdown(markdown: string, address: string | null = null): string {
  return splitOwnLinks(dropHidden(markdown), address)
    .map((piece, index) => (index % 2 === 1 ? `<${escapeSlack(piece)}>` : escapeSlack(piece)))
    .join('')
    .split('\n')
    .map((line) => boldOf(line.replace(/^- /, '\u2022 ')))
    .join('\n');
}

/** `**bold**` -> `*bold*` within a line; a mark without its partner stays as it was typed. */
function boldOf(line: string): string {
  const pieces = line.split('**');
  if (pieces.length % 2 === 0) {
    const last = pieces.pop() ?? '';
    pieces.push(`${pieces.pop() ?? ''}**${last}`);
  }
  return pieces.map((piece, index) => (index % 2 === 1 ? starred(piece) : piece)).join('');
}

/** Slack wants the stars at the words themselves. */
function starred(piece: string): string {
  const words = piece.trim();
  return words === '' ? piece : piece.replace(words, () => `*${words}*`);
}
