// A bay for tests, with a real store and whatever answers the test wants: posts come in, people sign in and press buttons.
import type { Knowledge } from '../../src/knowledge/knowledge.ts';
import { hashToken, newToken } from '../../src/pages/tokens.ts';
import { bay } from '../../src/review/bay.tsx';
import { type BayDeps, type BaySetUp, plainBay } from '../../src/review/bay-deps.ts';
import type { BayStore } from '../../src/store/bay-store.ts';
import type { Role } from '../../src/store/store.ts';
import { submitPost } from '../../src/turn.ts';
import { aStore } from '../a-store.ts';
import { aVisitor, hiddenFields, mounted, type Visitor } from '../a-visitor.ts';

export interface BayForTests {
  readonly store: BayStore;
  readonly deps: BayDeps;
  now: number;
  /** Takes a post in and answers it. @returns the answer's id */
  readonly post: (
    text: string,
    parts?: { channel?: string; conversation?: string; author?: string },
  ) => Promise<number>;
  readonly person: (role: Role, name: string, communities?: string[] | null) => Promise<Visitor>;
  /** Sends a form of a page with its hidden fields, as pressing its button would. */
  readonly press: (
    visitor: Visitor,
    page: string,
    action: string,
    typed?: Record<string, string>,
  ) => ReturnType<Visitor['post']>;
  readonly remove: () => Promise<void>;
}

export async function aBay(
  answer: BayDeps['answer'],
  knowledge: Knowledge,
  setUp: Partial<BaySetUp> = {},
): Promise<BayForTests> {
  const { store, remove } = await aStore();
  const deps: BayDeps = {
    store,
    knowledge,
    clock: () => self.now,
    submit: async () => 0,
    secureCookies: false,
    answer,
    ...plainBay,
    ...setUp,
  };
  const self: BayForTests = {
    store,
    deps,
    now: 1_800_000_000_000,
    async post(text, { channel = 'web', conversation = 'c1', author = 'o1' } = {}) {
      const turn = {
        store,
        knowledge,
        answer,
        clock: () => self.now,
        newId: () => crypto.randomUUID(),
        sleep: async () => {},
        log: { info: () => {}, warn: () => {}, error: () => {} },
      };
      const eventId = crypto.randomUUID();
      const postId = await submitPost(turn, { eventId, channel, conversation, author, text, callerId: null });
      return (await store.readAnswerOfPost(postId))!.answerId;
    },
    async person(role, name, communities = null) {
      const visitor = aVisitor(mounted('/bay', bay, deps));
      const token = newToken();
      const link = { tokenHash: await hashToken(token), name, role, communities, expiresAt: self.now + 60_000 };
      await store.addSignInLink(link);
      await visitor.post('/bay/sign-in', { token });
      return visitor;
    },
    async press(visitor, page, action, typed = {}) {
      const { text } = await visitor.get(page);
      return visitor.post(action, { ...hiddenFields(text, action), ...typed });
    },
    remove,
  };
  return self;
}
