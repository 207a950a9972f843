// Recording what it was: by helpers and moderators on the page of an answer, and by owners through the one-time link that they
// were sent. bay.tsx mounts the first, app.ts the second at /outcome.
import { Hono } from 'hono';
import { csrf } from 'hono/csrf';
import type { Knowledge } from '../knowledge/knowledge.ts';
import { writePage } from '../pages/page.tsx';
import { dropHidden } from '../pages/readable-text.ts';
import { hashToken, isToken } from '../pages/tokens.ts';
import type { NewOutcome, OutcomeResult } from '../store/outcome-types.ts';
import type { StoredAnswer } from '../store/store.ts';
import { likenessTerms, searchTerms } from '../vocabulary/search-terms.ts';
import { answerPage } from './answer-page.tsx';
import type { BayDeps } from './bay-deps.ts';
import { type BayEnvironment, findAnswer } from './guards.ts';
import { longestNote, OutcomeFields } from './outcome-forms.tsx';
import { readFields, readOwnFields } from './session.ts';

export function outcomeActs(routes: Hono<BayEnvironment>, deps: BayDeps): void {
  const { store, knowledge, clock } = deps;
  routes.post('/answers/:id/outcome', async (context) => {
    const person = context.get('person');
    const field = await readOwnFields(context, person);
    const answer = await findAnswer(context, deps);
    const read = readOutcome(answer, field, knowledge);
    const refuse = async (says: string, status: 400 | 409) =>
      context.html(await answerPage(await findAnswer(context, deps), person, deps, { outcomeSays: says }), status);
    if (typeof read === 'string') return refuse(read, 400);
    const recorded = await store.recordOutcome({ ...read, source: person.role, who: person.name, now: clock() });
    return recorded
      ? context.redirect(`/bay/answers/${answer.answerId}#outcome`, 303)
      : refuse('Somebody was faster, or a moderator has said what it was. Nothing of yours was recorded.', 409);
  });
}

/** The outcome that a form says, or what is wrong with it. */
function readOutcome(
  answer: StoredAnswer,
  field: (name: string) => string,
  knowledge: Knowledge,
): Omit<NewOutcome, 'source' | 'who' | 'now'> | string {
  const result = (['fixed', 'not-fixed', 'unknown'] as const).find((one) => one === field('result'));
  if (result === undefined) return 'Choose how it ended.';
  const fault = field('fault');
  if (result === 'fixed' && !knowledge.faults.byId.has(fault)) return 'Choose what it was, or that nobody knows.';
  const version = Number(field('version') || '0');
  return {
    answerId: answer.answerId,
    result: result satisfies OutcomeResult,
    fault: result === 'fixed' ? fault : null,
    note: dropHidden(field('note')).trim().slice(0, longestNote),
    version: Number.isSafeInteger(version) ? version : -1,
    terms: searchTerms(answer.document),
    likeness: likenessTerms(answer.document),
  };
}

/** The owner's page behind the link: says what it was, or wishes not to be asked. Opening it spends nothing. */
export function outcomePages(deps: BayDeps): Hono {
  const { store, knowledge, clock } = deps;
  const pages = new Hono();
  pages.use('*', async (context, next) => {
    await next();
    context.header('Cache-Control', 'no-store');
  });

  pages.get('/', async (context) => {
    const token = context.req.query('token') ?? '';
    const found = isToken(token) ? await store.readOutcomeRequest(await hashToken(token)) : null;
    return found === null
      ? context.html(ownerPage(goneWords), 404)
      : context.html(askPage(token, found.answer, knowledge, null));
  });

  pages.post('/', csrf(), async (context) => {
    const field = await readFields(context);
    const token = field('token');
    const hash = isToken(token) ? await hashToken(token) : '';
    const found = hash === '' ? null : await store.readOutcomeRequest(hash);
    if (found === null) return context.html(ownerPage(goneWords), 404);
    if (field('step') === 'decline') {
      await store.closeOutcomeRequest(hash, 'declined', clock());
      return context.html(ownerPage(['You are not asked again. Thank you all the same.']));
    }
    const read = readOutcome(found.answer, field, knowledge);
    if (typeof read === 'string') return context.html(askPage(token, found.answer, knowledge, read), 400);
    const recorded = await store.recordOutcome({ ...read, source: 'owner', who: '(owner)', now: clock() });
    if (!recorded) await store.closeOutcomeRequest(hash, 'answered', clock());
    return context.html(ownerPage(['Thank you: that helps the next one with the same trouble.']));
  });
  return pages;
}

const goneWords = ['This question was answered already, or its conversation is gone.'];

function ownerPage(says: readonly string[]): string {
  return writePage({
    kind: 'plain',
    title: 'What it was in the end',
    main: (
      <section class="opening">
        <h1>What it was in the end</h1>
        {says.map((sentence) => (
          <p>{sentence}</p>
        ))}
      </section>
    ),
  });
}

function askPage(token: string, answer: StoredAnswer, knowledge: Knowledge, says: string | null): string {
  return writePage({
    kind: 'plain',
    title: 'What it was in the end',
    main: (
      <section class="opening">
        <h1>What it was in the end</h1>
        <p>Some days ago you asked about a car here. What came of it helps to judge the next answers.</p>
        {says === null ? null : (
          <p class="note grave" role="alert">
            {says}
          </p>
        )}
        <form method="post" action="/outcome">
          <input type="hidden" name="token" value={token} />
          <OutcomeFields document={answer.document} knowledge={knowledge} chosen={null} />
          <p>
            <button type="submit">Tell it</button>
          </p>
        </form>
        <form method="post" action="/outcome">
          <input type="hidden" name="token" value={token} />
          <input type="hidden" name="step" value="decline" />
          <button type="submit" class="plain">
            Do not ask me again
          </button>
        </form>
      </section>
    ),
  });
}
