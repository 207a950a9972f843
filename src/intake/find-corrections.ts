// Which earlier findings of the case a new post takes back or replaces: "sorry, that was bank 2", "I meant 0.45", "not stalling
// after all", "now it reads". read-post.ts asks after all readers have read.
import type { Case } from '../vocabulary/case.ts';
import type { Finding, ReadingFinding } from '../vocabulary/findings.ts';
import type { PostReading } from './reading.ts';

type Replacement = PostReading['replaces'][number];

/** Words that take something back. */
export const correctionWords =
  /\b(?:sorry|i meant|i mean|meant to (?:say|write|type)|correction|corrected|correcting|my mistake|my bad|typo|mistyped|i was wrong|got that wrong|misread|mis-read|should (?:be|have been|read|say)|scratch that|ignore that|not what i (?:said|wrote)|actually|oops|apologies|edit|make (?:that|it)|that was|wrong (?:number|figure|bank|way)|mixed up)\b/;
const updates =
  /\b(?:now|today|update|currently|at the moment|these days|latest|re-?checked|checked again|measured again|new reading|since then|after (?:that|the|replacing|changing|cleaning|fitting)|this time|has (?:gone|changed|dropped|risen))\b/;

/** Earlier findings that the new ones replace; each earlier one at most once. */
export function findCorrections(folded: string, findings: readonly Finding[], previous: Case): Replacement[] {
  if (previous.findings.length === 0) return [];
  const sample = folded.slice(0, 20_000);
  const isCorrection = correctionWords.test(sample);
  const isUpdate = updates.test(sample);
  const replaced = new Set<string>();
  const replaces: Replacement[] = [];
  const replace = (old: Finding | undefined, by: Finding) => {
    if (!old || replaced.has(old.id)) return;
    replaced.add(old.id);
    replaces.push({ old: old.id, by: by.id });
  };
  for (const finding of findings) {
    for (const old of previous.findings) {
      if (old.car !== finding.car || old.time !== finding.time) continue;
      if (finding.kind === 'symptom' && old.kind === 'symptom') {
        const isOpposite =
          old.symptom === finding.symptom &&
          old.stated !== finding.stated &&
          !(finding.source === 'hearsay' && old.source === 'owner') &&
          (old.when === finding.when || finding.when === null);
        if (isOpposite) replace(old, finding);
      } else if (finding.kind === 'reading' && old.kind === 'reading') {
        if (isSamePlace(old, finding) && (isCorrection || isUpdate) && old.value !== finding.value)
          replace(old, finding);
      } else if (finding.kind === 'question-answer' && old.kind === 'question-answer') {
        if (old.question === finding.question) replace(old, finding);
      }
    }
    if (isCorrection && finding.kind === 'reading' && ![...replaces].some((item) => item.by === finding.id))
      replace(slipOf(finding, previous), finding);
  }
  if (isCorrection && codesCorrected.test(sample)) replaceCodes(findings, previous, replace);
  return replaces;
}

/** Words that name the codes as what is corrected: "and the codes are P0172 and P0175". */
const codesCorrected = /\b(?:the )?codes? (?:is|are|was|were|should|reads?|says?)\b/;

/** All codes of the post before give way to the codes of a correction, in their order. */
function replaceCodes(
  findings: readonly Finding[],
  previous: Case,
  replace: (old: Finding | undefined, by: Finding) => void,
): void {
  const fresh = findings.filter((finding) => finding.kind === 'code' && finding.stated === 'present');
  const last = Math.max(...previous.findings.map((finding) => finding.post));
  const old = previous.findings.filter((finding) => finding.kind === 'code' && finding.post === last);
  if (fresh.length === 0) return;
  for (const [index, finding] of old.entries()) replace(finding, fresh[Math.min(index, fresh.length - 1)]!);
}

function isSamePlace(old: ReadingFinding, finding: ReadingFinding): boolean {
  return (
    old.quantity === finding.quantity &&
    old.bank === finding.bank &&
    old.sensor === finding.sensor &&
    (old.when === finding.when || finding.when === null)
  );
}

/** The one earlier reading that a correction can mean: the same quantity with one thing different. */
function slipOf(finding: ReadingFinding, previous: Case): Finding | undefined {
  const alike = previous.findings.filter(
    (old) => old.kind === 'reading' && old.quantity === finding.quantity && old.car === finding.car,
  );
  const sameValue = alike.filter((old) => old.kind === 'reading' && old.value === finding.value);
  if (sameValue.length === 1) return sameValue[0];
  return alike.length === 1 ? alike[0] : undefined;
}
