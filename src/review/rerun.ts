// Works stored cases again under a knowledge version: one for the page of an answer, all reviewed ones piece by piece as the gate
// for a knowledge change. The housekeeping and `admin rerun` drive it; a run that was interrupted goes on where it stopped.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { BayStore, Rerun, RerunResult } from '../store/bay-store.ts';
import type { StoredAnswer } from '../store/store.ts';
import type { AnswerDocument } from '../vocabulary/answer-document.ts';
import type { BayDeps } from './bay-deps.ts';
import { readChanges, readHistory, workAgain } from './work-again.ts';

export interface RerunDeps {
  readonly store: BayStore;
  readonly answer: BayDeps['answer'];
  /** Versions that can be run: the present one and, when it was given, a trial. */
  readonly knowledges: readonly Knowledge[];
  readonly clock: () => number;
}

/** The answer as this knowledge would give it, a person's changes of the findings included; null when the post cannot be answered. */
export async function rerunAnswer(
  deps: Pick<RerunDeps, 'store' | 'answer'>,
  knowledge: Knowledge,
  answer: StoredAnswer,
): Promise<AnswerDocument | null> {
  const history = await readHistory(deps, answer);
  const changes = await readChanges(deps, answer);
  return workAgain(deps.answer, knowledge, answer, history, changes)?.document ?? null;
}

/**
 * Goes on with the oldest running rerun whose knowledge is at hand.
 *
 * @param budgetMs    how long it may take, looked at after each piece
 * @param pieceLength answers of one piece: nothing else is done meanwhile, and a crash loses no more
 * @returns the run as it stands then; null when nothing is to be done
 */
export async function continueRerun(deps: RerunDeps, budgetMs: number, pieceLength: number): Promise<Rerun | null> {
  const { store, knowledges, clock } = deps;
  const running = (await store.listReruns(50)).filter(({ state }) => state === 'running').reverse();
  for (const rerun of running) {
    const knowledge = knowledges.find(({ version }) => version === rerun.knowledge);
    if (knowledge) return workPieces(deps, knowledge, rerun, clock() + budgetMs, pieceLength);
  }
  return null;
}

async function workPieces(
  deps: RerunDeps,
  knowledge: Knowledge,
  start: Rerun,
  until: number,
  pieceLength: number,
): Promise<Rerun> {
  const { store, clock } = deps;
  let rerun = start;
  do {
    const answers = await store.nextOfRerun(rerun, pieceLength);
    const results: RerunResult[] = [];
    for (const answer of answers) {
      const result = await resultOf(deps, knowledge, answer);
      if (result) results.push(result);
    }
    const doneTo = answers.at(-1)?.answerId ?? rerun.lastAnswer;
    // Somebody stopped it, or another copy of the program did this piece.
    if (!(await store.saveRerunPiece(rerun, results, doneTo, rerun.done + answers.length, clock()))) return rerun;
    rerun = (await store.readRerun(rerun.rerunId)) ?? rerun;
  } while (rerun.state === 'running' && clock() < until);
  return rerun;
}

async function resultOf(deps: RerunDeps, knowledge: Knowledge, answer: StoredAnswer): Promise<RerunResult | null> {
  const now = await rerunAnswer(deps, knowledge, answer);
  if (now === null) return null;
  const was = answer.document;
  const outcome = await deps.store.readOutcome(answer.channel, answer.conversation);
  // The outcome is held against the conversation's last answer alone.
  const fault = outcome?.answerId === answer.answerId ? outcome.fault : null;
  const placeIn = (document: AnswerDocument) => {
    const index = fault === null ? -1 : document.causes.findIndex((cause) => cause.fault === fault);
    return index < 0 ? null : index + 1;
  };
  return {
    answerId: answer.answerId,
    wasCause: was.causes[0]?.fault ?? null,
    wasProbability: was.causes[0]?.probability ?? null,
    nowCause: now.causes[0]?.fault ?? null,
    nowProbability: now.causes[0]?.probability ?? null,
    fault,
    wasPlace: placeIn(was),
    nowPlace: placeIn(now),
    wasDriving: was.driving,
    nowDriving: now.driving,
  };
}
