// What to do next: the one question, the next check, where the part is, cautions and driving.
import type { AnswerDocument, Caution, PlanStep } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import { type Block, sentence } from './blocks.ts';
import type { ReplyDraft } from './draft.ts';

/** The one question with its numbered answers. */
export function sayQuestion(draft: ReplyDraft): Block {
  const question = draft.questions[0];
  if (!question) return { title: null, lines: [], short: null, weight: 0 };
  const options = question.answers.map((answer, index) => `${index + 1}) ${answer.text}`).join('   ');
  const why = `(${sentence(question.decides)})`;
  return {
    title: 'One question',
    lines: [[`${question.text} ${why}`, options].filter((part) => part !== '').join('\n')],
    short: [[question.text, options].filter((part) => part !== '').join('\n')],
    weight: 92,
  };
}

export function sayNextCheck(step: PlanStep | null): Block {
  if (!step) return { title: null, lines: [], short: null, weight: 0 };
  const who = step.who === 'workshop' ? ' (a job for a workshop)' : '';
  return {
    title: step.kind === 'check' ? 'Next check' : 'Next step',
    lines: [`${sentence(step.step).replace(/[.]$/, '')}${who}. ${sentence(step.expect)}`],
    short: [`${sentence(step.step).replace(/[.]$/, '')}${who}.`],
    weight: 80,
  };
}

export function sayWhere(draft: ReplyDraft, asked: boolean): Block {
  const lines = draft.where.slice(0, asked ? 3 : 1).map((place) => sentence(place.text));
  return {
    title: lines.length > 0 ? 'Where it is' : null,
    lines,
    short: lines.slice(0, 1).map(inBrief),
    weight: asked ? 98 : 40,
  };
}

/** The first two sentences of a place, and how sure it is. */
function inBrief(text: string): string {
  const sentences = text.split(/(?<=[.!?]) (?=[A-Z])/);
  const [first, second, ...rest] = sentences;
  const sure = rest.filter((one) => /from memory|check the service information|to prove it/i.test(one));
  return [first, second, ...sure.slice(0, 1)].filter((one) => one !== undefined).join(' ');
}

export function sayExplanations(draft: ReplyDraft, asked: boolean): Block {
  const lines = draft.explanations.slice(0, 2).map((explanation) => explanation.text);
  return {
    title: null,
    lines: lines.length === 2 ? [lines[0]!, '', lines[1]!] : lines,
    short: lines.slice(0, 1),
    weight: asked ? 97 : 35,
  };
}

/**
 * Decides which cautions are shown: every stop sign, then the most dangerous up to two in all; none twice in a conversation
 * unless it is a stop sign.
 */
export function chooseCautions(
  cautions: readonly Caution[],
  isStopSign: (id: string) => boolean,
  current: Case,
): Caution[] {
  const fresh = (caution: Caution) => isStopSign(caution.id) || !current.cautionsShown.includes(caution.id);
  const ordered = [
    ...cautions.filter((item) => isStopSign(item.id)),
    ...cautions.filter((item) => !isStopSign(item.id) && fresh(item)),
  ];
  const stopSigns = ordered.filter((item) => isStopSign(item.id)).length;
  const shown = new Set(ordered.slice(0, Math.max(2, stopSigns)).map((item) => item.id));
  return cautions.map((item) => ({ ...item, shown: shown.has(item.id) }));
}

/** The cautions shown; under a stop the heading of the reply already says what `do-not-drive` would. */
export function sayCautions(cautions: readonly Caution[], driving: AnswerDocument['driving']): Block {
  const shown = cautions.filter((caution) => caution.shown && !(driving === 'stop' && caution.id === 'do-not-drive'));
  return {
    title: shown.length > 0 ? 'Take care' : null,
    lines: shown.map((caution) => sentence(caution.text)),
    short: null,
    weight: 100,
  };
}

/** The driving advice; a stop goes first in the reply, the rest last. */
export function sayDriving(draft: ReplyDraft, asked: boolean): Block {
  const because = sentence(draft.drivingBecause);
  if (draft.driving === 'stop') return { title: 'Do not drive it', lines: [because], short: null, weight: 100 };
  if (draft.driving === 'limit')
    return { title: 'Driving', lines: [`short and gentle, to the workshop. ${because}`], short: null, weight: 94 };
  return { title: 'Driving', lines: [because], short: null, weight: asked ? 96 : 45 };
}
