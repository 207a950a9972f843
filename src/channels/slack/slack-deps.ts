// What the parts of the Slack channel receive from the program around them. The front doors make it.
import type { Log } from '../../serving/log.ts';
import type { Store } from '../../store/store.ts';
import type { AnswerDocument } from '../../vocabulary/answer-document.ts';
import type { Post } from '../../vocabulary/post.ts';
import type { Inbox } from '../channel.ts';
import type { Fetch, SlackApi } from './slack-api.ts';
import type { RenderPicture } from './slack-picture.ts';
import type { SlackSettings } from './slack-settings.ts';
import type { Workspaces } from './workspaces.ts';

export interface SlackDeps {
  readonly settings: SlackSettings;
  readonly store: Store;
  /** Milliseconds since 1970. */
  readonly clock: () => number;
  readonly sleep: (ms: number) => Promise<void>;
  /** A fresh unguessable id each time. */
  readonly newId: () => string;
  readonly log: Log;
  readonly fetch: Fetch;
  readonly renderPicture: RenderPicture;
  /** The answer to a post without storing anything: a helper's draft. */
  readonly draft: (post: Post) => Promise<AnswerDocument>;
}

/** The same, with what belongs to the running channel. */
export interface SlackRoutesDeps extends SlackDeps {
  readonly api: SlackApi;
  readonly workspaces: Workspaces;
  readonly inbox: Inbox;
}
