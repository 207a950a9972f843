// Lists of answers: the helpers' waiting posts and the moderators' log, one line each with what decides about opening it.
import { maskPersonalData } from '../intake/mask-personal-data.ts';
import type { Knowledge } from '../knowledge/knowledge.ts';
import { writeWait } from '../pages/moments.ts';
import { showHidden } from '../pages/readable-text.ts';
import type { AnswerSummary } from '../store/store.ts';
import { DrivingTag, HelperTag, Moment, percent, ReviewTag } from './bay-frame.tsx';
import { reasonToLook } from './sampling.ts';

export interface AnswerListParts {
  readonly answers: readonly AnswerSummary[];
  readonly knowledge: Knowledge;
  readonly now: number;
  /** `queue` says how long a post waits, `log` what a moderator has said. */
  readonly kind: 'queue' | 'log';
}

export function AnswerList({ answers, knowledge, now, kind }: AnswerListParts) {
  return (
    <ol class="sheet">
      {answers.map((answer) => (
        <li class={answer.driving}>
          <a class="post" href={`/bay/answers/${answer.answerId}`} dir="auto">
            {excerptOf(answer)}
          </a>
          <div class="facts">
            <DrivingTag driving={answer.driving} />
            {kind === 'queue' ? (
              <span>waits {writeWait(now - answer.createdAt)}</span>
            ) : (
              <>
                <ReviewTag state={answer.review} />
                <LookTag answer={answer} />
                {answer.helper === 'none' ? null : <HelperTag state={answer.helper} />}
                <Moment at={answer.createdAt} now={now} />
              </>
            )}
            {answer.danger > 0 ? <span>danger {answer.danger} of 100</span> : null}
            <span>{firstCause(answer, knowledge)}</span>
            {answer.surprise >= 0.5 ? <span>fits badly ({percent(answer.surprise)} surprise)</span> : null}
            <span>{answer.channel}</span>
          </div>
        </li>
      ))}
    </ol>
  );
}

const lookWords = { danger: 'look: danger', surprise: 'look: surprising', sample: 'look: sample' } as const;

function LookTag({ answer }: { readonly answer: AnswerSummary }) {
  const reason = reasonToLook(answer);
  return reason === null ? null : <span class="tag signal">{lookWords[reason]}</span>;
}

/** The store keeps the first words; where they were cut, it shows. */
const excerptLength = 160;

function excerptOf(answer: AnswerSummary): string {
  const shown = showHidden(maskPersonalData(answer.excerpt)).trim();
  if (shown === '') return '(no words)';
  return answer.excerpt.length >= excerptLength ? `${shown}...` : shown;
}

function firstCause(answer: AnswerSummary, knowledge: Knowledge): string {
  if (answer.firstCause === null || answer.firstProbability === null) return 'no ranking';
  const name = knowledge.faults.byId.get(answer.firstCause)?.name ?? answer.firstCause;
  return `${name}, ${percent(answer.firstProbability)}`;
}
