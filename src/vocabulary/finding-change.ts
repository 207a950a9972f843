// A person's word on what was read: a finding that was misread and what it should be, or that it should not be there. The bay
// makes them; whatever works a conversation again applies them to the case.
import { z } from 'zod';
import type { Case } from './case.ts';
import { type Finding, finding } from './findings.ts';

export const findingChange = z.object({
  was: finding,
  /** Null when nothing of the kind was said. */
  becomes: finding.nullable(),
});
export type FindingChange = z.infer<typeof findingChange>;

/**
 * The case with the changes made: a changed finding stands in the place of the old one, which moves to `replaced`. A change
 * whose finding is not there (another version of the program reads otherwise) does nothing. Conflicts that a change touches go.
 */
export function amendCase(current: Case, changes: readonly FindingChange[]): Case {
  return changes.reduce(amendOnce, current);
}

function amendOnce(current: Case, { was, becomes }: FindingChange): Case {
  const old = current.findings.find((candidate) => isSame(candidate, was));
  if (!old) return current;
  return {
    ...current,
    findings: current.findings.flatMap((candidate) => {
      if (candidate !== old) return [candidate];
      return becomes === null ? [] : [{ ...becomes, id: old.id, post: old.post, span: old.span, quote: old.quote }];
    }),
    replaced: [...current.replaced, { finding: old, by: 'moderator' }],
    conflicts: current.conflicts.filter((conflict) => !conflict.findings.includes(old.id)),
  };
}

/** Read from the same words of the same post, as the same kind of thing with the same content; ids may differ between versions. */
function isSame(one: Finding, other: Finding): boolean {
  return JSON.stringify(sortedEntries({ ...one, id: '' })) === JSON.stringify(sortedEntries({ ...other, id: '' }));
}

function sortedEntries(object: object): Array<[string, unknown]> {
  return Object.entries(object).sort(([a], [b]) => (a < b ? -1 : 1));
}
