// What the reply is composed from: the answer document before it has a reply.
import type { AnswerDocument } from '../vocabulary/answer-document.ts';
import type { RequestFinding } from '../vocabulary/findings.ts';

export type ReplyDraft = Omit<AnswerDocument, 'reply'>;

/** Whether anything in the case speaks about the state of the car: a code, a reading, a symptom, work done, an answer. */
export function hasEvidence(draft: ReplyDraft): boolean {
  return draft.findings.some(
    (finding) =>
      finding.car === 0 &&
      ['code', 'code-list', 'reading', 'symptom', 'work-done', 'question-answer'].includes(finding.kind) &&
      !(finding.kind === 'reading' && (finding.quantity === 'distance' || finding.quantity === 'displacement')) &&
      !(finding.kind === 'code' && isOfAnotherTrade(finding.code)),
  );
}

/** Codes of body, chassis, network and hybrid drive (ISO 15031-6 and SAE J2012 give P0A to P0F to the latter). */
function isOfAnotherTrade(code: string): boolean {
  return /^(?:[BCU]|P0[A-F])/.test(code);
}

/** Requests of the post that is being answered. */
export function currentRequests(draft: ReplyDraft, post: number): RequestFinding[] {
  return draft.findings.filter(
    (finding): finding is RequestFinding =>
      finding.kind === 'request' && finding.post === post && finding.stated !== 'denied',
  );
}
