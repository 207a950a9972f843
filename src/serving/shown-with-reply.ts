// What a chat platform shows beside a reply's words: quick answers to its question, and a picture. The channels ask it.
import type { AnswerDocument, Question } from '../vocabulary/answer-document.ts';

/** The question that the reply puts and that can be answered by pressing a button; one that it had no room for was not asked. */
export function openQuestion(document: AnswerDocument, replyText: string): Question | null {
  const question = document.questions[0];
  return question && question.answers.length > 0 && replyText.includes(question.text) ? question : null;
}

/** Address and words of the picture of the part that the reply names first; null when there is none. */
export function replyPicture(document: AnswerDocument): { readonly path: string; readonly alt: string } | null {
  const place = document.where.find((where) => where.picture !== null);
  return place?.picture ? { path: place.picture, alt: place.text } : null;
}
