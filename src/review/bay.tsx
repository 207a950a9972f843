// The service bay, where people stay in charge: sign-in, waiting posts, logged answers, and what helpers and moderators do with
// them. app.ts mounts it at `/bay`. Every page works without a script.
import { Hono } from 'hono';
import { csrf } from 'hono/csrf';
import { dropHidden } from '../pages/readable-text.ts';
import type { HelperState, ReviewState, StoredAnswer } from '../store/store.ts';
import { Problem, problemStatus } from '../vocabulary/problems.ts';
import { longestMessage, longestReason, type Typed } from './answer-forms.tsx';
import { answerPage } from './answer-page.tsx';
import type { BayDeps } from './bay-deps.ts';
import { helperWords, reviewWords, sayPage } from './bay-frame.tsx';
import { calibrationPage } from './calibration-page.tsx';
import { findingActs } from './finding-acts.tsx';
import { type BayContext, type BayEnvironment, findAnswer, moderator } from './guards.ts';
import { issuerActs } from './issuer-acts.tsx';
import { logPage } from './log-page.tsx';
import { outcomeActs } from './outcome-acts.tsx';
import { queuePage } from './queue-page.tsx';
import { recordActs } from './record-acts.tsx';
import { rerunActs } from './rerun-acts.tsx';
import { sayReview } from './say-review.ts';
import { readFields, readOwnFields, readPerson, signIn, signOut } from './session.ts';
import { signInPage, spentLinkPage, strangerPage } from './sign-in-page.tsx';

