// What the service bay receives from the program around it: what every page gets, with the store's part for the bay and the
// program's own answer. app.ts builds it; the files of this folder pass it on.
import type { answerPost } from '../answer.ts';
import type { WebDeps } from '../channels/web/web-deps.ts';
import type { BayStore } from '../store/bay-store.ts';

export interface BayDeps extends WebDeps {
  readonly store: BayStore;
  /** The whole job from post to answer, for previews and reruns. */
  readonly answer: typeof answerPost;
}
