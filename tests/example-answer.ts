// An answer function whose answers are full of everything, for tests of the pages: the example document, with its findings at
// home in the example post, and a reply that says which post of the conversation it answers.
import type { Knowledge } from '../src/knowledge/knowledge.ts';
import type { AnswerDocument } from '../src/vocabulary/answer-document.ts';
import { type Case, emptyCase } from '../src/vocabulary/case.ts';
import { exampleDocument } from './an-answer.ts';

const ownFindings = exampleDocument.findings.filter((finding) => finding.span !== null);

/** A post in which every quote of the example document stands where its span says. */
export const examplePost: string = ownFindings.reduce(
  (text, { span, quote }) => {
    const [start, end] = span!;
    return `${text.slice(0, start)}${quote.padEnd(end - start)}${text.slice(end)}`;
  },
  ' '.repeat(Math.max(...ownFindings.map(({ span }) => span![1]))),
);

/** Findings are those of the example post when it is that; otherwise there are none. A post with `STOP` may not be driven. */
export function exampleAnswer(
  post: { id: string; text: string },
  previous: Case | null,
  _knowledge?: Knowledge,
): { answer: AnswerDocument; next: Case } {
  const before = previous ?? emptyCase;
  const stop = post.text.includes('STOP');
  const unsure = post.text.includes('UNSURE');
  const question = exampleDocument.questions[0]!;
  const text = `Answer to post ${before.posts + 1}: a vacuum leak fits best.\n\nOne question: ${question.text}`;
  const markdown = `**Answer to post ${before.posts + 1}:** a vacuum leak fits best.\n\n**One question:** ${question.text}\n\n- look at the hoses\n- then at the gasket`;
  const answer: AnswerDocument = {
    ...exampleDocument,
    id: post.id,
    findings:
      post.text === examplePost ? exampleDocument.findings.map((item) => ({ ...item, post: before.posts })) : [],
    driving: stop ? 'stop' : 'ok',
    fit: {
      ...exampleDocument.fit,
      surprise: unsure ? 0.9 : 0.1,
      handOver: { wanted: unsure, because: unsure ? 'nothing explains these readings' : null },
    },
    reply: { text, markdown },
    notes: [],
  };
  return { answer, next: { ...before, posts: before.posts + 1 } };
}
