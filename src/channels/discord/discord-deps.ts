// What the parts of the Discord channel receive from the program around them. The front doors make it.
import type { Log } from '../../serving/log.ts';
import type { Store } from '../../store/store.ts';
import type { AnswerDocument } from '../../vocabulary/answer-document.ts';
import type { Post } from '../../vocabulary/post.ts';
import type { Inbox } from '../channel.ts';
import type { DiscordApi, Fetch } from './discord-api.ts';
import type { DiscordSettings } from './discord-settings.ts';

export interface DiscordDeps {
  readonly settings: DiscordSettings;
  readonly store: Store;
  /** Milliseconds since 1970. */
  readonly clock: () => number;
  /** A fresh unguessable id each time. */
  readonly newId: () => string;
  readonly log: Log;
  readonly fetch: Fetch;
  /** PNG of the picture at one of our paths (`/pictures/...`); null when there is none. */
  readonly renderPicture: (path: string) => Promise<Uint8Array<ArrayBuffer> | null>;
  /** The answer to a post without storing anything: a helper's draft. */
  readonly draft: (post: Post) => Promise<AnswerDocument>;
}

/** The same, with what belongs to the running channel. */
export interface DiscordRoutesDeps extends DiscordDeps {
  readonly api: DiscordApi;
  readonly inbox: Inbox;
}
