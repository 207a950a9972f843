// What it was in the end, on the page of an answer: what is known, the form to record it, and settled cases of the same community
// that are like this one.
import type { Knowledge } from '../knowledge/knowledge.ts';
import { writeMoment } from '../pages/moments.ts';
import { showHidden } from '../pages/readable-text.ts';
import type { KeptOutcome, SettledCase } from '../store/outcome-types.ts';
import type { AnswerDocument } from '../vocabulary/answer-document.ts';
import { percent } from './bay-frame.tsx';
import type { Person } from './session.ts';

export const longestNote = 500;
/** Causes of the ranking that head the list to choose from. */
const causesFirst = 6;

export const resultWords = {
  fixed: 'it was found and mended',
  'not-fixed': 'it is as it was',
  unknown: 'it runs, nobody knows why',
} as const;

export function OutcomeSection(parts: {
  readonly answerId: number;
  readonly document: AnswerDocument;
  readonly outcome: KeptOutcome | null;
  readonly person: Person;
  readonly knowledge: Knowledge;
  readonly says: string | null;
}) {
  const { answerId, document, outcome, person, knowledge, says } = parts;
  return (
    <section aria-labelledby="outcome">
      <h2 id="outcome">What it was in the end</h2>
      {outcome === null ? <p>Not known yet.</p> : <Known outcome={outcome} knowledge={knowledge} />}
      {says === null ? null : (
        <p class="note grave" role="alert">
          {says}
        </p>
      )}
      {outcome?.source === 'moderator' && person.role === 'helper' ? null : (
        <form method="post" action={`/bay/answers/${answerId}/outcome`}>
          <input type="hidden" name="form" value={person.formToken} />
          <input type="hidden" name="version" value={String(outcome?.version ?? 0)} />
          <OutcomeFields document={document} knowledge={knowledge} chosen={outcome} />
          <label for="note">Note, for the record</label>
          <input id="note" name="note" type="text" maxlength={longestNote} value="" />
          <button type="submit">Record it</button>
        </form>
      )}
    </section>
  );
}

function Known({ outcome, knowledge }: { readonly outcome: KeptOutcome; readonly knowledge: Knowledge }) {
  const { fault, place, probability } = outcome;
  return (
    <p>
      <strong>
        {fault === null ? resultWords[outcome.result] : (knowledge.faults.byId.get(fault)?.name ?? fault)}
      </strong>
      , says the {outcome.source}
      {outcome.source === 'owner' ? null : (
        <>
          {' '}
          <bdi>{showHidden(outcome.who)}</bdi>
        </>
      )}
      , {writeMoment(outcome.at)}.{' '}
      {fault === null
        ? null
        : place === null
          ? 'The ranking did not have it.'
          : `The ranking had it at place ${place}, with ${percent(probability ?? 0)}.`}{' '}
      {outcome.note === '' ? null : <bdi>{showHidden(outcome.note)}</bdi>}
    </p>
  );
}

/** How it ended, and which fault it was: those of the ranking first. */
export function OutcomeFields(parts: {
  readonly document: AnswerDocument;
  readonly knowledge: Knowledge;
  readonly chosen: Pick<KeptOutcome, 'result' | 'fault'> | null;
}) {
  const { document, knowledge, chosen } = parts;
  const ranked = document.causes.slice(0, causesFirst).map(({ fault }) => fault);
  const nameOf = (fault: string) => knowledge.faults.byId.get(fault)?.name ?? fault;
  const others = knowledge.faults
    .filter(({ id }) => !ranked.includes(id))
    .map(({ id }) => id)
    .sort((a, b) => (nameOf(a) < nameOf(b) ? -1 : 1));
  return (
    <>
      <fieldset>
        <legend>How it ended</legend>
        {(['fixed', 'not-fixed', 'unknown'] as const).map((result) => (
          <label class="choice">
            <input type="radio" name="result" value={result} checked={chosen?.result === result} required={true} />
            {resultWords[result]}
          </label>
        ))}
      </fieldset>
      <label for="fault">What it was, when it was found</label>
      <select id="fault" name="fault">
        <option value="">(choose)</option>
        <optgroup label="As the answer ranked it">
          {ranked.map((fault) => (
            <option value={fault} selected={chosen?.fault === fault}>
              {nameOf(fault)}
            </option>
          ))}
        </optgroup>
        <optgroup label="Something else">
          {others.map((fault) => (
            <option value={fault} selected={chosen?.fault === fault}>
              {nameOf(fault)}
            </option>
          ))}
        </optgroup>
      </select>
    </>
  );
}

export function SettledSection(parts: {
  readonly settled: readonly SettledCase[];
  readonly knowledge: Knowledge;
  readonly person: Person;
}) {
  const { settled, knowledge, person } = parts;
  if (settled.length === 0) return null;
  return (
    <section aria-labelledby="settled">
      <h2 id="settled">Settled cases like this one</h2>
      <ul class="plain-list">
        {settled.map(({ answerId, fault, firstCause, firstProbability, shared }) => (
          <li>
            {person.role === 'moderator' ? (
              <a href={`/bay/answers/${answerId}`}>{knowledge.faults.byId.get(fault)?.name ?? fault}</a>
            ) : (
              <strong>{knowledge.faults.byId.get(fault)?.name ?? fault}</strong>
            )}
            {firstCause === null || firstProbability === null
              ? ''
              : firstCause === fault
                ? `, as the program said first (${percent(firstProbability)})`
                : `, the program said ${knowledge.faults.byId.get(firstCause)?.name ?? firstCause} (${percent(firstProbability)})`}
            <span class="hint"> both: {shared.slice(0, 8).join(', ')}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}
