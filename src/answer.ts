// One post and its case so far -> one answer and the next case. Pure: the same post, case and knowledge give the same
// answer on every runtime. This file shows the order of the work and holds no rule of its own.
import { advise } from './advice/advise.ts';
import { derive } from './derivation/derive.ts';
import { diagnose } from './diagnosis/diagnose.ts';
import { readPost } from './intake/read-post.ts';
import type { Attachment } from './intake/reading.ts';
import { updateCase } from './intake/update-case.ts';
import type { Knowledge } from './knowledge/knowledge.ts';
import { checkCar } from './register/check-car.ts';
import { composeReply } from './reply/compose-reply.ts';
import type { AnswerDocument } from './vocabulary/answer-document.ts';
import { type Case, emptyCase } from './vocabulary/case.ts';
import { programVersion } from './vocabulary/version.ts';

/**
 * Answers one post of a conversation.
 *
 * @param post     the caller's id, the text as written, and the logs that came with it
 * @param previous the conversation's case before this post; null for the first
 * @param amend    a person's changes of what was read, made before anything is worked out from it
 * @returns the answer document and the case that the next post builds on
 */
export function answerPost(
  post: { id: string; text: string; attachments?: readonly Attachment[] },
  previous: Case | null,
  knowledge: Knowledge,
  amend: (current: Case) => Case = (current) => current,
): { answer: AnswerDocument; next: Case } {
  const before = previous ?? emptyCase;
  const reading = readPost(post.text, before, knowledge, post.attachments);
  const current = amend(updateCase(before, reading));
  const conflicts = [...current.conflicts, ...checkCar(current.findings, before.posts, knowledge)];
  const derived = derive(current.findings, knowledge);
  const diagnosis = diagnose(
    { findings: current.findings, derived, conflicts, asked: current.asked, mentions: current.mentions },
    knowledge,
  );
  const advice = advise({ current, reading, diagnosis, derived }, knowledge);
  const draft = {
    id: post.id,
    findings: current.findings,
    conflicts,
    derived,
    ...diagnosis,
    ...advice,
    notes: [...reading.notes],
    model: { knowledge: knowledge.version, version: programVersion },
  };
  const { reply, next } = composeReply(draft, current, knowledge);
  return {
    answer: { ...draft, cautions: reply.cautions, reply: { text: reply.text, markdown: reply.markdown } },
    next,
  };
}
