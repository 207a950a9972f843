// The logged answers, for moderators: filters, order, page by page.
import { z } from 'zod';
import type { WebDeps } from '../channels/web/web-deps.ts';
import { AnswerList } from './answer-list.tsx';
import { bayPage, helperWords, reviewWords } from './bay-frame.tsx';
import type { Person } from './session.ts';

const pageLength = 25;

const filter = z.object({
  review: z.enum(['unreviewed', 'standing', 'corrected', 'withdrawn']).optional().catch(undefined),
  helper: z.enum(['none', 'wanted', 'taken', 'done']).optional().catch(undefined),
  order: z.enum(['danger', 'newest']).catch('newest'),
  page: z.coerce.number().int().min(1).max(100_000).catch(1),
});
type Filter = z.infer<typeof filter>;

/** @param query the address's query; what it does not know counts as not given */
export async function logPage(person: Person, query: Record<string, string>, deps: WebDeps): Promise<string> {
  const { store, knowledge, clock } = deps;
  const chosen = filter.parse(query);
  const answers = await store.listAnswers({
    ...(chosen.review ? { review: chosen.review } : {}),
    ...(chosen.helper ? { helper: chosen.helper } : {}),
    order: chosen.order,
    limit: pageLength + 1,
    offset: (chosen.page - 1) * pageLength,
  });
  return bayPage({
    title: 'Logged answers',
    person,
    place: 'answers',
    main: (
      <section aria-label="Answers">
        <FilterForm chosen={chosen} />
        {answers.length === 0 ? <p>No answer is like that.</p> : null}
        <AnswerList answers={answers.slice(0, pageLength)} knowledge={knowledge} now={clock()} kind="log" />
        <nav class="row" aria-label="More answers">
          {chosen.page > 1 ? (
            <a rel="prev" href={address({ ...chosen, page: chosen.page - 1 })}>
              Page {chosen.page - 1}
            </a>
          ) : null}
          {answers.length > pageLength ? (
            <a rel="next" href={address({ ...chosen, page: chosen.page + 1 })}>
              Page {chosen.page + 1}
            </a>
          ) : null}
        </nav>
      </section>
    ),
  });
}

function FilterForm({ chosen }: { readonly chosen: Filter }) {
  return (
    <form method="get" action="/bay/answers" class="filters">
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
      <button type="submit">Show</button>
    </form>
  );
}

function Choice(parts: { name: string; label: string; words: Record<string, string>; chosen: string | undefined }) {
  const { name, label, words, chosen } = parts;
  return (
    <div>
      <label for={name}>{label}</label>
      <select id={name} name={name}>
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

function address({ review, helper, order, page }: Filter): string {
  const query = new URLSearchParams({ order, page: String(page) });
  if (review) query.set('review', review);
  if (helper) query.set('helper', helper);
  return `/bay/answers?${query}`;
}
