// The logged answers, for moderators: what to look at first, filters, search by the index or by the posts' words, page by page.
import { z } from 'zod';
import type { AnswerFilter } from '../store/store.ts';
import { AnswerList } from './answer-list.tsx';
import type { BayDeps } from './bay-deps.ts';
import { bayPage, helperWords, reviewWords } from './bay-frame.tsx';
import { type Collected, listPage, searchPage, wordsPage } from './collect-answers.ts';
import { Choice } from './filter-choice.tsx';
import { mayRead } from './guards.ts';
import type { Person } from './session.ts';

const filter = z.object({
  /** `due`: only those that a moderator should look at. */
  look: z.enum(['due']).optional().catch(undefined),
  review: z.enum(['unreviewed', 'standing', 'corrected', 'withdrawn']).optional().catch(undefined),
  helper: z.enum(['none', 'wanted', 'taken', 'done']).optional().catch(undefined),
  driving: z.enum(['stop', 'limit']).optional().catch(undefined),
  community: z.string().max(80).optional().catch(undefined),
  order: z.enum(['danger', 'newest']).catch('newest'),
  words: z.string().trim().max(100).catch(''),
  /** `posts`: the words are sought in the posts themselves. */
  in: z.enum(['posts']).optional().catch(undefined),
  from: z.coerce.number().int().min(0).max(Number.MAX_SAFE_INTEGER).catch(0),
});
type Filter = z.infer<typeof filter>;

/** @param query the address's query; what it does not know counts as not given */
export async function logPage(person: Person, query: Record<string, string>, deps: BayDeps): Promise<string> {
  const { store, knowledge, clock } = deps;
  const chosen = filter.parse({ words: '', ...query });
  const communities = (await store.listCommunities()).filter((name) => mayRead(person, name));
  const { found, says } = await find(person, chosen, communities, deps);
  return bayPage({
    title: 'Logged answers',
    person,
    place: 'answers',
    main: (
      <section aria-label="Answers">
        <FilterForm chosen={chosen} communities={communities} />
        {says === null ? null : <p class="note">{says}</p>}
        {found.answers.length === 0 && says === null ? (
          <p>{found.next === null ? 'No answer is like that.' : 'None so far; look further.'}</p>
        ) : null}
        <AnswerList answers={found.answers} knowledge={knowledge} now={clock()} kind="log" />
        <More chosen={chosen} found={found} />
      </section>
    ),
  });
}

async function find(
  person: Person,
  chosen: Filter,
  communities: readonly string[],
  { store }: BayDeps,
): Promise<{ readonly found: Collected; readonly says: string | null }> {
  const { look, review, helper, driving, community, order, words, from } = chosen;
  const nothing = { answers: [], next: null };
  if (community !== undefined && !mayRead(person, community)) return { found: nothing, says: null };
  const wanted: Partial<AnswerFilter> = {
    ...(look ? { look: true } : {}),
    ...(review ? { review } : {}),
    ...(helper ? { helper } : {}),
    ...(driving ? { driving } : {}),
    communities: community === undefined ? person.communities : [community],
  };
  if (words === '') return { found: await listPage(store, wanted, order, from), says: null };
  if (chosen.in !== 'posts') return { found: await searchPage(store, wanted, words.split(/\s+/), from), says: null };
  const where = community ?? (communities.length === 1 ? communities[0] : undefined);
  if (where === undefined)
    return { found: nothing, says: 'Choose a community first: posts are opened one community at a time.' };
  return { found: await wordsPage(store, where, words, from), says: null };
}

function More({ chosen, found }: { readonly chosen: Filter; readonly found: Collected }) {
  return (
    <nav class="row" aria-label="More answers">
      {chosen.from > 0 ? <a href={address({ ...chosen, from: 0 })}>To the first</a> : null}
      {found.next === null ? null : (
        <a rel="next" href={address({ ...chosen, from: found.next })}>
          Look further
        </a>
      )}
    </nav>
  );
}

function FilterForm({ chosen, communities }: { readonly chosen: Filter; readonly communities: readonly string[] }) {
  return (
    <search>
      <form method="get" action="/bay/answers" class="filters" aria-label="Find answers">
        <Choice
          name="look"
          label="Show"
          words={{ due: 'to be looked at' }}
          chosen={chosen.look}
          hint="To be looked at: dangerous, surprising, and one in ten of the rest"
        />
        <Choice name="review" label="A moderator said" words={reviewWords} chosen={chosen.review} />
        <Choice name="helper" label="Helpers" words={helperWords} chosen={chosen.helper} />
        <Choice
          name="driving"
          label="Driving"
          words={{ stop: 'not to be driven', limit: 'short and gentle' }}
          chosen={chosen.driving}
        />
        {communities.length < 2 ? null : (
          <Choice
            name="community"
            label="Community"
            words={Object.fromEntries(communities.map((name) => [name, name]))}
            chosen={chosen.community}
          />
        )}
        <Choice
          name="order"
          label="Order"
          words={{ danger: 'most dangerous first' }}
          chosen={chosen.order === 'danger' ? 'danger' : undefined}
          otherwise="newest first"
        />
        <div>
          <label for="words">Find</label>
          <input
            id="words"
            name="words"
            type="text"
            maxlength={100}
            value={chosen.words}
            dir="auto"
            aria-describedby="words-hint"
          />
        </div>
        <Choice
          name="in"
          label="Find it in"
          words={{ posts: 'the words of the posts (slow)' }}
          chosen={chosen.in}
          otherwise="codes, signs, faults, car"
        />
        <button type="submit">Show</button>
        <p id="words-hint" class="hint wide">
          By codes (p0171), signs (rough-idle), faults (vacuum-leak), the car or the outcome (outcome-wrong-fuel), each
          from its beginning. The words of posts are sealed: they are opened one community at a time, some hundred posts
          a page.
        </p>
      </form>
    </search>
  );
}

function address({ from, ...chosen }: Filter): string {
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries(chosen)) if (value !== undefined && value !== '') query.set(name, value);
  if (from > 0) query.set('from', String(from));
  return `/bay/answers?${query}`;
}
