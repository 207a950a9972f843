// What a chat platform shows beside a reply's words: quick answers to its question, and a picture. The channels ask it.
import type { AnswerDocument, Question } from '../vocabulary/answer-document.ts';

/** The question that the reply puts and that can be answered by pressing a button; one that it had no room for was not asked. */
export function openQuestion(document: AnswerDocument, replyText: string): Question | null {
  const question = document.questions[0];
  return question && question.answers.length > 0 && replyText.includes(question.text) ? question : null;
}

/** Address and words of the one picture that goes with a reply: the part that it names first, else what its figures look like. */
export function replyPicture(document: AnswerDocument): { readonly path: string; readonly alt: string } | null {
  const place = document.where.find((where) => where.picture !== null);
  const shown = document.pictures.find(({ address }) => !place || address === place.picture);
  if (place?.picture) return { path: place.picture, alt: shown?.alt ?? place.text };
  return shown ? { path: shown.address, alt: shown.alt } : null;
}
