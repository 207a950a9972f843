// Changing what was read: shows the form, works the conversation again with the changes, and saves them with the correction.
// bay.tsx mounts it.
import type { Hono } from 'hono';
import { dropHidden } from '../pages/readable-text.ts';
import type { StoredAnswer } from '../store/store.ts';
import { emptyCase } from '../vocabulary/case.ts';
import { amendCase } from '../vocabulary/finding-change.ts';
import { Problem } from '../vocabulary/problems.ts';
import { searchTerms } from '../vocabulary/search-terms.ts';
import { longestMessage, longestReason } from './answer-forms.tsx';
import type { BayDeps } from './bay-deps.ts';
import type { TypedFields } from './finding-forms.tsx';
import { type FindingsPageParts, findingsPage } from './findings-page.tsx';
import { type BayContext, type BayEnvironment, findAnswer, moderator } from './guards.ts';
import { findingsOfPost } from './mark-findings.ts';
import { readFindingChanges } from './read-finding-changes.ts';
import { sayReview } from './say-review.ts';
import { readOwnFields } from './session.ts';
import { readChanges, readHistory, type WorkedAgain, workAgain } from './work-again.ts';

/** Findings that the page offers to change: the newest, when a long conversation has more. */
const mostFindings = 120;

export function findingActs(routes: Hono<BayEnvironment>, deps: BayDeps): void {
  const { store, knowledge, clock, answer: work } = deps;

  routes.get('/answers/:id/findings', async (context) => {
    const person = moderator(context);
    const answer = await findAnswer(context, deps);
    return context.html(await page(context, answer, { person, typed: null, says: [], preview: null }));
  });

  routes.post('/answers/:id/findings', async (context) => {
    const person = moderator(context);
    const field = await readOwnFields(context, person);
    const answer = await findAnswer(context, deps);
    const saved = await readChanges(deps, answer);
    const findings = await findingsNow(answer);
    const { changes, mistakes } = readFindingChanges(findings, field, knowledge);
    const show = async (says: readonly string[], preview: FindingsPageParts['preview'], status: 200 | 400 | 409) =>
      context.html(await page(context, answer, { person, typed: field, says, preview }), status);
    if (mistakes.length > 0) return show(mistakes, null, 400);
    if (changes.length === 0) return show(['Nothing was changed: everything stands as it was read.'], null, 400);

    const { version: caseVersion } = await store.loadCase(answer.channel, answer.conversation);
    const history = await readHistory(deps, answer);
    const before = workAgain(work, knowledge, answer, history, saved);
    const after = workAgain(work, knowledge, answer, history, [...saved, ...changes]);
    if (before === null || after === null)
      throw new Problem('invalid', 'This post could not be answered, so there is no ranking to change.');
    const preview = {
      before: before.document,
      after: after.document,
      changes,
      laterPosts: after.laterPosts,
      caseVersion,
    };
    if (field('step') !== 'save') return show([], preview, 200);

    const mistake = mistakeIn(field);
    if (mistake !== null) return show([mistake], preview, 400);
    const version = Number(field('version'));
    if (Number(field('case')) !== caseVersion)
      return show(['The owner wrote again meanwhile. Nothing was saved: look at what it changes now.'], preview, 409);
    if (version === answer.review.version && (await save(context, answer, changes, after, field, caseVersion)))
      return context.redirect(`/bay/answers/${answer.answerId}#review`, 303);
    return show(['Somebody was faster. Nothing of yours was saved or sent; look at the answer again.'], preview, 409);
  });

  async function save(
    context: BayContext,
    answer: StoredAnswer,
    changes: ReturnType<typeof readFindingChanges>['changes'],
    after: WorkedAgain,
    field: (name: string) => string,
    caseVersion: number,
  ): Promise<boolean> {
    const text = dropHidden(field('text')).trim();
    const reason = dropHidden(field('reason')).trim();
    return store.reviseAnswer({
      answerId: answer.answerId,
      version: answer.review.version,
      caseVersion,
      by: context.get('person').name,
      reason,
      changes,
      document: after.document,
      next: after.next,
      message: sayReview(answer, 'corrected', text, reason, crypto.randomUUID())!,
      terms: searchTerms(after.document),
      now: clock(),
    });
  }

  /** The findings of the answer with what persons changed before. */
  async function findingsNow(answer: StoredAnswer) {
    const saved = await readChanges(deps, answer);
    const amended = amendCase({ ...emptyCase, findings: answer.document.findings.slice(-mostFindings) }, saved);
    return amended.findings;
  }

  async function page(
    context: BayContext,
    answer: StoredAnswer,
    parts: Pick<FindingsPageParts, 'person' | 'says' | 'preview'> & { readonly typed: TypedFields },
  ): Promise<string> {
    const fresh = parts.says.length > 0 ? await findAnswer(context, deps) : answer;
    const answers = await store.listConversationAnswers(answer.channel, answer.conversation);
    const earlier = answers.filter((other) => other.answerId < answer.answerId).length;
    const findings = await findingsNow(answer);
    const marked = findingsOfPost(answer.postText, answer.document.findings, earlier);
    return findingsPage({ answer: fresh, findings, marked, ...parts }, deps);
  }
}

function mistakeIn(field: (name: string) => string): string | null {
  const text = dropHidden(field('text')).trim();
  if (text === '') return 'Write the corrected answer.';
  if (text.length > longestMessage)
    return `The answer has ${text.length} characters; at most ${longestMessage} go out.`;
  const reason = field('reason').length;
  return reason > longestReason ? `The reason has ${reason} characters; at most ${longestReason} are kept.` : null;
}
