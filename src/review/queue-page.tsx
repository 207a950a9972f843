// The waiting posts: those that need a person first, most dangerous first, then longest waiting, then least sure; and below
// them those that somebody has in hand.

import { AnswerList } from './answer-list.tsx';
import type { BayDeps } from './bay-deps.ts';
import { bayPage } from './bay-frame.tsx';
import type { Person } from './session.ts';

/** Posts shown of each list; whoever works through these comes back to the rest. */
const shown = 50;

export async function queuePage(person: Person, { store, knowledge, clock }: BayDeps): Promise<string> {
  const order = { communities: person.communities, order: 'danger', limit: shown + 1, offset: 0 } as const;
  const wanted = await store.listAnswers({ helper: 'wanted', ...order });
  const taken = await store.listAnswers({ helper: 'taken', ...order });
  const now = clock();
  return bayPage({
    title: 'Waiting posts',
    person,
    place: 'queue',
    main: (
      <>
        <section aria-labelledby="wanted">
          <h2 id="wanted">Nobody has these yet{wanted.length > 0 ? ` (${count(wanted.length)})` : ''}</h2>
          <p class="hint">
            Most dangerous first, then the longest waiting, then those the program is least sure about.
          </p>
          {wanted.length === 0 ? <p>No post waits for a person.</p> : null}
          <AnswerList answers={wanted.slice(0, shown)} knowledge={knowledge} now={now} kind="queue" />
        </section>
        <section aria-labelledby="taken">
          <h2 id="taken">In hand{taken.length > 0 ? ` (${count(taken.length)})` : ''}</h2>
          {taken.length === 0 ? <p>Nobody has a post in hand.</p> : null}
          <AnswerList answers={taken.slice(0, shown)} knowledge={knowledge} now={now} kind="queue" />
        </section>
      </>
    ),
  });
}

function count(length: number): string {
  return length > shown ? `the first ${shown}` : String(length);
}
