// Goes through the stored answers piece by piece until enough are found that fit, or enough were looked at. What cannot be asked
// of the store, because it lies in sealed words, is found this way. The log page calls it.
import type { AnswerSummary, Store } from '../store/store.ts';

const pageLength = 25;
/** Opening the first words of an answer takes a fifth of a millisecond (measured), so no more are read than are needed. */
const pieceLength = 100;
/** Answers looked at for one page at most; the page offers to look further. */
const lookedAtMost = 500;

type Filter = Omit<Parameters<Store['listAnswers']>[0], 'limit' | 'offset'>;

export interface Collected {
  readonly answers: AnswerSummary[];
  /** Where to go on; null at the end. */
  readonly next: number | null;
}

/** @param from how many answers of the filtered list to pass over */
export async function collectAnswers(
  store: Store,
  filter: Filter,
  fits: (answer: AnswerSummary) => boolean,
  from: number,
): Promise<Collected> {
  const answers: AnswerSummary[] = [];
  let at = from;
  while (at < from + lookedAtMost) {
    const limit = at === from ? pageLength + 1 : pieceLength;
    const piece = await store.listAnswers({ ...filter, limit, offset: at });
    for (const [index, answer] of piece.entries()) {
      if (!fits(answer)) continue;
      if (answers.length === pageLength) return { answers, next: at + index };
      answers.push(answer);
    }
    if (piece.length < limit) return { answers, next: null };
    at += limit;
  }
  return { answers, next: at };
}
