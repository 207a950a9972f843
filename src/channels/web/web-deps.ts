// What the pages receive from the program around them. app.ts builds it once; the web chat and the bay take nothing else.
import type { Knowledge } from '../../knowledge/knowledge.ts';
import type { Store } from '../../store/store.ts';
import type { Post } from '../../vocabulary/post.ts';

export interface WebDeps {
  readonly store: Store;
  readonly knowledge: Knowledge;
  /** Milliseconds since 1970. */
  readonly clock: () => number;
  /**
   * Takes a post in and works it before it returns.
   *
   * @returns the post's id in the store; a second copy of an event gives the id of the first
   * @throws Problem `unavailable` when the post could not be stored durably; nothing was taken in then
   */
  readonly submit: (post: Post) => Promise<number>;
  /** Everything that is kept of one writer, for the writer; left out, the chat does not offer it. */
  readonly exportPerson?: (channel: string, author: string) => Promise<object>;
  /** True when the address is https, so that cookies may say so. */
  readonly secureCookies: boolean;
}
