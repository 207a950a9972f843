// Which answers a moderator should look at: all with a danger sign, all surprising ones, and a fixed share of the rest, so that
// quiet mistakes are found too. The log page lists them.
import type { AnswerSummary } from '../store/store.ts';

export type LookReason = 'danger' | 'surprise' | 'sample';

/** From this surprise on (judgement: the readings fit worse than seven in ten usually do). */
const surpriseLimit = 0.7;
/** One in so many of the rest. */
const sampleEvery = 10;

/** Why an answer is to be looked at; null when it was looked at already, or need not be. The same for every moderator. */
export function reasonToLook(answer: AnswerSummary): LookReason | null {
  if (answer.review !== 'unreviewed') return null;
  // Cautions about the work alone (hot parts, petrol) are in too many answers to tell them apart; what is said on driving is not.
  if (answer.driving !== 'ok') return 'danger';
  if (answer.surprise >= surpriseLimit) return 'surprise';
  return isSampled(answer.answerId) ? 'sample' : null;
}

/** Spread over the ids by a multiplication that mixes them, so that no rhythm of posts can hide in it. */
function isSampled(answerId: number): boolean {
  return Math.floor(((Math.imul(answerId, 0x9e3779b1) >>> 0) / 2 ** 32) * sampleEvery) === 0;
}
