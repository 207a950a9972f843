// The waiting posts: those that need a person first, most dangerous first, then longest waiting, then least sure; above them what
// the person has in hand, below what others have.
import { z } from 'zod';
import type { AnswerFilter, AnswerSummary } from '../store/store.ts';
import { AnswerList } from './answer-list.tsx';
import type { BayDeps } from './bay-deps.ts';
import { bayPage } from './bay-frame.tsx';
import { Choice } from './filter-choice.tsx';
import { mayRead } from './guards.ts';
import type { Person } from './session.ts';

/** Posts shown of each list; whoever works through these comes back to the rest. */
const shown = 50;

const filter = z.object({
  driving: z.enum(['stop', 'limit']).optional().catch(undefined),
  community: z.string().max(80).optional().catch(undefined),
});

/** @param query the address's query; what it does not know counts as not given */
export async function queuePage(
  person: Person,
  query: Record<string, string>,
  { store, knowledge, clock }: BayDeps,
): Promise<string> {
  const { driving, community } = filter.parse(query);
  const communities = (await store.listCommunities()).filter((name) => mayRead(person, name));
  const isTheirs = community !== undefined && mayRead(person, community);
  const list = (more: Partial<AnswerFilter>) =>
    store.listAnswers({
      ...(driving ? { driving } : {}),
      communities: isTheirs ? [community] : person.communities,
      order: 'danger',
      limit: shown + 1,
      offset: 0,
      ...more,
    });
  const mine = await list({ helper: 'taken', helperBy: { is: person.name } });
  const wanted = await list({ helper: 'wanted' });
  const taken = await list({ helper: 'taken', helperBy: { not: person.name } });
  const now = clock();
  const answers = (name: string, head: string, found: readonly AnswerSummary[], none: string, hint: string | null) => (
    <section aria-labelledby={name}>
      <h2 id={name}>
        {head}
        {found.length > 0 ? ` (${count(found.length)})` : ''}
      </h2>
      {hint === null ? null : <p class="hint">{hint}</p>}
      {found.length === 0 ? <p>{none}</p> : null}
      <AnswerList answers={found.slice(0, shown)} knowledge={knowledge} now={now} kind="queue" />
    </section>
  );
  return bayPage({
    title: 'Waiting posts',
    person,
    place: 'queue',
    main: (
      <>
        <search>
          <form method="get" action="/bay/queue" class="filters sheet-form" aria-label="Narrow the list">
            <Choice
              name="driving"
              label="Driving"
              words={{ stop: 'not to be driven', limit: 'short and gentle' }}
              chosen={driving}
            />
            {communities.length < 2 ? null : (
              <Choice
                name="community"
                label="Community"
                words={Object.fromEntries(communities.map((name) => [name, name]))}
                chosen={isTheirs ? community : undefined}
              />
            )}
            <button type="submit">Show</button>
          </form>
        </search>
        {mine.length === 0 ? null : answers('mine', 'In your hands', mine, '', null)}
        {answers(
          'wanted',
          'Nobody has these yet',
          wanted,
          'No post waits for a person.',
          'Most dangerous first, then the longest waiting, then those the program is least sure about. The arrow keys go from post to post.',
        )}
        {answers('taken', 'In other hands', taken, 'Nobody else has a post in hand.', null)}
      </>
    ),
  });
}

function count(length: number): string {
  return length > shown ? `the first ${shown}` : String(length);
}
