// What the bay's pages share: the frame with its navigation and sign-out, tags, moments, and the page for what went wrong.
import type { Child } from 'hono/jsx';
import { isoMoment, writeMoment, writeWait } from '../pages/moments.ts';
import { writePage } from '../pages/page.tsx';
import { showHidden } from '../pages/readable-text.ts';
import type { HelperState, ReviewState } from '../store/store.ts';
import type { Person } from './session.ts';

export type BayPlace = 'queue' | 'answers' | 'calibration' | 'reruns' | 'records' | null;

export function bayPage(parts: {
  title: string;
  person: Person | null;
  place: BayPlace;
  main: Child;
  /** Goes on by itself, see pages/page.tsx. */
  refreshTo?: { readonly seconds: number; readonly path?: string } | null;
}): string {
  const { title, person, place, main, refreshTo = null } = parts;
  return writePage({
    kind: 'bay',
    refreshTo,
    title: `${title} - crosscount service bay`,
    header: person ? <Navigation person={person} place={place} /> : undefined,
    main: (
      <>
        <h1>{title}</h1>
        {main}
      </>
    ),
  });
}

function Navigation({ person, place }: { readonly person: Person; readonly place: BayPlace }) {
  return (
    <>
      <nav aria-label="Pages">
        <a href="/bay/queue" aria-current={place === 'queue' ? 'page' : undefined}>
          Waiting posts
        </a>
        {person.role === 'moderator' ? (
          <a href="/bay/answers" aria-current={place === 'answers' ? 'page' : undefined}>
            Logged answers
          </a>
        ) : null}
        <a href="/bay/calibration" aria-current={place === 'calibration' ? 'page' : undefined}>
          How often right
        </a>
        {person.role === 'moderator' ? (
          <>
            <a href="/bay/reruns" aria-current={place === 'reruns' ? 'page' : undefined}>
              Reruns
            </a>
            {person.communities === null ? (
              <a href="/bay/records" aria-current={place === 'records' ? 'page' : undefined}>
                Records
              </a>
            ) : null}
          </>
        ) : null}
      </nav>
      <form method="post" action="/bay/sign-out" class="row">
        <input type="hidden" name="form" value={person.formToken} />
        <span>
          <bdi>{showHidden(person.name)}</bdi>, {person.role}
        </span>
        <button type="submit" class="plain">
          Sign out
        </button>
      </form>
    </>
  );
}

export function Moment({ at, now }: { readonly at: number; readonly now: number }) {
  return (
    <time datetime={isoMoment(at)}>
      {writeMoment(at)} ({writeWait(now - at)} ago)
    </time>
  );
}

export const reviewWords: Record<ReviewState, string> = {
  unreviewed: 'not looked at',
  standing: 'stands',
  corrected: 'corrected',
  withdrawn: 'withdrawn',
};
export const helperWords: Record<HelperState, string> = {
  none: 'no person asked for',
  wanted: 'waits for a person',
  taken: 'a person has it',
  done: 'a person answered',
};
export const drivingWords: Record<string, string> = {
  ok: 'no stop sign found',
  limit: 'short and gentle, to the workshop',
  stop: 'not to be driven',
};

export function ReviewTag({ state }: { readonly state: ReviewState }) {
  const look = state === 'standing' ? 'tag good' : state === 'unreviewed' ? 'tag' : 'tag danger';
  return <span class={look}>{reviewWords[state]}</span>;
}

export function HelperTag({ state }: { readonly state: HelperState }) {
  return <span class={state === 'wanted' || state === 'taken' ? 'tag signal' : 'tag'}>{helperWords[state]}</span>;
}

export function DrivingTag({ driving }: { readonly driving: string }) {
  // By weight of line and ground, not by colour: a traffic light would say more than the words do.
  const look = driving === 'stop' ? 'tag halt' : driving === 'limit' ? 'tag gentle' : 'tag';
  return <span class={look}>{drivingWords[driving] ?? driving}</span>;
}

/** `62 %`; what is not quite impossible or certain does not read as such. */
export function percent(probability: number): string {
  if (probability > 0 && probability < 0.01) return 'under 1 %';
  if (probability < 1 && probability > 0.99) return 'over 99 %';
  return `${Math.round(probability * 100)} %`;
}

export function sayPage(title: string, says: readonly string[], person: Person | null = null): string {
  return bayPage({
    title,
    person,
    place: null,
    main: (
      <section>
        {says.map((sentence) => (
          <p>{sentence}</p>
        ))}
        {person ? (
          <p>
            <a href="/bay">Back to the bay</a>
          </p>
        ) : null}
      </section>
    ),
  });
}
