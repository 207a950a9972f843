// Work after the acknowledgement, inside one process: stored posts are answered one after another, giving way to requests between
// two, and their replies are sent. app.ts makes one on Node; on Workers queues take its place.
import type { Courier } from './delivery.ts';
import type { HandOn } from './inbox.ts';
import { describeError } from './serving/log.ts';
import type { StoredPost } from './store/store.ts';
import { type TurnDeps, workPost, workWaiting } from './turn.ts';

export interface Background extends HandOn {
  /** Takes nothing new and resolves when what runs has ended. What is left waits in the store. */
  stop(): Promise<void>;
}

/** Claimed posts in memory; beyond it posts wait in the store, or their leases would run out before their turn. */
const mostClaimed = 20;
const mostMessages = 1000;

export function makeBackground(deps: TurnDeps, courier: Courier): Background {
  const { log } = deps;
  const claimed: StoredPost[] = [];
  let more = false;
  let stopped = false;
  let working: Promise<void> | null = null;
  const sending = new Set<Promise<unknown>>();

  function deliver(): void {
    const sent: Promise<unknown> = courier
      .deliver(mostMessages)
      .catch((error: unknown) => log.error('delivery failed', describeError(error)))
      .finally(() => sending.delete(sent));
    sending.add(sent);
  }

  async function work(): Promise<void> {
    while (!stopped) {
      const post = claimed.shift();
      if (post) await workPost(deps, post);
      else if (more) {
        more = false;
        // What was stored unclaimed, the next posts of the same conversations included.
        if ((await workWaiting(deps, 1)) > 0) more = true;
      } else break;
      if (post) more = true;
      deliver();
      // Requests that came in meanwhile go first: an answer takes far longer than an acknowledgement.
      await new Promise((resolve) => setTimeout(resolve, 0));
    }
  }

  function begin(): void {
    if (stopped) return;
    working ??= work()
      .catch((error: unknown) => log.error('background work failed', describeError(error)))
      .finally(() => {
        working = null;
        if (claimed.length > 0 || more) begin();
      });
  }

  return {
    claims: () => claimed.length < mostClaimed,
    async handOn(_, post) {
      if (post) claimed.push(post);
      else more = true;
      begin();
    },
    async stop() {
      stopped = true;
      await working;
      await Promise.all(sending);
    },
  };
}
