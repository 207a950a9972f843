// The logged answers, for moderators: what to look at first, filters, words, order, piece by piece.
import { z } from 'zod';
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { AnswerSummary } from '../store/store.ts';
import { AnswerList } from './answer-list.tsx';
import type { BayDeps } from './bay-deps.ts';
import { bayPage, helperWords, reviewWords } from './bay-frame.tsx';
import { type Collected, collectAnswers } from './collect-answers.ts';
import { reasonToLook } from './sampling.ts';
import type { Person } from './session.ts';

const filter = z.object({
  /** `due`: only those that a moderator should look at. */
  look: z.enum(['due']).optional().catch(undefined),
  review: z.enum(['unreviewed', 'standing', 'corrected', 'withdrawn']).optional().catch(undefined),
  helper: z.enum(['none', 'wanted', 'taken', 'done']).optional().catch(undefined),
  order: z.enum(['danger', 'newest']).catch('newest'),
  words: z.string().trim().max(100).catch(''),
  from: z.coerce.number().int().min(0).max(10_000_000).catch(0),
});
type Filter = z.infer<typeof filter>;

/** @param query the address's query; what it does not know counts as not given */
export async function logPage(person: Person, query: Record<string, string>, deps: BayDeps): Promise<string> {
  const { store, knowledge, clock } = deps;
  const chosen = filter.parse({ words: '', ...query });
  const review = chosen.look ? 'unreviewed' : chosen.review;
  const found = await collectAnswers(
    store,
    {
      ...(review ? { review } : {}),
      ...(chosen.helper ? { helper: chosen.helper } : {}),
      communities: person.communities,
      order: chosen.order,
    },
    (answer) => (!chosen.look || reasonToLook(answer) !== null) && hasWords(answer, chosen.words, knowledge),
    chosen.from,
  );
  return bayPage({
    title: 'Logged answers',
    person,
    place: 'answers',
    main: (
      <section aria-label="Answers">
        <FilterForm chosen={chosen} />
        {found.answers.length === 0 ? (
          <p>{found.next === null ? 'No answer is like that.' : 'None so far; look further.'}</p>
        ) : null}
        <AnswerList answers={found.answers} knowledge={knowledge} now={clock()} kind="log" />
        <More chosen={chosen} found={found} />
      </section>
    ),
  });
}

/** Whether the first words of the post, the first cause's name or the channel hold the words sought, in any case. */
function hasWords(answer: AnswerSummary, words: string, knowledge: Knowledge): boolean {
  if (words === '') return true;
  const cause = answer.firstCause ?? '';
  const name = knowledge.faults.byId.get(cause)?.name ?? '';
  return [answer.excerpt, cause, name, answer.channel].join('\n').toLowerCase().includes(words.toLowerCase());
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

function FilterForm({ chosen }: { readonly chosen: Filter }) {
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
        <div>
          <label for="order">Order</label>
          <select id="order" name="order">
            <option value="newest" selected={chosen.order === 'newest'}>
              newest first
            </option>
            <option value="danger" selected={chosen.order === 'danger'}>
              most dangerous first
            </option>
          </select>
        </div>
        <div>
          <label for="words">Words or cause</label>
          <input id="words" name="words" type="text" maxlength={100} value={chosen.words} dir="auto" />
        </div>
        <button type="submit">Show</button>
      </form>
    </search>
  );
}

function Choice(parts: {
  name: string;
  label: string;
  words: Record<string, string>;
  chosen: string | undefined;
  hint?: string;
}) {
  const { name, label, words, chosen, hint } = parts;
  return (
    <div>
      <label for={name}>{label}</label>
      <select id={name} name={name} title={hint}>
        <option value="" selected={chosen === undefined}>
          anything
        </option>
        {Object.entries(words).map(([value, text]) => (
          <option value={value} selected={chosen === value}>
            {text}
          </option>
        ))}
      </select>
    </div>
  );
}

function address({ look, review, helper, order, words, from }: Filter): string {
  const query = new URLSearchParams({ order });
  if (look) query.set('look', look);
  if (review) query.set('review', review);
  if (helper) query.set('helper', helper);
  if (words !== '') query.set('words', words);
  if (from > 0) query.set('from', String(from));
  return `/bay/answers?${query}`;
}
