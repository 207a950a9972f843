// The forum channel in one piece: its routes and its sender, from the settings. node.ts and worker.ts make it.
import type { Hono } from 'hono';
import { z } from 'zod';
import type { Log } from '../../serving/log.ts';
import type { Store } from '../../store/store.ts';
import type { Channel, Inbox } from '../channel.ts';
import { forumEvent } from './forum-events.ts';
import { forumChannelName, forumRoutes } from './forum-routes.ts';
import { forumSender } from './forum-sender.ts';
import { readSecret } from './standard-webhook.ts';

export interface ForumSettings {
  /** The one or two live secrets; the first signs first. */
  readonly secrets: readonly string[];
  readonly replyUrl: string;
  /** The program's own address. */
  readonly address: string | null;
}

export interface ForumDeps {
  readonly store: Store;
  readonly clock: () => number;
  readonly log: Log;
  readonly fetch: (address: string, init: RequestInit) => Promise<Response>;
}

export interface Forum {
  readonly channel: Channel;
  readonly platform: (inbox: Inbox) => {
    readonly path: string;
    readonly routes: Hono;
    readonly uploads: readonly string[];
    readonly describes: Readonly<Record<string, unknown>>;
  };
}

/** @param settings null while the channel is off, and then why */
export function forum(settings: ForumSettings | null, offBecause: string | null, deps: ForumDeps): Forum {
  const secrets = settings && Promise.all(settings.secrets.map(readSecret));
  return {
    channel:
      settings !== null && secrets !== null
        ? forumSender({ ...deps, ...settings, secrets })
        : { name: forumChannelName, offBecause: offBecause ?? 'off', send: async () => notSent },
    platform: (inbox) => ({
      path: '/forum',
      routes: forumRoutes({ ...deps, inbox, secrets }),
      uploads: ['/forum/posts'],
      describes: { '/forum/posts': { post: operation() } },
    }),
  };
}

const notSent = { kind: 'retry', afterMs: null, because: 'the channel is off' } as const;

function operation() {
  const { $schema: _, ...schema } = z.toJSONSchema(forumEvent, { target: 'draft-2020-12', io: 'input' });
  const header = (name: string, description: string) => ({
    name,
    in: 'header',
    required: true,
    description,
    schema: { type: 'string' },
  });
  const says = (description: string) => ({ description });
  const problem = (description: string) => ({
    description,
    content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
  });
  return {
    operationId: 'takeForumEvent',
    summary: 'One signed event of a forum in; its reply comes to the reply address',
    description:
      'Signed by Standard Webhooks 1.0.0 (scheme v1). Repeat an event under the same webhook-id until a 2xx comes: it is worked ' +
      'once. Replies are sent by the same rules to FORUM_REPLY_URL as reply.created, reply.corrected and reply.withdrawn, with the ' +
      "reply's id as webhook-id, and repeated for a day until a 2xx comes.",
    parameters: [
      header('webhook-id', 'Id of the event, the same at every attempt; no dot in it.'),
      header('webhook-timestamp', 'Seconds since 1970 of this attempt, within five minutes of ours.'),
      header('webhook-signature', 'v1, and base64 of HMAC-SHA256 over id.timestamp.body; several with blanks between.'),
    ],
    requestBody: { required: true, content: { 'application/json': { schema } } },
    responses: {
      '200': says('Known already, or nothing to do (state repeated or ignored)'),
      '202': says('Stored durably; the reply follows'),
      '400': problem('Not JSON, or nested too deep'),
      '401': problem('Signature missing, wrong or too old'),
      '409': problem('This webhook-id came with another body before'),
      '413': problem('Over 8 MiB, or more than 5 MiB of logs'),
      '415': problem('Not JSON in UTF-8'),
      '422': problem('JSON of another shape'),
      '429': problem('Too much at once; Retry-After says when'),
      '503': problem('Could not be stored; nothing was taken in'),
    },
  };
}
