// Reruns of reviewed cases under another knowledge version: starting one, how far it is, what it moved. And one answer, side by
// side. rerun-acts.tsx serves both.
import type { Knowledge } from '../knowledge/knowledge.ts';
import { writeMoment } from '../pages/moments.ts';
import { showHidden } from '../pages/readable-text.ts';
import type { BayStore, Rerun, RerunResult } from '../store/bay-store.ts';
import type { StoredAnswer } from '../store/store.ts';
import type { AnswerDocument } from '../vocabulary/answer-document.ts';
import { bayPage, drivingWords, percent } from './bay-frame.tsx';
import { RankingsCompared } from './finding-forms.tsx';
import { wilsonInterval } from './interval.ts';
import type { Person } from './session.ts';

export function rerunsPage(parts: {
  readonly person: Person;
  readonly reruns: readonly Rerun[];
  readonly knowledges: readonly Knowledge[];
}): string {
  const { person, reruns, knowledges } = parts;
  return bayPage({
    title: 'Reruns',
    person,
    place: 'reruns',
    main: (
      <>
        <section aria-labelledby="start">
          <h2 id="start">Work the reviewed cases again</h2>
          <p>
            Every answer that a moderator looked at, and every settled case, is worked out again and held against what
            was sent: the gate for a change of the knowledge base.
          </p>
          <form method="post" action="/bay/reruns">
            <input type="hidden" name="form" value={person.formToken} />
            <label for="knowledge">Under which knowledge</label>
            <select id="knowledge" name="knowledge">
              {knowledges.map(({ version }, index) => (
                <option value={version} selected={index === knowledges.length - 1}>
                  {version} {index === 0 ? '(in use)' : '(on trial)'}
                </option>
              ))}
            </select>
            {knowledges.length > 1 ? null : (
              <p class="hint">
                To try a changed copy of the knowledge folder, start the program with CROSSCOUNT_TRIAL set to it.
              </p>
            )}
            <button type="submit">Start</button>
          </form>
        </section>
        <section aria-labelledby="runs">
          <h2 id="runs">Runs</h2>
          {reruns.length === 0 ? <p>None yet.</p> : null}
          <ul class="plain-list">
            {reruns.map((rerun) => (
              <li>
                <a href={`/bay/reruns/${rerun.rerunId}`}>Run {rerun.rerunId}</a>: knowledge{' '}
                {showHidden(rerun.knowledge)}, {stateWords[rerun.state]}, {rerun.done} of {rerun.total}, by{' '}
                <bdi>{showHidden(rerun.who)}</bdi>, {writeMoment(rerun.startedAt)}
              </li>
            ))}
          </ul>
        </section>
      </>
    ),
  });
}

const stateWords: Record<Rerun['state'], string> = { running: 'goes on', done: 'done', stopped: 'stopped' };

export type RerunSums = Awaited<ReturnType<BayStore['sumRerun']>>;

export function rerunPage(parts: {
  readonly person: Person;
  readonly rerun: Rerun;
  readonly sums: RerunSums;
  readonly results: readonly RerunResult[];
  readonly next: number | null;
  readonly knowledge: Knowledge;
  readonly isLoaded: boolean;
}): string {
  const { person, rerun, sums, results, next, knowledge, isLoaded } = parts;
  const { done, total, state } = rerun;
  return bayPage({
    title: `Run ${rerun.rerunId} under knowledge ${rerun.knowledge}`,
    person,
    place: 'reruns',
    refreshTo: state === 'running' ? { seconds: 3 } : null,
    main: (
      <>
        <section aria-labelledby="progress">
          <h2 id="progress">
            {done} of {total}, {stateWords[state]}
          </h2>
          <progress max={Math.max(1, total)} value={total === 0 ? 1 : done} aria-labelledby="progress" />
          {state !== 'running' ? null : (
            <>
              <p class="hint">
                {isLoaded
                  ? 'The page renews itself. The run goes on in the background, also after a restart.'
                  : 'It waits: the program was started without this knowledge version.'}
              </p>
              <form method="post" action={`/bay/reruns/${rerun.rerunId}/stop`}>
                <input type="hidden" name="form" value={person.formToken} />
                <button type="submit" class="plain">
                  Stop it
                </button>
              </form>
            </>
          )}
          <Sums sums={sums} />
        </section>
        <section aria-labelledby="moved">
          <h2 id="moved">Case by case, what moved most first</h2>
          {results.length === 0 ? (
            <p>Nothing yet.</p>
          ) : (
            <Results results={results} rerun={rerun} knowledge={knowledge} />
          )}
          {next === null ? null : (
            <p>
              <a rel="next" href={`/bay/reruns/${rerun.rerunId}?from=${next}`}>
                More
              </a>
            </p>
          )}
        </section>
      </>
    ),
  });
}

