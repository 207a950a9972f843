// One page of the log: by the filter alone, by the index of terms, or by the words of the posts, which lie sealed and are looked
// through piece by piece within one community. The log page calls it.
import { maskPersonalData } from '../intake/mask-personal-data.ts';
import type { BayStore } from '../store/bay-store.ts';
import type { AnswerFilter, AnswerSummary } from '../store/store.ts';

export const pageLength = 25;
/** Whole posts opened at once, and for one page at most: each takes a fraction of a millisecond. */
const pieceLength = 50;
const openedMost = 150;
/** First words that a list shows [UTF-16 units]. */
const excerptLength = 160;
/** Places in the order of danger that can be reached; whoever needs more filters. */
const mostOffset = 5000;

export interface Collected {
  readonly answers: readonly AnswerSummary[];
  /** Where to go on; null at the end. */
  readonly next: number | null;
}

/** @param from the id below which to go on, or the place in the order of danger; 0 for the beginning */
export async function listPage(
  store: BayStore,
  filter: Partial<AnswerFilter>,
  order: AnswerFilter['order'],
  from: number,
): Promise<Collected> {
  const byPlace = order === 'danger';
  const offset = byPlace ? Math.min(from, mostOffset) : 0;
  const before = byPlace || from === 0 ? null : from;
  const found = await store.listAnswers({ ...filter, before, order, limit: pageLength + 1, offset });
  return cut(found, byPlace ? offset + pageLength : null);
}

export async function searchPage(
  store: BayStore,
  filter: Partial<AnswerFilter>,
  terms: readonly string[],
  from: number,
): Promise<Collected> {
  const before = from === 0 ? null : from;
  return cut(await store.searchAnswers({ terms, filter: { ...filter, before }, limit: pageLength + 1 }), null);
}

/** @param next place of the next page; null when it begins below the last id shown */
function cut(found: readonly AnswerSummary[], next: number | null): Collected {
  const answers = found.slice(0, pageLength);
  return { answers, next: found.length > pageLength ? (next ?? answers.at(-1)!.answerId) : null };
}

/** Posts in which the words stand as one piece, in any case; personal data is masked there too, so that it cannot be probed. */
export async function wordsPage(store: BayStore, community: string, words: string, from: number): Promise<Collected> {
  const sought = words.toLowerCase();
  const answers: AnswerSummary[] = [];
  let before = from === 0 ? null : from;
  for (let opened = 0; opened < openedMost; opened += pieceLength) {
    const piece = await store.listWholePosts(community, before, pieceLength);
    for (const answer of piece) {
      before = answer.answerId;
      if (!maskPersonalData(answer.excerpt).toLowerCase().includes(sought)) continue;
      answers.push({ ...answer, excerpt: answer.excerpt.slice(0, excerptLength) });
      if (answers.length === pageLength) return { answers, next: before };
    }
    if (piece.length < pieceLength) return { answers, next: null };
  }
  return { answers, next: before };
}
