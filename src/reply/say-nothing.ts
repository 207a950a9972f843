// Fitting replies to posts that hold nothing to work on: empty, unreadable, another language, no car at all.
import type { Note } from '../vocabulary/answer-document.ts';
import type { Block } from './blocks.ts';

const whatICanDo =
  'I help with petrol engines that run rich, lean or badly: oxygen sensors, fuel trims, trouble codes, failed emission tests, fuel use, smoke and smells. Tell me the car (make, model, year, engine), what it does and since when, and paste any codes or readings.';

const byKind: Partial<Record<Note['kind'], string>> = {
  empty: `There was nothing in that post for me to read. ${whatICanDo}`,
  unreadable: `I could not read that: it looks like a file or damaged text. Please paste the words or the figures themselves. ${whatICanDo}`,
  'other-language': `I can only read English so far, sorry. If someone can put it into English, figures and codes as they stand, I will gladly look at it. ${whatICanDo}`,
  'no-car': `That does not seem to be about a car's engine, so I have nothing useful to say on it. ${whatICanDo}`,
};

/** The whole reply for such a post; null when the post has something to work on. */
export function sayNothingToRead(notes: readonly Note[]): Block | null {
  const note = notes.find((item) => byKind[item.kind] !== undefined);
  return note ? { title: null, lines: [byKind[note.kind]!], short: null, weight: 100 } : null;
}

/** Said when a post names no symptom, code or figure yet. */
export function sayTellMore(): Block {
  return {
    title: null,
    lines: [
      'I have nothing to go on yet: no code, no reading and no symptom. Tell me what the car does (and since when), any codes, and if you can the fuel trims at warm idle and at 2500 rpm.',
    ],
    short: null,
    weight: 88,
  };
}
