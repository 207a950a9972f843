// A forum on loopback: signs and sends its events, and receives the bot's replies as a careful receiver does (checks the signature,
// keeps ids, shows a reply once). Signatures are made and checked by the specification's own library, not by ours.
import { Webhook } from 'standardwebhooks';
import { type FakeServer, fakeServer } from './fake-server.ts';

/** 24 bytes, from the specification's published vector. */
export const forumSecret = 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw';

export interface ShownReply {
  readonly id: string;
  readonly type: string;
  readonly thread: string;
  readonly post: string | null;
  readonly replaces: string | null;
  readonly text: string;
}

export interface FakeForum {
  readonly server: FakeServer;
  readonly replyUrl: string;
  /** What the forum has taken, in the order of its first copies. */
  readonly taken: ShownReply[];
  /** What readers of a thread see: corrections in place, withdrawals gone. */
  shown(thread?: string): ShownReply[];
  stop(): Promise<void>;
}

export async function fakeForum(secret = forumSecret): Promise<FakeForum> {
  const webhook = new Webhook(secret);
  const taken: ShownReply[] = [];
  const ids = new Set<string>();
  const server = await fakeServer((call) => {
    try {
      webhook.verify(call.body, call.headers);
    } catch {
      return { status: 401, body: '' };
    }
    const id = call.headers['webhook-id']!;
    if (!ids.has(id)) {
      ids.add(id);
      const event = JSON.parse(call.body) as { type: string; data: Omit<ShownReply, 'id' | 'type'> };
      taken.push({ ...event.data, id, type: event.type });
    }
    return { status: 204, body: '' };
  });
  return {
    server,
    replyUrl: `${server.address}/replies`,
    taken,
    shown(thread) {
      const visible: ShownReply[] = [];
      for (const reply of taken) {
        const place = visible.findIndex((earlier) => earlier.id === reply.replaces);
        if (reply.type === 'reply.created') visible.push(reply);
        else if (place >= 0 && reply.type === 'reply.withdrawn') visible.splice(place, 1);
        else if (place >= 0) visible[place] = reply;
        else if (reply.type === 'reply.corrected') visible.push(reply);
      }
      return thread === undefined ? visible : visible.filter((reply) => reply.thread === thread);
    },
    stop: () => server.stop(),
  };
}

export interface ForumPost {
  readonly post: string;
  readonly thread: string;
  readonly author: string;
  readonly text: string;
  readonly writtenAt?: string;
  readonly attachments?: ReadonlyArray<Record<string, string>>;
  readonly bot?: boolean;
}

export const createdEvent = (data: ForumPost, at = Date.now()) => ({
  type: 'post.created',
  timestamp: new Date(at).toISOString(),
  data,
});

/** A signed delivery as the forum would send it. */
export function delivery(
  event: unknown,
  {
    id = `msg_${crypto.randomUUID()}`,
    at = Date.now(),
    secret = forumSecret,
  }: { id?: string; at?: number; secret?: string } = {},
): { readonly headers: Record<string, string>; readonly body: string } {
  const body = typeof event === 'string' ? event : JSON.stringify(event);
  return {
    body,
    headers: {
      'Content-Type': 'application/json',
      'webhook-id': id,
      'webhook-timestamp': String(Math.floor(at / 1000)),
      'webhook-signature': new Webhook(secret).sign(id, new Date(at), body),
    },
  };
}

/** Sends a delivery to a running program. */
export function deliverTo(address: string, { headers, body }: ReturnType<typeof delivery>): Promise<Response> {
  return fetch(`${address}/forum/posts`, { method: 'POST', headers, body, signal: AbortSignal.timeout(15_000) });
}