export function bay(deps: BayDeps): Hono {
  const { store, clock } = deps;
  const outer = new Hono();
  outer.use('*', async (context, next) => {
    await next();
    context.header('Cache-Control', 'no-store');
  });
  outer.onError((error, context) => {
    if (!(error instanceof Problem) || error.code === 'internal') throw error;
    return context.html(sayPage('That did not work', [error.message]), problemStatus[error.code]);
  });

  outer.get('/sign-in', (context) => context.html(signInPage(context.req.query('token') ?? null, deps.issuer)));
  outer.post('/sign-in', csrf(), async (context) => {
    const field = await readFields(context);
    const session = await signIn(context, field('token'), deps);
    return session === null ? context.html(spentLinkPage(), 401) : context.redirect('/bay', 303);
  });

  issuerActs(outer, deps);

  const inner = new Hono<BayEnvironment>();
  inner.use('*', async (context, next) => {
    const person = await readPerson(context, deps);
    if (person === null) return context.html(strangerPage(deps.issuer), 401);
    context.set('person', person);
    return next();
  });

  inner.get('/', (context) => {
    const person = context.get('person');
    return context.redirect(person.role === 'moderator' ? '/bay/answers' : '/bay/queue', 303);
  });
  inner.get('/queue', async (context) =>
    context.html(await queuePage(context.get('person'), context.req.query(), deps)),
  );
  inner.get('/answers', async (context) => {
    const person = moderator(context);
    return context.html(await logPage(person, context.req.query(), deps));
  });
  inner.get('/answers/:id', async (context) =>
    context.html(
      await answerPage(await findAnswer(context, deps), context.get('person'), deps, {
        asSent: context.req.query('as') === 'sent',
      }),
    ),
  );

  findingActs(inner, deps);
  outcomeActs(inner, deps);
  rerunActs(inner, deps);
  recordActs(inner, deps);
  inner.get('/calibration', async (context) => context.html(await calibrationPage(context.get('person'), deps)));

  inner.post('/sign-out', async (context) => {
    await readOwnFields(context, context.get('person'));
    await signOut(context, deps);
    return context.html(sayPage('Signed out', ['You are signed out. A new link lets you in again.']));
  });

  inner.post('/answers/:id/take', async (context) => {
    const person = context.get('person');
    const field = await readOwnFields(context, person);
    const answer = await findAnswer(context, deps);
    const from = ['none', 'wanted', 'done'].find((state) => state === field('from')) as HelperState | undefined;
    const moved = from && (await store.moveHelperState(answer.answerId, from, 'taken', person.name, clock()));
    if (moved) return context.redirect(`/bay/answers/${answer.answerId}#helper`, 303);
    return refuse(context, deps, 'reply', (fresh) => `Somebody was faster: now it ${helperWords[fresh.helper.state]}.`);
  });

  inner.post('/answers/:id/give-back', async (context) => {
    const person = context.get('person');
    await readOwnFields(context, person);
    const { answerId } = await findAnswer(context, deps);
    if (await store.moveHelperState(answerId, 'taken', 'wanted', person.name, clock()))
      return context.redirect('/bay/queue', 303);
    return refuse(context, deps, 'reply', () => 'It is not in your hands any more.');
  });

  inner.post('/answers/:id/draft', async (context) => {
    const person = context.get('person');
    const field = await readOwnFields(context, person);
    const answer = await findAnswer(context, deps);
    const question = answer.document.questions.find(({ id }) => id === field('question'));
    const answers = question?.answers.map(({ text }, index) => `${index + 1}) ${text}`).join('   ') ?? '';
    const text = [field('text').trim(), question?.text ?? '', answers].filter((part) => part !== '').join('\n\n');
    const typed: Typed = { says: null, form: 'reply', text, reason: '', state: null };
    return context.html(await answerPage(answer, person, deps, { typed }));
  });

  inner.post('/answers/:id/erase', async (context) => {
    const person = moderator(context);
    const field = await readOwnFields(context, person);
    const { channel, conversation } = await findAnswer(context, deps);
    if (field('sure') !== 'yes') throw new Problem('invalid', 'Nothing was erased: tick the box if it is meant.');
    const posts = await store.eraseConversation(channel, conversation, clock(), person.name);
    return context.html(sayPage('Erased', [`The conversation is gone, with its ${posts} post(s).`], person));
  });

  inner.post('/answers/:id/reply', async (context) => {
    const person = context.get('person');
    const field = await readOwnFields(context, person);
    const answer = await findAnswer(context, deps);
    const text = dropHidden(field('text')).trim();
    const typed = { text: field('text') };
    if (text === '') return refuse(context, deps, 'reply', () => 'Write the reply first.', typed);
    if (text.length > longestMessage) return refuse(context, deps, 'reply', () => tooLong(text, longestMessage), typed);
    const message = {
      channel: answer.channel,
      conversation: answer.conversation,
      postId: answer.postId,
      kind: 'helper-reply' as const,
      text,
      markdown: text,
      marker: crypto.randomUUID(),
    };
    if (await store.sendHelperReply(answer.answerId, person.name, message, clock()))
      return context.redirect(`/bay/answers/${answer.answerId}#helper`, 303);
    return refuse(context, deps, 'reply', () => 'It was not sent: the post is not in your hands any more.', typed);
  });

  inner.post('/answers/:id/review', async (context) => {
    const person = moderator(context);
    const field = await readOwnFields(context, person);
    const answer = await findAnswer(context, deps);
    const [text, reason] = [dropHidden(field('text')).trim(), dropHidden(field('reason')).trim()];
    const state = ['standing', 'corrected', 'withdrawn'].find((one) => one === field('state')) as
      | ReviewState
      | undefined;
    const typed = { text: field('text'), reason: field('reason'), state: state ?? null };
    const mistake = mistakeInReview(state, text, reason);
    if (mistake) return refuse(context, deps, 'review', () => mistake, typed);
    const version = Number(field('version'));
    const saved =
      state !== undefined &&
      version === answer.review.version &&
      (await store.reviewAnswer({
        answerId: answer.answerId,
        version,
        state,
        by: person.name,
        reason,
        message: sayReview(answer, state, text, reason, crypto.randomUUID()),
        now: clock(),
      }));
    if (saved) return context.redirect(`/bay/answers/${answer.answerId}#review`, 303);
    return refuse(
      context,
      deps,
      'review',
      ({ review }) =>
        `${review.by ?? 'Somebody'} was faster: the answer is now marked "${reviewWords[review.state]}". ` +
        'Nothing of yours was saved or sent; look at it again and save if you still want to.',
      typed,
    );
  });

  outer.route('/', inner);
  return outer;
}

function mistakeInReview(state: ReviewState | undefined, text: string, reason: string): string | null {
  if (state === undefined) return 'Choose whether the answer stands, is corrected or is withdrawn.';
  if (state === 'corrected' && text === '') return 'Write the corrected answer.';
  if (state === 'corrected' && text.length > longestMessage) return tooLong(text, longestMessage);
  if (state === 'withdrawn' && reason === '') return 'Give a reason: the owner reads it.';
  return reason.length > longestReason ? tooLong(reason, longestReason) : null;
}

const tooLong = (text: string, most: number) =>
  `The text has ${text.length} characters; at most ${most} go out. Shorten it.`;

/** The answer as it is now, with what was typed and why it was not taken. */
async function refuse(
  context: BayContext,
  deps: BayDeps,
  form: Typed['form'],
  says: (fresh: StoredAnswer) => string,
  typed: Partial<Pick<Typed, 'text' | 'reason' | 'state'>> = {},
): Promise<Response> {
  const fresh = await findAnswer(context, deps);
  const refused: Typed = {
    form,
    says: says(fresh),
    text: typed.text ?? fresh.document.reply.text,
    reason: typed.reason ?? '',
    state: typed.state ?? null,
  };
  return context.html(await answerPage(fresh, context.get('person'), deps, { typed: refused }), 409);
}
