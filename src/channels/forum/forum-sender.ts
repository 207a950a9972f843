// Replies to a forum: a signed event to the one address that the settings name. The event's id is the reply's own and the same at
// every attempt, so that a receiver which keeps ids shows it once. delivery.ts calls it.
import { openQuestion, replyPicture } from '../../serving/shown-with-reply.ts';
import type { OutboxMessage, Store } from '../../store/store.ts';
import type { Channel, SendOutcome } from '../channel.ts';
import { forumChannelName } from './forum-routes.ts';
import { sign, type WebhookSecret } from './standard-webhook.ts';

export interface ForumSenderDeps {
  readonly store: Pick<Store, 'readAnswerOfPost'>;
  /** Milliseconds since 1970. */
  readonly clock: () => number;
  readonly fetch: (address: string, init: RequestInit) => Promise<Response>;
  readonly secrets: Promise<readonly WebhookSecret[]>;
  /** Where replies go; never an address that a post names. */
  readonly replyUrl: string;
  /** Under which the pictures of a reply are found; null when the program does not know its own address. */
  readonly address: string | null;
}

/** Longest wait for the receiver's answer [ms]; below delivery's lease. */
const timeoutMs = 10_000;

const types = {
  reply: 'reply.created',
  'helper-reply': 'reply.created',
  correction: 'reply.corrected',
  withdrawal: 'reply.withdrawn',
} as const satisfies Record<OutboxMessage['kind'], string>;

export function forumSender(deps: ForumSenderDeps): Channel {
  return {
    name: forumChannelName,
    offBecause: null,
    async send(message) {
      const body = new TextEncoder().encode(JSON.stringify(await eventOf(deps, message)));
      const timestamp = String(Math.floor(deps.clock() / 1000));
      const signatures = (await deps.secrets).map((secret) => sign(secret, message.marker, timestamp, body));
      const request: RequestInit = {
        method: 'POST',
        body,
        headers: {
          'Content-Type': 'application/json',
          'webhook-id': message.marker,
          'webhook-timestamp': timestamp,
          'webhook-signature': (await Promise.all(signatures)).join(' '),
        },
        // A receiver that has moved is a matter for the settings.
        redirect: 'manual',
        signal: AbortSignal.timeout(timeoutMs),
      };
      try {
        const response = await deps.fetch(deps.replyUrl, request);
        await response.body?.cancel();
        return outcomeOf(response, deps.clock());
      } catch (error) {
        return { kind: 'unknown', because: `no answer (${error instanceof Error ? error.name : 'error'})` };
      }
    },
  };
}

async function eventOf({ store, clock, address }: ForumSenderDeps, message: OutboxMessage) {
  const answer =
    message.kind !== 'reply' || message.postId === null ? null : await store.readAnswerOfPost(message.postId);
  const question = answer && openQuestion(answer.document, message.text);
  const picture = answer && address !== null ? replyPicture(answer.document) : null;
  return {
    type: types[message.kind],
    timestamp: new Date(clock()).toISOString(),
    data: {
      reply: message.marker,
      thread: message.conversation,
      /** The forum's id of the post that is answered. */
      post: message.place,
      by: message.kind === 'helper-reply' ? 'helper' : 'program',
      /** The reply whose place this one takes, or that is withdrawn. */
      replaces: message.replaces?.marker ?? null,
      text: message.text,
      markdown: message.markdown,
      question: question ? { text: question.text, answers: question.answers.map((one) => one.text) } : null,
      picture: picture ? { url: `${address}${picture.path}`, alt: picture.alt } : null,
    },
  };
}

/** 2xx took it; 408, 425, 429, 3xx and 5xx may yet; every other status never will. Source: Standard Webhooks, and RFC 9110. */
function outcomeOf(response: Response, nowMs: number): SendOutcome {
  const { status } = response;
  // A redirect that is not followed has the status 0 in some runtimes.
  const because = `the receiver answered ${status}`;
  if (status >= 200 && status < 300) return { kind: 'sent' };
  if (status < 400 || status >= 500 || status === 408 || status === 425 || status === 429)
    return { kind: 'retry', afterMs: readRetryAfter(response.headers.get('retry-after'), nowMs), because };
  return { kind: 'refused', because };
}

/** Retry-After in seconds or as a date; null for anything else. */
export function readRetryAfter(value: string | null, nowMs: number): number | null {
  if (value === null) return null;
  const given = value.trim();
  if (/^\d{1,15}$/.test(given)) return Number(given) * 1000;
  // A date has letters; Date.parse would take "-1" for a year.
  if (!/^[A-Z][a-z]{2}, \d{2} [A-Z][a-z]{2} \d{4} \d{2}:\d{2}:\d{2} GMT$/.test(given)) return null;
  const until = Date.parse(given) - nowMs;
  return until > 0 ? until : null;
}
