// A reply is a list of blocks, each with a long and a short form; this file fits them into the length of a chat turn and
// writes them as plain text and as markdown.

export interface Block {
  /** Heading; null for running text. */
  readonly title: string | null;
  readonly lines: readonly string[];
  /** A shorter form to fall back on; null when it can only be kept or dropped. */
  readonly short: readonly string[] | null;
  /** Higher stays longer. 100 is never dropped or shortened. */
  readonly weight: number;
}

/** Longest reply text of one chat turn [UTF-16 units]. */
export const replyLimit = 1800;

/** Shortens, then drops, the blocks of least weight until the text fits. Order is kept. */
export function fitBlocks(blocks: readonly Block[], limit = replyLimit): Block[] {
  const kept = blocks.filter((block) => block.lines.length > 0).map((block) => ({ ...block }));
  const byWeight = [...kept].sort((a, b) => a.weight - b.weight);
  for (const block of byWeight) {
    if (writeText(kept).length <= limit) return kept;
    if (block.weight < 100 && block.short) block.lines = block.short;
  }
  for (const block of byWeight) {
    if (writeText(kept).length <= limit) return kept;
    if (block.weight < 100) kept.splice(kept.indexOf(block), 1);
  }
  return kept;
}

/** Plain text: headings end in a colon, list items begin with a dash. */
export function writeText(blocks: readonly Block[]): string {
  return blocks
    .filter((block) => block.lines.length > 0)
    .map((block) => {
      if (block.title === null) return block.lines.join('\n');
      if (block.lines.length === 1) return `${block.title}: ${block.lines[0]}`;
      return `${block.title}:\n${block.lines.map(listItem).join('\n')}`;
    })
    .join('\n\n');
}

/** Markdown with bold headings; everything from outside the knowledge base is escaped by `plainWords` before it gets here. */
export function writeMarkdown(blocks: readonly Block[]): string {
  return blocks
    .filter((block) => block.lines.length > 0)
    .map((block) => {
      if (block.title === null) return block.lines.join('\n');
      if (block.lines.length === 1) return `**${block.title}:** ${block.lines[0]}`;
      return `**${block.title}:**\n${block.lines.map(listItem).join('\n')}`;
    })
    .join('\n\n');
}

function listItem(line: string): string {
  return /^\d+\. /.test(line) ? line : `- ${line}`;
}

/** The writer's own words made harmless for any channel: one line, no markup, no mentions, bounded. */
export function plainWords(words: string, longest = 80): string {
  const flat = words
    .replace(/[\p{Cc}\p{Cf}\s]+/gu, ' ')
    .replace(/[*_~`<>[\]()|#@\\]/g, '')
    .trim();
  return flat.length > longest ? `${flat.slice(0, longest - 3).trimEnd()}...` : flat;
}

/** First letter in capitals, a full stop at the end. */
export function sentence(words: string): string {
  const trimmed = words.trim();
  if (trimmed === '') return '';
  const capital = trimmed[0]!.toUpperCase() + trimmed.slice(1);
  return /[.!?]$/.test(capital) ? capital : `${capital}.`;
}

/** Without the full stop at the end, to stand inside a sentence. */
export function clause(words: string): string {
  return words.trim().replace(/[.\s]+$/, '');
}
