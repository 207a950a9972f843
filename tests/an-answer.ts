// An answer function for tests of what lies around the answer (store, turn, delivery, routes): it counts the posts of the case
// and fills the example document. The real one has its own tests.

import type { Knowledge } from '../src/knowledge/knowledge.ts';
import { loadKnowledgeFolder } from '../src/knowledge/load-folder.ts';
import { type AnswerDocument, answerDocument } from '../src/vocabulary/answer-document.ts';
import { type Case, emptyCase } from '../src/vocabulary/case.ts';
import example from './vocabulary/full-answer.json' with { type: 'json' };

export const exampleDocument: AnswerDocument = answerDocument.parse(example);

/** The small knowledge base of the reader's tests. */
export const smallKnowledge: Knowledge = loadKnowledgeFolder(new URL('knowledge/small', import.meta.url).pathname);

export function anAnswer(
  post: { id: string; text: string },
  previous: Case | null,
): { answer: AnswerDocument; next: Case } {
  const next = { ...(previous ?? emptyCase), posts: (previous?.posts ?? 0) + 1 };
  const text = `post ${next.posts} has ${post.text.length} characters`;
  return { answer: { ...exampleDocument, id: post.id, reply: { text, markdown: `**${text}**` } }, next };
}
