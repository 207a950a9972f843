// Who may see and do what in the bay: the person of a request, moderators alone, and the answers of a person's communities. The
// routes of this folder call it before anything else.
import type { Context } from 'hono';
import type { StoredAnswer } from '../store/store.ts';
import { Problem } from '../vocabulary/problems.ts';
import type { BayDeps } from './bay-deps.ts';
import type { Person } from './session.ts';

export interface BayEnvironment {
  readonly Variables: { person: Person };
}
export type BayContext = Context<BayEnvironment>;

/** @throws Problem `forbidden` */
export function moderator(context: BayContext): Person {
  const person = context.get('person');
  if (person.role !== 'moderator') throw new Problem('forbidden', 'This page is for moderators.');
  return person;
}

export function mayRead(person: Person, community: string): boolean {
  return person.communities === null || person.communities.includes(community);
}

/**
 * The answer of the address: of the person's communities, and for a helper only when it was given to people.
 *
 * @throws Problem `not-found`, the same for what is not there and what is not theirs
 */
export async function findAnswer(context: BayContext, { store }: BayDeps): Promise<StoredAnswer> {
  const given = context.req.param('id') ?? '';
  const answer = /^\d{1,15}$/.test(given) ? await store.readAnswer(Number(given)) : null;
  const person = context.get('person');
  const isTheirs = answer !== null && mayRead(person, answer.channel);
  if (!isTheirs || (person.role === 'helper' && answer.helper.state === 'none'))
    throw new Problem('not-found', 'There is no such answer, or it was erased.');
  return answer;
}
