// The inbox as the channels' routes see it: limits, then durable storing, then the work begins without anybody waiting for it.
// app.ts makes one.
import type { Inbox } from './channels/channel.ts';
import type { RateLimits } from './serving/rate-limits.ts';
import type { StoredPost } from './store/store.ts';
import { acceptPost, type TurnDeps } from './turn.ts';
import type { Post } from './vocabulary/post.ts';
import { Problem } from './vocabulary/problems.ts';

export interface ConversationPlace {
  readonly channel: string;
  readonly conversation: string;
}

/** Sees to it that a stored post is worked soon. What it misses, the sweep finds. */
export interface HandOn {
  /** Whether it would like the next post already claimed, to begin at once. */
  readonly claims: () => boolean;
  /** `claimed` is the post when it was. Failing is no matter for the sender of the post: it is stored. */
  readonly handOn: (place: ConversationPlace, claimed: StoredPost | null) => Promise<void>;
}

export interface InboxDeps extends TurnDeps {
  readonly limits: RateLimits;
  readonly isStopping: () => boolean;
}

export function makeInbox(deps: InboxDeps, work: HandOn): Inbox {
  const { store, clock, newId } = deps;
  return {
    async accept(post) {
      admit(deps, post);
      const { postId, fresh, claimed } = await acceptPost(deps, post, work.claims());
      if (fresh) await work.handOn(post, claimed);
      return { postId, fresh };
    },

    async revise(revision) {
      if (deps.isStopping()) throw stopping();
      const { outcome, conversation } = await store.revisePost(revision, clock());
      if (conversation !== null) await work.handOn({ channel: revision.channel, conversation }, null);
      return outcome;
    },

    async withdraw(channel, eventId) {
      if (deps.isStopping()) throw stopping();
      const { outcome, conversation } = await store.withdrawPost(channel, eventId, newId(), clock());
      if (conversation !== null) await work.handOn({ channel, conversation }, null);
      return outcome;
    },
  };
}

/** @throws Problem `busy` over a limit, `unavailable` while the program stops; nothing is taken in then */
export function admit({ limits, isStopping, clock }: InboxDeps, post: Post): void {
  if (isStopping()) throw stopping();
  limits.take(
    {
      person: JSON.stringify([post.channel, post.author]),
      conversation: JSON.stringify([post.channel, post.conversation]),
      workspace: post.workspace === undefined ? undefined : JSON.stringify([post.channel, post.workspace]),
    },
    clock(),
  );
}

const stopping = () => new Problem('unavailable', 'The program is stopping: send it again in a moment.');
