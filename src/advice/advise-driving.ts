// Whether to drive: stop, gently to a workshop, or no stop sign in what was written. advise.ts calls it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { DrivingAdvice } from '../vocabulary/answer-document.ts';
import type { CaseView } from './case-view.ts';
import { holds } from './situation.ts';

/** From this probability on the likeliest fault's own driving advice counts. Judgement: more likely than all others together. */
const likelyEnough = 0.6;

export interface DrivingJudgement {
  readonly advice: DrivingAdvice;
  /** A sentence or two without blame; never says that driving is safe. */
  readonly because: string;
}

/** The strictest rule that applies, else the likeliest fault's own advice, else `ok` with what would change that. */
export function adviseDriving(view: CaseView, knowledge: Knowledge): DrivingJudgement {
  const rules = knowledge.driving
    .filter((rule) => rule.when.some((situation) => holds(situation, view)))
    .sort((a, b) => Number(b.advice === 'stop') - Number(a.advice === 'stop') || b.danger - a.danger);
  const first = rules[0];
  if (first) {
    const second = rules.find((rule) => rule !== first && rule.advice === first.advice);
    return {
      advice: first.advice,
      because: [first, ...(first.advice === 'stop' && second ? [second] : [])]
        .map((rule) => `${rule.because[0]!.toUpperCase()}${rule.because.slice(1)}.`)
        .join(' '),
    };
  }
  const likeliest = view.causes[0];
  const fault = likeliest ? knowledge.faults.byId.get(likeliest.fault) : undefined;
  if (likeliest && fault && likeliest.probability >= likelyEnough && fault.driving !== 'ok') {
    return {
      advice: fault.driving,
      because: `The likeliest cause is ${fault.name}, and going on with it can do more damage or leave you at the roadside.`,
    };
  }
  return {
    advice: 'ok',
    because:
      'There is no stop sign in what you wrote. If the engine light starts to flash, or you smell petrol or exhaust inside, or the temperature climbs into the red, stop.',
  };
}
