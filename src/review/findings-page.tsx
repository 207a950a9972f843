// The page on which a moderator changes what was read in a post, sees the ranking move before anything is saved, and sends the
// correction. finding-acts.tsx serves it.
import { dropHidden, showHidden } from '../pages/readable-text.ts';
import type { StoredAnswer } from '../store/store.ts';
import type { AnswerDocument } from '../vocabulary/answer-document.ts';
import type { FindingChange } from '../vocabulary/finding-change.ts';
import type { Finding } from '../vocabulary/findings.ts';
import { longestMessage, longestReason } from './answer-forms.tsx';
import { MarkedPost } from './answer-sections.tsx';
import type { BayDeps } from './bay-deps.ts';
import { bayPage } from './bay-frame.tsx';
import { describeFinding } from './describe-finding.ts';
import { FindingFields, RankingsCompared, type TypedFields } from './finding-forms.tsx';
import type { Person } from './session.ts';

export interface FindingsPageParts {
  readonly answer: StoredAnswer;
  readonly person: Person;
  /** What was read, with the changes that were saved before. */
  readonly findings: readonly Finding[];
  /** Those of this very post, for marking. */
  readonly marked: readonly Finding[];
  readonly typed: TypedFields;
  readonly says: readonly string[];
  readonly preview: {
    readonly before: AnswerDocument;
    readonly after: AnswerDocument;
    readonly changes: readonly FindingChange[];
    readonly laterPosts: number;
    readonly caseVersion: number;
  } | null;
}

export function findingsPage(parts: FindingsPageParts, { knowledge }: BayDeps): string {
  const { answer, person, findings, marked, typed, says, preview } = parts;
  const path = `/bay/answers/${answer.answerId}/findings`;
  return bayPage({
    title: `Change what was read in answer ${answer.answerId}`,
    person,
    place: null,
    main: (
      <>
        {says.length > 0 ? (
          <div class="note grave" role="alert">
            {says.map((sentence) => (
              <p>{showHidden(sentence)}</p>
            ))}
          </div>
        ) : null}
        <form method="post" action={path} class="stack">
          <input type="hidden" name="form" value={person.formToken} />
          <input type="hidden" name="version" value={String(answer.review.version)} />
          {preview ? <Preview {...parts} preview={preview} knowledge={knowledge} /> : null}
          <section aria-labelledby="read">
            <h2 id="read">What was read</h2>
            <MarkedPost text={answer.postText} findings={marked} knowledge={knowledge} linked={false} />
            {findings.length === 0 ? <p>Nothing was read in this conversation.</p> : null}
            {findings.map((finding) => (
              <FindingFields finding={finding} knowledge={knowledge} typed={typed} />
            ))}
            <p class="row">
              <button type="submit" name="step" value="preview">
                Show what that changes
              </button>
              <a href={`/bay/answers/${answer.answerId}`}>Back without a change</a>
            </p>
          </section>
        </form>
      </>
    ),
  });
}

function Preview(
  parts: FindingsPageParts & {
    readonly preview: NonNullable<FindingsPageParts['preview']>;
    readonly knowledge: BayDeps['knowledge'];
  },
) {
  const { answer, preview, knowledge, typed } = parts;
  const { before, after, changes, laterPosts } = preview;
  const sameKnowledge = answer.document.model.knowledge === before.model.knowledge;
  return (
    <section aria-labelledby="moves">
      <h2 id="moves">What that changes</h2>
      <ul>
        {changes.map(({ was, becomes }) => (
          <li>
            <del>{showHidden(describeFinding(was, knowledge))}</del>{' '}
            {becomes === null ? 'is left out' : <ins>{showHidden(describeFinding(becomes, knowledge))}</ins>}
          </li>
        ))}
      </ul>
      <RankingsCompared before={before} after={after} knowledge={knowledge} names={['as read', 'as changed']} />
      {sameKnowledge ? null : (
        <p class="hint">
          Both are worked out with the present knowledge ({before.model.knowledge}); the answer that was sent was worked
          out with {answer.document.model.knowledge}.
        </p>
      )}
      {laterPosts > 0 ? (
        <p class="note">
          {laterPosts} later post(s) of this conversation were answered from the same findings. The case is put right
          for what comes; look at those answers too.
        </p>
      ) : null}
      <input type="hidden" name="case" value={String(preview.caseVersion)} />
      <label for="correction">Corrected answer, as the owner will read it</label>
      <textarea id="correction" name="text" rows={10} maxlength={longestMessage}>
        {`\n${typed?.('text') || dropHidden(after.reply.text)}`}
      </textarea>
      <p class="hint">
        It goes out as a correction of the earlier answer: by editing that where the platform allows it.
      </p>
      <label for="reason">Reason, for the record</label>
      <input id="reason" name="reason" type="text" maxlength={longestReason} value={typed?.('reason') ?? ''} />
      <p>
        <button type="submit" name="step" value="save">
          Save and send the correction
        </button>
      </p>
    </section>
  );
}
