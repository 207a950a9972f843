// One answer with everything behind it: the conversation, the post's words with what was read in them, why each cause ranks where
// it does, and what a person can do about it.

import { maskPersonalData } from '../intake/mask-personal-data.ts';
import { showHidden } from '../pages/readable-text.ts';
import { ReplyHtml } from '../pages/reply-html.tsx';
import type { ConversationEntry, StoredAnswer } from '../store/store.ts';
import { EraseForm, HelperForms, ReviewForm, type Typed } from './answer-forms.tsx';
import {
  DerivedSection,
  FindingsSection,
  FitSection,
  MarkedPost,
  NextSection,
  RankingSection,
  SafetySection,
} from './answer-sections.tsx';
import type { BayDeps } from './bay-deps.ts';
import { bayPage, DrivingTag, Moment } from './bay-frame.tsx';
import { findingsOfPost } from './mark-findings.ts';
import type { Person } from './session.ts';

/** Entries of the conversation that the page shows at most. */
const entryLimit = 100;

export async function answerPage(
  answer: StoredAnswer,
  person: Person,
  deps: BayDeps,
  typed: Typed | null = null,
): Promise<string> {
  const { store, knowledge, clock } = deps;
  const { document } = answer;
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
          <h3>The answer that was sent</h3>
          <ReplyHtml markdown={document.reply.markdown} />
        </section>
        <div class="two">
          <HelperForms answer={answer} person={person} typed={typed} />
          {person.role === 'moderator' ? <ReviewForm answer={answer} person={person} typed={typed} /> : null}
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
          {person.role === 'moderator' ? <EraseForm answer={answer} person={person} /> : null}
        </section>
      </>
    ),
  });
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
