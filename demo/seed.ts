// Submits the demo scenario to the running program, by the same road as any other post. `npm run demo` calls it once; event
// ids make a second start change nothing.
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parse } from 'yaml';
import { z } from 'zod';
import type { Post } from '../src/vocabulary/post.ts';

const conversations = z.array(
  z.strictObject({
    id: z.string().regex(/^[a-z0-9-]{1,60}$/),
    owner: z.string().min(3).max(80),
    shows: z.string().min(5).max(200),
    posts: z.array(z.string().min(1).max(20_000)).min(1).max(6),
  }),
);
export type DemoConversation = z.infer<typeof conversations>[number];

/** The scripted conversations of demo/conversations.yaml. @throws ZodError naming the field that is wrong */
export function readDemoConversations(): DemoConversation[] {
  const file = fileURLToPath(new URL('conversations.yaml', import.meta.url));
  return conversations.parse(parse(readFileSync(file, 'utf8')));
}

/** Posts of one conversation as the channel `demo` hands them in. */
export function demoPosts(conversation: DemoConversation): Post[] {
  return conversation.posts.map((text, index) => ({
    eventId: `${conversation.id}-${index + 1}`,
    channel: 'demo',
    conversation: conversation.id,
    author: conversation.owner,
    text,
    callerId: null,
  }));
}

/** Submits every post in order. @returns how many conversations the scenario has */
export async function seedDemo(submit: (post: Post) => Promise<unknown>): Promise<number> {
  const list = readDemoConversations();
  for (const conversation of list) for (const post of demoPosts(conversation)) await submit(post);
  return list.length;
}
