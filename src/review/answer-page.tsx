// One answer with everything behind it: the conversation, the post's words with what was read in them, why each cause ranks where
// it does, and what a person can do about it.

import { maskPersonalData } from '../intake/mask-personal-data.ts';
import { writeMoment } from '../pages/moments.ts';
import { showHidden } from '../pages/readable-text.ts';
import { ReplyHtml } from '../pages/reply-html.tsx';
import type { Revision } from '../store/bay-store.ts';
import type { ConversationEntry, StoredAnswer } from '../store/store.ts';
import { likenessTerms } from '../vocabulary/search-terms.ts';
import { EraseForm, HelperForms, ReviewForm, type Typed, WriterForms } from './answer-forms.tsx';
import {
  DerivedSection,
  FindingsSection,
  FitSection,
  MarkedPost,
  NextSection,
  Pictures,
  RankingSection,
  SafetySection,
} from './answer-sections.tsx';
import type { BayDeps } from './bay-deps.ts';
import { bayPage, DrivingTag, Moment } from './bay-frame.tsx';
import { findingsOfPost } from './mark-findings.ts';
import { OutcomeSection, SettledSection } from './outcome-forms.tsx';
import type { Person } from './session.ts';

/** Entries of the conversation that the page shows at most. */
const entryLimit = 100;
/** Settled cases that stand beside a new one. */
const settledShown = 5;

export interface AnswerPageState {
  readonly typed?: Typed;
  /** Why an outcome could not be recorded. */
  readonly outcomeSays?: string;
  /** The working as it was sent, when findings were changed since. */
  readonly asSent?: boolean;
}

export async function answerPage(
  answer: StoredAnswer,
  person: Person,
  deps: BayDeps,
  shown: AnswerPageState = {},
): Promise<string> {
  const { store, knowledge, clock } = deps;
  const { typed = null, outcomeSays = null, asSent = false } = shown;
  const revisions = await store.listRevisions(answer.channel, answer.conversation);
  const revision = revisions.findLast((one) => one.answerId === answer.answerId) ?? null;
  const document = revision === null || asSent ? answer.document : revision.document;
  const outcome = await store.readOutcome(answer.channel, answer.conversation);
  const settled = await store.listSettled({
    channel: answer.channel,
    conversation: answer.conversation,
    terms: likenessTerms(document),
    limit: settledShown,
  });
  const entries = await store.readConversation(answer.channel, answer.conversation, entryLimit);
  const answers = await store.listConversationAnswers(answer.channel, answer.conversation);
  const earlier = answers.filter((other) => other.answerId < answer.answerId);
  const findings = findingsOfPost(answer.postText, document.findings, earlier.length);
  const parts = { document, knowledge };
  const now = clock();
  return bayPage({
    title: `Answer ${answer.answerId}`,
    person,
    place: null,
    main: (
      <>
        <div class="facts">
          <DrivingTag driving={document.driving} />
          <Moment at={answer.createdAt} now={now} />
          <span>{answer.channel}</span>
          {earlier.length > 0 ? <span>post {earlier.length + 1} of its conversation</span> : null}
        </div>
        <section aria-labelledby="post">
          <h2 id="post">The post, with what was read in it</h2>
          <MarkedPost text={answer.postText} findings={findings} knowledge={knowledge} />
          {person.role === 'moderator' ? (
            <p class="row">
              <a href={`/bay/answers/${answer.answerId}/findings`}>Change what was read</a>{' '}
              <a href={`/bay/answers/${answer.answerId}/rerun`}>Work it again</a>{' '}
              {person.communities === null ? (
                <a href={`/bay/records?about=${encodeURIComponent(`answer ${answer.answerId}`)}`}>
                  What was done about it
                </a>
              ) : null}
            </p>
          ) : null}
          <h3>The answer that was sent</h3>
          <ReplyHtml markdown={answer.document.reply.markdown} />
          <Pictures pictures={answer.document.pictures} />
        </section>
        {revision === null ? null : <RevisionNote answer={answer} revision={revision} asSent={asSent} />}
        <div class="packed">
          <HelperForms answer={answer} person={person} typed={typed} />
          {person.role === 'moderator' ? <ReviewForm answer={answer} person={person} typed={typed} /> : null}
          <OutcomeSection
            answerId={answer.answerId}
            document={answer.document}
            outcome={outcome}
            person={person}
            knowledge={knowledge}
            says={outcomeSays}
          />
          <SettledSection settled={settled} knowledge={knowledge} person={person} />
        </div>
        <RankingSection {...parts} />
        <div class="packed">
          <FitSection {...parts} />
          <SafetySection {...parts} />
          <NextSection {...parts} />
          <DerivedSection {...parts} />
        </div>
        <FindingsSection {...parts} />
        <section aria-labelledby="conversation">
          <h2 id="conversation">The whole conversation</h2>
          {entries.map((entry) => (
            <Turn entry={entry} now={now} isThis={entry.kind === 'post' && entry.id === answer.postId} />
          ))}
          {person.role === 'moderator' ? (
            <>
              <WriterForms answer={answer} person={person} />
              <EraseForm answer={answer} person={person} />
            </>
          ) : null}
        </section>
      </>
    ),
  });
}

/** What was changed in the answer's findings, and which of the two workings the page shows. */
function RevisionNote(parts: { readonly answer: StoredAnswer; readonly revision: Revision; readonly asSent: boolean }) {
  const { answer, revision, asSent } = parts;
  const page = `/bay/answers/${answer.answerId}`;
  return (
    <p class="note">
      <bdi>{showHidden(revision.who)}</bdi> changed {revision.changes.length} finding(s), {writeMoment(revision.at)}.{' '}
      {asSent ? (
        <>
          Below it is as it was sent. <a href={page}>As changed</a>
        </>
      ) : (
        <>
          Below it is as changed. <a href={`${page}?as=sent`}>As it was sent</a>
        </>
      )}
    </p>
  );
}

const turnNames: Record<ConversationEntry['kind'], string> = {
  post: 'Owner',
  reply: 'Program',
  'helper-reply': 'Helper',
  correction: 'Correction',
  withdrawal: 'Withdrawal',
};

function Turn({
  entry,
  now,
  isThis,
}: {
  readonly entry: ConversationEntry;
  readonly now: number;
  readonly isThis: boolean;
}) {
  return (
    <div class={isThis ? 'turn this' : 'turn'}>
      <h3>
        {turnNames[entry.kind]}, <Moment at={entry.at} now={now} />
        {isThis ? ' (the post above)' : ''}
      </h3>
      {entry.kind === 'post' ? (
        <div class="written" dir="auto">
          {showHidden(maskPersonalData(entry.text.slice(0, 4000)))}
          {entry.text.length > 4000 ? ' [...]' : ''}
        </div>
      ) : (
        <ReplyHtml markdown={entry.markdown} />
      )}
    </div>
  );
}