function Sums({ sums }: { readonly sums: RerunSums }) {
  const { results, moved, driving, settled, wasFirst, nowFirst, wasThree, nowThree } = sums;
  const share = (hits: number) => {
    const { low, high } = wilsonInterval(hits, settled);
    return `${hits} of ${settled} (${Math.round(low * 100)} to ${Math.round(high * 100)} %)`;
  };
  return (
    <ul>
      <li>
        The first cause changed in {moved} of {results}; the word on driving in {driving}.
      </li>
      {settled === 0 ? (
        <li>No settled case among them: whether it got better cannot be said.</li>
      ) : (
        <>
          <li>
            First cause right: was {share(wasFirst)}, would be {share(nowFirst)}.
          </li>
          <li>
            Among the first three: was {share(wasThree)}, would be {share(nowThree)}.
          </li>
        </>
      )}
    </ul>
  );
}

function Results(parts: {
  readonly results: readonly RerunResult[];
  readonly rerun: Rerun;
  readonly knowledge: Knowledge;
}) {
  const { results, rerun, knowledge } = parts;
  const nameOf = (fault: string | null) =>
    fault === null ? 'none' : (knowledge.faults.byId.get(fault)?.name ?? fault);
  return (
    <section class="scroll" tabindex={0} aria-label="Cases">
      <table>
        <thead>
          <tr>
            <th scope="col">Answer</th>
            <th scope="col">Was</th>
            <th scope="col">Would be</th>
            <th scope="col">It was</th>
            <th scope="col">Driving</th>
          </tr>
        </thead>
        <tbody>
          {results.map((result) => (
            <tr>
              <td>
                <a href={`/bay/answers/${result.answerId}/rerun?knowledge=${encodeURIComponent(rerun.knowledge)}`}>
                  {result.answerId}
                </a>
              </td>
              <td>
                {nameOf(result.wasCause)} {percent(result.wasProbability ?? 0)}
              </td>
              <td>
                {result.wasCause === result.nowCause ? 'the same' : nameOf(result.nowCause)}{' '}
                {percent(result.nowProbability ?? 0)}
              </td>
              <td>
                {result.fault === null
                  ? 'not known'
                  : `${nameOf(result.fault)}: place ${result.wasPlace ?? 'none'}, then ${result.nowPlace ?? 'none'}`}
              </td>
              <td>
                {result.wasDriving === result.nowDriving
                  ? 'the same'
                  : `${drivingWords[result.wasDriving] ?? result.wasDriving}, then ${drivingWords[result.nowDriving] ?? result.nowDriving}`}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** One answer as it was sent beside what another knowledge version makes of the same posts. */
export function answerRerunPage(parts: {
  readonly person: Person;
  readonly answer: StoredAnswer;
  readonly now: AnswerDocument | null;
  readonly knowledge: Knowledge;
  readonly knowledges: readonly Knowledge[];
}): string {
  const { person, answer, now, knowledge, knowledges } = parts;
  const was = answer.document;
  return bayPage({
    title: `Answer ${answer.answerId} under knowledge ${knowledge.version}`,
    person,
    place: null,
    main: (
      <>
        <section aria-labelledby="rankings">
          <h2 id="rankings">Both rankings</h2>
          <p class="row">
            <a href={`/bay/answers/${answer.answerId}`}>The answer</a>
            {knowledges.map(({ version }) => (
              <a href={`/bay/answers/${answer.answerId}/rerun?knowledge=${version}`}>under {version}</a>
            ))}
          </p>
          {now === null ? (
            <p>The post cannot be answered, so there is nothing to compare.</p>
          ) : (
            <RankingsCompared
              before={was}
              after={now}
              knowledge={knowledge}
              names={[`sent (${was.model.knowledge})`, `now (${now.model.knowledge})`]}
            />
          )}
        </section>
        {now === null ? null : (
          <div class="two">
            <section aria-labelledby="sent">
              <h2 id="sent">As it was sent</h2>
              <div class="written">{showHidden(was.reply.text)}</div>
            </section>
            <section aria-labelledby="anew">
              <h2 id="anew">As it would be</h2>
              <div class="written">{showHidden(now.reply.text)}</div>
            </section>
          </div>
        )}
      </>
    ),
  });
}
