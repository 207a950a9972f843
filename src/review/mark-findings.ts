// Cuts a post into pieces so that the words from which findings were read can be marked, also where spans overlap. The bay's
// answer page writes the pieces.
import type { Finding } from '../vocabulary/findings.ts';

export interface MarkedPiece {
  readonly text: string;
  /** Findings whose words this piece belongs to, in the order of their ids' first appearance; empty for unmarked text. */
  readonly findings: readonly Finding[];
  /** Those of them that end here: their label stands behind this piece. */
  readonly ending: readonly Finding[];
}

/**
 * @param text     the post as stored
 * @param findings any findings; those whose span does not lie in the text are left out
 * @returns pieces that together are exactly `text`
 * Takes time in proportion to the text and to (findings * pieces); a case holds a few hundred findings at most.
 */
export function markFindings(text: string, findings: readonly Finding[]): MarkedPiece[] {
  const spans = findings.flatMap((finding) => {
    if (finding.span === null) return [];
    const [start, end] = finding.span;
    return start < end && end <= text.length ? [{ finding, start, end }] : [];
  });
  const cuts = [...new Set([0, text.length, ...spans.flatMap(({ start, end }) => [start, end])])].sort((a, b) => a - b);
  const pieces: MarkedPiece[] = [];
  for (let index = 0; index + 1 < cuts.length; index += 1) {
    const from = cuts[index]!;
    const to = cuts[index + 1]!;
    const here = spans.filter(({ start, end }) => start <= from && to <= end);
    pieces.push({
      text: text.slice(from, to),
      findings: here.map(({ finding }) => finding),
      ending: here.filter(({ end }) => end === to).map(({ finding }) => finding),
    });
  }
  return pieces;
}

/**
 * The findings of a case that were read from this very post: of the posts that their numbers name, the last one not after
 * `earlierPosts` whose quotes all stand in the text where their spans say. A post that failed has no number of its own.
 *
 * @param earlierPosts how many posts of the conversation were answered before this one
 */
export function findingsOfPost(text: string, findings: readonly Finding[], earlierPosts: number): Finding[] {
  for (let post = earlierPosts; post >= 0; post -= 1) {
    const own = findings.filter((finding) => finding.post === post && finding.span !== null);
    if (own.length > 0) return own.every((finding) => isQuotedAt(text, finding)) ? own : [];
  }
  return [];
}

function isQuotedAt(text: string, finding: Finding): boolean {
  if (finding.span === null) return false;
  return text.slice(finding.span[0], finding.span[1]).startsWith(finding.quote.slice(0, 300));
}
