// Merges what a post said into the case: new findings are added, repeats are not, what was corrected moves to `replaced`.
// answer.ts calls it after read-post.ts. Pure.
import type { Case } from '../vocabulary/case.ts';
import type { Finding } from '../vocabulary/findings.ts';
import type { PostReading } from './reading.ts';

/** The case after a post. Findings stay in the order in which they were said; none is lost. */
export function updateCase(previous: Case, reading: PostReading): Case {
  const replacedBy = new Map(reading.replaces.map(({ old, by }) => [old, by]));
  const standing = previous.findings.filter((finding) => !replacedBy.has(finding.id));
  const replaced = [
    ...previous.replaced,
    ...previous.findings.flatMap((finding) => {
      const by = replacedBy.get(finding.id);
      return by === undefined ? [] : [{ finding, by }];
    }),
  ];
  const known = new Set(standing.map(meaningOf));
  const added: Finding[] = [];
  for (const finding of reading.findings) {
    const meaning = meaningOf(finding);
    if (known.has(meaning) || isCoveredBy(finding, [...standing, ...added]) || isOverruled(finding, standing)) continue;
    known.add(meaning);
    added.push(finding);
  }
  const findings = [...standing, ...added];
  const ids = new Set(findings.map((finding) => finding.id));
  const conflicts = [...previous.conflicts, ...reading.conflicts].filter((conflict) =>
    conflict.findings.every((id) => ids.has(id)),
  );
  const mentions = [...new Set([...previous.mentions, ...reading.mentions])];
  return { ...previous, posts: previous.posts + 1, findings, replaced, conflicts, mentions };
}

/** Everything that a finding says, without where and when it was said: two with the same meaning are one. */
function meaningOf(finding: Finding): string {
  const { id: _id, span: _span, quote: _quote, post: _post, ...meaning } = finding;
  // The number as typed is no part of the meaning, and a request may be made anew in every post.
  if (meaning.kind === 'reading') return JSON.stringify({ ...meaning, original: null });
  if (meaning.kind === 'request') return JSON.stringify({ ...meaning, post: finding.post });
  return JSON.stringify(meaning);
}

/** "It stalls" adds nothing to "it stalls at idle"; a doubt adds nothing to a plain statement. */
function isCoveredBy(finding: Finding, standing: readonly Finding[]): boolean {
  if (finding.kind !== 'symptom') return false;
  return standing.some(
    (other) =>
      other.kind === 'symptom' &&
      other.symptom === finding.symptom &&
      other.time === finding.time &&
      other.car === finding.car &&
      (other.stated === finding.stated || (other.stated === 'present' && finding.stated === 'unsure')) &&
      (finding.when === null || other.when === finding.when),
  );
}

/** What somebody else says against the owner's own word. */
function isOverruled(finding: Finding, standing: readonly Finding[]): boolean {
  if (finding.kind !== 'symptom' || finding.source !== 'hearsay') return false;
  return standing.some(
    (other) =>
      other.kind === 'symptom' &&
      other.source === 'owner' &&
      other.symptom === finding.symptom &&
      other.time === finding.time &&
      other.car === finding.car &&
      (other.stated === 'denied') !== (finding.stated === 'denied'),
  );
}
