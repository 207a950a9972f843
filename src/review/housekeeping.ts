// What goes on by itself beside answering: once an hour what is over its time is erased, owners are asked for outcomes and the
// index is completed; and a running rerun goes on a little each time. app.ts calls it in its sweep.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { BayStore } from '../store/bay-store.ts';
import { askOutcomes } from './ask-outcomes.ts';
import type { BayDeps } from './bay-deps.ts';
import { keepPeriods } from './keep-periods.ts';
import { continueRerun } from './rerun.ts';

export interface HousekeepingDeps {
  readonly store: BayStore;
  readonly answer: BayDeps['answer'];
  readonly knowledges: readonly Knowledge[];
  readonly clock: () => number;
  readonly address: () => string | null;
  readonly channels: readonly string[];
}

export interface Housekept {
  readonly erased: number;
  readonly asked: number;
  readonly indexed: number;
}

const everyMs = 60 * 60 * 1000;
/** Conversations erased in one go: each takes a moment in which nothing else is written. */
const mostErased = 200;
const mostIndexed = 500;
/** A rerun's share of one sweep [ms]: people who write meanwhile should not notice it. */
const rerunBudgetMs = 150;

/** @returns call it as often as you like: what the hourly part did, null when it was not due */
export function makeHousekeeper(deps: HousekeepingDeps): () => Promise<Housekept | null> {
  // Asking the database every second whose turn it is would cost a write each time.
  let lookAgainAt = 0;
  return async () => {
    await continueRerun(deps, rerunBudgetMs, 1);
    const now = deps.clock();
    if (now < lookAgainAt && now > lookAgainAt - 2 * everyMs) return null;
    lookAgainAt = now + everyMs / 4;
    return (await deps.store.claimHousekeeping(now, everyMs)) ? keepHouse(deps, now) : null;
  };
}

async function keepHouse(deps: HousekeepingDeps, now: number): Promise<Housekept> {
  const { store } = deps;
  const { conversations } = await store.eraseOld({
    conversationsBefore: now - keepPeriods.conversationMs,
    messagesBefore: now - keepPeriods.undeliverableMs,
    auditBefore: now - keepPeriods.auditMs,
    tombstonesBefore: now - keepPeriods.tombstoneMs,
    most: mostErased,
    now,
  });
  const indexed = await store.indexAnswers(mostIndexed);
  const asked = await askOutcomes({ ...deps, address: deps.address() });
  return { erased: conversations, asked, indexed };
}
