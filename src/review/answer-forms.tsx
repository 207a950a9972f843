// What a person can do with an answer: a helper takes it, gives it back, edits the draft and sends it; a moderator says whether
// it stands. answer-page.tsx shows the forms, bay.tsx takes them.
import { writeMoment } from '../pages/moments.ts';
import { dropHidden, showHidden } from '../pages/readable-text.ts';
import type { ReviewState, StoredAnswer } from '../store/store.ts';
import { HelperTag, ReviewTag } from './bay-frame.tsx';
import type { Person } from './session.ts';

/** Longest text that goes out to an owner: one chat turn [UTF-16 units]. */
export const longestMessage = 1800;
export const longestReason = 500;
/** Questions that a helper can put into the draft by a press. */
const questionsOffered = 8;

/** What was typed into a form that was not sent yet, so that nobody types it twice. */
export interface Typed {
  /** Why it could not be taken; null when the form only comes back with more in it. */
  readonly says: string | null;
  readonly form: 'reply' | 'review';
  readonly text: string;
  readonly reason: string;
  readonly state: ReviewState | null;
}

interface FormParts {
  readonly answer: StoredAnswer;
  readonly person: Person;
  readonly typed: Typed | null;
}

export function HelperForms({ answer, person, typed: given }: FormParts) {
  const { state, by } = answer.helper;
  const mine = state === 'taken' && by === person.name;
  const typed = given?.form === 'reply' ? given : null;
  const questions = answer.document.questions.slice(0, questionsOffered);
  return (
    <section aria-labelledby="helper">
      <h2 id="helper">Answer it yourself</h2>
      <p>
        <HelperTag state={state} /> {by === null ? '' : <bdi>{showHidden(by)}</bdi>}
      </p>
      {typed?.says ? (
        <p class="note grave" role="alert">
          {typed.says}
        </p>
      ) : null}
      {mine ? (
        <>
          <form method="post" action={`/bay/answers/${answer.answerId}/reply`}>
            <FormToken person={person} />
            <label for="reply">Reply to the owner</label>
            <textarea
              id="reply"
              name="text"
              rows={12}
              maxlength={longestMessage}
              required={true}
              aria-describedby="reply-hint"
            >
              {`\n${typed ? typed.text : dropHidden(answer.document.reply.text)}`}
            </textarea>
            <p id="reply-hint" class="hint">
              It begins as the program's own answer. At most {longestMessage} characters; it goes out as from a helper.
            </p>
            <button type="submit">Send this reply</button>
            {questions.length === 0 ? null : (
              <fieldset>
                <legend>Ask one of the program's questions</legend>
                <label for="question">Question, best first</label>
                <select id="question" name="question">
                  {questions.map((question) => (
                    <option value={question.id}>{question.text}</option>
                  ))}
                </select>
                <button
                  type="submit"
                  class="plain"
                  formaction={`/bay/answers/${answer.answerId}/draft`}
                  formnovalidate={true}
                >
                  Add it to the reply
                </button>
              </fieldset>
            )}
          </form>
          <form method="post" action={`/bay/answers/${answer.answerId}/give-back`}>
            <FormToken person={person} />
            <p>
              <button type="submit" class="plain">
                Give it back
              </button>
            </p>
          </form>
        </>
      ) : state === 'taken' ? (
        <p>Somebody else has it. It can be taken when they give it back.</p>
      ) : (
        <form method="post" action={`/bay/answers/${answer.answerId}/take`}>
          <FormToken person={person} />
          <input type="hidden" name="from" value={state} />
          <button type="submit">{state === 'done' ? 'Take it again' : 'Take it'}</button>
        </form>
      )}
    </section>
  );
}

const choices: ReadonlyArray<readonly [Exclude<ReviewState, 'unreviewed'>, string]> = [
  ['standing', 'It stands. The owner is told nothing.'],
  ['corrected', 'It is corrected: the text below goes to the owner.'],
  ['withdrawn', 'It is withdrawn: the owner is told not to act on it, and why.'],
];

export function ReviewForm({ answer, person, typed: given }: FormParts) {
  const { review } = answer;
  const typed = given?.form === 'review' ? given : null;
  const chosen = typed ? typed.state : review.state;
  return (
    <section aria-labelledby="review">
      <h2 id="review">Does the answer stand?</h2>
      <p>
        <ReviewTag state={review.state} />{' '}
        {review.by === null || review.at === null ? (
          ''
        ) : (
          <>
            by <bdi>{showHidden(review.by)}</bdi>, {writeMoment(review.at)}
            {review.reason ? `: ${showHidden(review.reason)}` : ''}
          </>
        )}
      </p>
      {typed?.says ? (
        <p class="note grave" role="alert">
          {typed.says}
        </p>
      ) : null}
      <form method="post" action={`/bay/answers/${answer.answerId}/review`}>
        <FormToken person={person} />
        <input type="hidden" name="version" value={String(review.version)} />
        <fieldset>
          <legend>The answer</legend>
          {choices.map(([value, text]) => (
            <label class="choice">
              <input type="radio" name="state" value={value} checked={chosen === value} required={true} />
              {text}
            </label>
          ))}
        </fieldset>
        <label for="correction">Corrected answer (only when it is corrected)</label>
        <textarea id="correction" name="text" rows={8} maxlength={longestMessage}>
          {`\n${typed ? typed.text : dropHidden(answer.document.reply.text)}`}
        </textarea>
        <label for="reason">Reason</label>
        <input
          id="reason"
          name="reason"
          type="text"
          maxlength={longestReason}
          value={typed ? typed.reason : ''}
          aria-describedby="reason-hint"
        />
        <p id="reason-hint" class="hint">
          For the record; when the answer is withdrawn, the owner reads it too.
        </p>
        <button type="submit">Save</button>
      </form>
    </section>
  );
}

/** What the post's writer may ask for: everything that is kept of them, or that it all goes. */
export function WriterForms({ answer, person }: Omit<FormParts, 'typed'>) {
  return (
    <details>
      <summary>Everything of this writer</summary>
      <form method="post" action={`/bay/answers/${answer.answerId}/export`}>
        <FormToken person={person} />
        <p>All posts of this writer on this channel, the answers to them and the messages, as a file for the writer.</p>
        <button type="submit" class="plain">
          Hand it out
        </button>
      </form>
      <form method="post" action={`/bay/answers/${answer.answerId}/erase-writer`}>
        <FormToken person={person} />
        <label class="choice">
          <input type="checkbox" name="sure" value="yes" required={true} />
          The writer asked for it: erase all posts of this writer, in every conversation of the channel.
        </label>
        <button type="submit" class="grave">
          Erase the writer
        </button>
      </form>
    </details>
  );
}

/** Moderators erase a conversation when its owner asks for it. */
export function EraseForm({ answer, person }: Omit<FormParts, 'typed'>) {
  return (
    <details>
      <summary>Erase this conversation</summary>
      <form method="post" action={`/bay/answers/${answer.answerId}/erase`}>
        <FormToken person={person} />
        <p>
          Its posts, answers and messages are removed here for good. What a chat platform or a backup holds is not
          reached from here.
        </p>
        <label class="choice">
          <input type="checkbox" name="sure" value="yes" required={true} />
          Its owner asked for it, or it must not be kept.
        </label>
        <button type="submit" class="grave">
          Erase
        </button>
      </form>
    </details>
  );
}

function FormToken({ person }: { readonly person: Person }) {
  return <input type="hidden" name="form" value={person.formToken} />;
}
