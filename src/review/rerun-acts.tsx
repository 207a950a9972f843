// Starting, watching and stopping reruns, and one answer under another knowledge version. For moderators; bay.tsx mounts it.
import type { Hono } from 'hono';
import type { Rerun } from '../store/bay-store.ts';
import { Problem } from '../vocabulary/problems.ts';
import type { BayDeps } from './bay-deps.ts';
import { type BayContext, type BayEnvironment, findAnswer, moderator } from './guards.ts';
import { rerunAnswer } from './rerun.ts';
import { answerRerunPage, rerunPage, rerunsPage } from './reruns-page.tsx';
import { type Person, readOwnFields } from './session.ts';

const runsShown = 20;
const resultsShown = 50;

export function rerunActs(routes: Hono<BayEnvironment>, deps: BayDeps): void {
  const { store, knowledge, clock } = deps;
  const knowledges = deps.trial ? [knowledge, deps.trial] : [knowledge];
  const known = (version: string) => knowledges.find((one) => one.version === version);

  routes.get('/reruns', async (context) => {
    const person = moderator(context);
    const reruns = (await store.listReruns(runsShown)).filter((rerun) => isTheirs(person, rerun));
    return context.html(rerunsPage({ person, reruns, knowledges }));
  });

  routes.post('/reruns', async (context) => {
    const person = moderator(context);
    const field = await readOwnFields(context, person);
    const chosen = known(field('knowledge'));
    if (!chosen) throw new Problem('invalid', 'Choose a knowledge version of the list.');
    const { rerunId } = await store.startRerun({
      who: person.name,
      communities: person.communities,
      knowledge: chosen.version,
      now: clock(),
    });
    return context.redirect(`/bay/reruns/${rerunId}`, 303);
  });

  routes.get('/reruns/:run', async (context) => {
    const person = moderator(context);
    const rerun = await findRerun(context, person);
    const from = Math.min(1e7, Math.max(0, Math.floor(Number(context.req.query('from')) || 0)));
    const results = await store.listRerunResults(rerun.rerunId, resultsShown + 1, from);
    return context.html(
      rerunPage({
        person,
        rerun,
        sums: await store.sumRerun(rerun.rerunId),
        results: results.slice(0, resultsShown),
        next: results.length > resultsShown ? from + resultsShown : null,
        knowledge,
        isLoaded: known(rerun.knowledge) !== undefined,
      }),
    );
  });

  routes.post('/reruns/:run/stop', async (context) => {
    const person = moderator(context);
    await readOwnFields(context, person);
    const { rerunId } = await findRerun(context, person);
    await store.stopRerun(rerunId, person.name, clock());
    return context.redirect(`/bay/reruns/${rerunId}`, 303);
  });

  routes.get('/answers/:id/rerun', async (context) => {
    const person = moderator(context);
    const answer = await findAnswer(context, deps);
    const chosen = known(context.req.query('knowledge') ?? '') ?? deps.trial ?? knowledge;
    const now = await rerunAnswer(deps, chosen, answer);
    return context.html(answerRerunPage({ person, answer, now, knowledge: chosen, knowledges }));
  });

  async function findRerun(context: BayContext, person: Person): Promise<Rerun> {
    const given = context.req.param('run') ?? '';
    const rerun = /^\d{1,15}$/.test(given) ? await store.readRerun(Number(given)) : null;
    if (rerun === null || !isTheirs(person, rerun)) throw new Problem('not-found', 'There is no such run.');
    return rerun;
  }
}

/** A run over communities of which one is not the person's shows what they may not see. */
function isTheirs(person: Person, { communities }: Rerun): boolean {
  if (person.communities === null) return true;
  return communities?.every((name) => person.communities?.includes(name)) ?? false;
}
