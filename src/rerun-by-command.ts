// `npm run admin -- rerun [FOLDER]`: all reviewed cases under another knowledge folder, with a bar that grows. Interrupted, it goes
// on where it stopped. admin.ts calls it.
import { answerPost } from './answer.ts';
import { loadKnowledgeFolder } from './knowledge/load-folder.ts';
import { continueRerun } from './review/rerun.ts';
import type { BayStore, Rerun } from './store/bay-store.ts';

/** How often the bar grows [ms]. */
const stepMs = 500;
const barLength = 40;
/** Cases named of those whose first cause or driving advice changed. */
const namedCases = 20;

/**
 * @param folder the knowledge to try; the program's own when undefined
 * @param show   writes to the terminal, without a line feed
 * @returns what came of it, line by line
 * @throws KnowledgeMistakes when the folder has any
 */
export async function rerunByCommand(
  store: BayStore,
  folder: string | undefined,
  show: (text: string) => void,
): Promise<string[]> {
  const knowledge = folder === undefined ? loadKnowledgeFolder() : loadKnowledgeFolder(folder);
  const open = (await store.listReruns(50)).find(
    (rerun) => rerun.state === 'running' && rerun.knowledge === knowledge.version && rerun.communities === null,
  );
  let rerun: Rerun =
    open ??
    (await store.startRerun({
      who: '(command line)',
      communities: null,
      knowledge: knowledge.version,
      now: Date.now(),
    }));
  const deps = { store, answer: answerPost, knowledges: [knowledge], clock: Date.now };
  while (rerun.state === 'running') {
    show(`\r${bar(rerun)}`);
    const worked = await continueRerun(deps, stepMs, 8);
    if (worked === null) break;
    rerun = (await store.readRerun(rerun.rerunId)) ?? rerun;
  }
  show(`\r${bar(rerun)}\n`);
  return report(store, rerun);
}

function bar({ done, total }: Rerun): string {
  const share = total === 0 ? 1 : done / total;
  const full = Math.round(share * barLength);
  return `[${'='.repeat(full)}${' '.repeat(barLength - full)}] ${done} of ${total}`;
}

async function report(store: BayStore, rerun: Rerun): Promise<string[]> {
  const sums = await store.sumRerun(rerun.rerunId);
  const results = await store.listRerunResults(rerun.rerunId, namedCases, 0);
  const moved = results.filter(
    (result) => result.wasCause !== result.nowCause || result.wasDriving !== result.nowDriving,
  );
  return [
    `run ${rerun.rerunId} under knowledge ${rerun.knowledge}: ${rerun.state}`,
    `first cause changed in ${sums.moved} of ${sums.results}, driving advice in ${sums.driving}`,
    `settled cases ${sums.settled}: first right ${sums.wasFirst} before, ${sums.nowFirst} now; among three ${sums.wasThree}, ${sums.nowThree}`,
    ...moved.map(
      ({ answerId, wasCause, nowCause, wasDriving, nowDriving }) =>
        `  answer ${answerId}: ${wasCause ?? 'none'} -> ${nowCause ?? 'none'}${wasDriving === nowDriving ? '' : `, driving ${wasDriving} -> ${nowDriving}`}`,
    ),
  ];
}
