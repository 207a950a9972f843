// A forum's side of the webhook in one small file, to copy and to try: it takes a post from its own page, sends it signed to
// crosscount, and shows the signed replies that come back. It keeps everything in memory.
//
//   FORUM_SECRET=whsec_... CROSSCOUNT=http://127.0.0.1:8787 npx tsx demo/forum-receiver.ts        listens on 127.0.0.1:8790
//   FORUM_SECRET=whsec_... FORUM_REPLY_URL=http://127.0.0.1:8790/replies npm start                the program beside it
//
// What a forum has to do: repeat an event under the same webhook-id until a 2xx comes; check the signature of a reply over the raw
// body before reading it; keep the ids of replies and show each once; put reply.corrected in the place of the reply that `replaces`
// names and take away what reply.withdrawn names. Signing and checking are the open specification's own library here.
import { randomUUID } from 'node:crypto';
import { serve } from '@hono/node-server';
import { Hono } from 'hono';
import { Webhook } from 'standardwebhooks';
import { z } from 'zod';

const secret = process.env.FORUM_SECRET ?? '';
const program = process.env.CROSSCOUNT ?? 'http://127.0.0.1:8787';
const port = Number(process.env.PORT ?? 8790);
if (!secret.startsWith('whsec_')) {
  process.stderr.write(
    'Set FORUM_SECRET to the secret that crosscount has too: whsec_ and base64 of 24 to 64 random bytes.\n',
  );
  process.exit(2);
}
const webhook = new Webhook(secret);

interface Entry {
  readonly id: string;
  readonly who: 'writer' | 'crosscount';
  readonly text: string;
}
const threads = new Map<string, Entry[]>();
const seenReplies = new Set<string>();

const replyEvent = z.object({
  type: z.enum(['reply.created', 'reply.corrected', 'reply.withdrawn']),
  data: z.object({
    reply: z.string(),
    thread: z.string(),
    post: z.string().nullable(),
    replaces: z.string().nullable(),
    text: z.string(),
  }),
});

const forum = new Hono();

forum.get('/', (context) => {
  const shown = (text: string) => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;');
  const entries = [...threads].map(
    ([thread, list]) =>
      `<h2>${shown(thread)}</h2>${list.map(({ who, text }) => `<h3>${who}</h3><pre>${shown(text)}</pre>`).join('')}`,
  );
  return context.html(`<!doctype html><html lang="en"><meta charset="utf-8"><title>A forum</title>
    <form method="post" action="/posts"><label>Thread <input name="thread" value="My car" required></label>
    <label>Post <textarea name="text" required></textarea></label> <button>Post it</button></form>${entries.join('')}</html>`);
});

forum.post('/posts', async (context) => {
  const form = await context.req.parseBody();
  const { thread, text } = z.object({ thread: z.string().min(1), text: z.string().min(1) }).parse(form);
  const post = randomUUID();
  threads.set(thread, [...(threads.get(thread) ?? []), { id: post, who: 'writer', text }]);
  const now = new Date();
  await send({
    type: 'post.created',
    timestamp: now.toISOString(),
    data: { post, thread, author: 'writer', text, writtenAt: now.toISOString() },
  });
  return context.redirect('/', 303);
});

forum.post('/replies', async (context) => {
  const body = await context.req.text();
  const id = context.req.header('webhook-id') ?? '';
  try {
    webhook.verify(body, context.req.header());
  } catch {
    return context.body(null, 401);
  }
  if (seenReplies.has(id)) return context.body(null, 204);
  const { type, data } = replyEvent.parse(JSON.parse(body));
  const entries = (threads.get(data.thread) ?? []).filter((entry) => entry.id !== data.replaces);
  if (type !== 'reply.withdrawn') entries.push({ id: data.reply, who: 'crosscount', text: data.text });
  threads.set(data.thread, entries);
  seenReplies.add(id);
  return context.body(null, 204);
});

/** Sends an event until it is taken. A real forum keeps it in its database meanwhile. */
async function send(event: unknown): Promise<void> {
  const id = `msg_${randomUUID()}`;
  const body = JSON.stringify(event);
  for (let attempt = 0; attempt < 8; attempt += 1) {
    const now = new Date();
    const response = await fetch(`${program}/forum/posts`, {
      method: 'POST',
      body,
      headers: {
        'Content-Type': 'application/json',
        'webhook-id': id,
        'webhook-timestamp': String(Math.floor(now.getTime() / 1000)),
        'webhook-signature': webhook.sign(id, now, body),
      },
    }).catch(() => null);
    if (response?.ok) return;
    // 4xx other than 429 never gets better.
    if (response && response.status < 500 && response.status !== 429) break;
    await new Promise((resolve) => setTimeout(resolve, Math.random() * 1000 * 2 ** attempt));
  }
  process.stderr.write('the event was not taken: see the status codes in the README\n');
}

serve({ fetch: forum.fetch, hostname: '127.0.0.1', port }, (info) =>
  process.stdout.write(`the forum is at http://127.0.0.1:${info.port}\n`),
);
