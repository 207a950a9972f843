// What the figures say: the calculators' one-line results, those that decide most first, and words that clash.
import type { Derived } from '../vocabulary/answer-document.ts';
import { type Block, plainWords, sentence } from './blocks.ts';
import type { ReplyDraft } from './draft.ts';

/** Which results an owner reads first; the rest stand in the answer document. */
const order = [
  'lambda-from-gas',
  'gas-pattern',
  'in-service-limit',
  'leak-split',
  'total-trim',
  'bank-difference',
  'consumption-loss',
  'consumption-rating',
  'sensor-signal',
  'heater-resistance',
  'air-flow',
  'corrected-co',
];

export function sayReadings(draft: ReplyDraft): Block {
  const told = [...draft.derived].filter((result) => result.says !== '').sort((a, b) => rank(a) - rank(b));
  const lines = [
    ...new Set(told.map((result) => sentence(result.valid ? result.says : (result.because ?? result.says)))),
  ];
  return { title: 'What your figures say', lines: lines.slice(0, 3), short: lines.slice(0, 1), weight: 70 };
}

function rank(result: Derived): number {
  const place = order.indexOf(result.calculator);
  return (place < 0 ? order.length : place) + (result.valid ? 0 : 0.5);
}

/** Words that cannot both be true, with the question that settles it. */
export function sayConflicts(draft: ReplyDraft): Block {
  const lines = draft.conflicts.slice(0, 2).map((conflict) => {
    const quoted = conflict.quote ? ` ("${plainWords(conflict.quote, 60)}")` : '';
    return `${sentence(conflict.says).replace(/[.]$/, '')}${quoted}. ${sentence(conflict.question)}`;
  });
  return {
    title: lines.length > 0 ? 'I could not take this as it stands' : null,
    lines,
    short: lines.slice(0, 1),
    weight: 85,
  };
}

/** Says openly that nothing explains the readings, and that a person is asked in. */
export function sayFit(draft: ReplyDraft): Block {
  const { handOver } = draft.fit;
  if (!handOver.wanted) return { title: null, lines: [], short: null, weight: 0 };
  const because = sentence(handOver.because ?? 'what you wrote does not fit together well');
  return { title: null, lines: [`${because} I have asked a helper to look at this.`], short: null, weight: 95 };
}
