// A reply's markdown as HTML elements: paragraphs, lists with dashes or numbers, line breaks and bold, and nothing else. Whatever looks like more is
// shown as it was typed. The chat and the bay call it; hono's JSX escapes every piece of text.
import type { Child } from 'hono/jsx';
import { dropHidden } from './readable-text.ts';

/** Replies are far shorter; what a person typed is bounded where it is taken in [UTF-16 units]. */
const longestMarkdown = 20_000;

export function ReplyHtml({ markdown }: { readonly markdown: string }) {
  const blocks = dropHidden(markdown)
    .slice(0, longestMarkdown)
    .split(/\n{2,20}/);
  return <div class="words">{blocks.filter((block) => block.trim() !== '').map(writeBlock)}</div>;
}

function writeBlock(block: string): Child {
  const parts: Child[] = [];
  let lines: string[] = [];
  let items: string[] = [];
  /** Number of the first item of a numbered list; null in a list with dashes. */
  let first: number | null = null;
  const closeLines = () => {
    if (lines.length > 0) parts.push(<p>{withBreaks(lines)}</p>);
    lines = [];
  };
  const closeItems = () => {
    const list = items.map((item) => <li>{withBold(item)}</li>);
    if (list.length > 0) parts.push(first === null ? <ul>{list}</ul> : <ol start={first}>{list}</ol>);
    items = [];
  };
  for (const line of block.split('\n')) {
    const item = /^(?:- |(\d{1,3})\. )/.exec(line);
    if (item) {
      closeLines();
      const number = item[1] === undefined ? null : Number(item[1]);
      // A list of the other kind, or one that counts anew, is another list.
      if (items.length > 0 && number !== (first === null ? null : first + items.length)) closeItems();
      if (items.length === 0) first = number;
      items.push(line.slice(item[0].length));
    } else {
      closeItems();
      lines.push(line);
    }
  }
  closeLines();
  closeItems();
  return <>{parts}</>;
}

function withBreaks(lines: readonly string[]): Child[] {
  return lines.flatMap((line, index) => (index === 0 ? withBold(line) : [<br />, ...withBold(line)]));
}

/** `**bold**` within one line; a pair of stars without its partner stays as it is. */
function withBold(line: string): Child[] {
  const pieces = line.split('**');
  // An even number of pieces has one mark without a partner: the last piece goes back to the one before, mark included.
  if (pieces.length % 2 === 0) {
    const last = pieces.pop() ?? '';
    pieces.push(`${pieces.pop() ?? ''}**${last}`);
  }
  return pieces.flatMap((piece, index) => (index % 2 === 1 ? [<strong>{piece}</strong>] : withOwnLink(piece)));
}

/** The program's own question after the outcome carries a link to our page; it leads there whatever host was typed before it. */
const ownLink = /https?:\/\/[\w.:[\]-]{1,200}(\/outcome\?token=[\w-]{43})(?![\w-])/;

function withOwnLink(text: string): Child[] {
  const found = ownLink.exec(text);
  if (!found) return [text];
  return [
    text.slice(0, found.index),
    <a href={found[1]}>say how it ended</a>,
    text.slice(found.index + found[0].length),
  ];
}
