// What the service bay receives from the program around it: what every page gets, with the store's part for the bay, the program's
// own answer, and what the person who runs the program set up for it. app.ts builds it; the files of this folder pass it on.
import type { answerPost } from '../answer.ts';
import type { WebDeps } from '../channels/web/web-deps.ts';
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { BayStore } from '../store/bay-store.ts';

/** What is set up for the bay; the front doors choose it. */
export interface BaySetUp {
  /** A knowledge version to try stored cases under; null when none was given. */
  readonly trial: Knowledge | null;
  /** Lets people in beside one-time links; null when none is set up. */
  readonly issuer: Issuer | null;
  /** Where people reach the program, without a slash at the end; null when nobody said so. */
  readonly address: () => string | null;
}

export const plainBay: BaySetUp = { trial: null, issuer: null, address: () => null };

/** Sign-in through an OpenID Connect issuer. */
export interface Issuer {
  /** Its name as people know it, for the button. */
  readonly name: string;
  /** Where to send the browser, and what must be kept until it comes back. @throws Problem `unavailable` */
  begin(callback: string): Promise<{ readonly address: string; readonly kept: IssuerChecks }>;
  /**
   * Checks what came back.
   *
   * @param came the whole address to which the issuer sent the browser
   * @throws Problem `unauthorised` when it does not hold
   */
  finish(came: string, kept: IssuerChecks): Promise<{ readonly subject: string; readonly name: string | null }>;
}

export interface IssuerChecks {
  readonly state: string;
  readonly nonce: string;
  readonly verifier: string;
}

export interface BayDeps extends WebDeps, BaySetUp {
  readonly store: BayStore;
  /** The whole job from post to answer, for previews and reruns. */
  readonly answer: typeof answerPost;
}
