// What a forum sends: the schema of its signed events, which the routes check and the API description shows.
import { z } from 'zod';
import { attachmentText } from '../../serving/attachment-text.ts';
import { fromBase64 } from '../../vocabulary/base64.ts';
import { type Attachment, attachmentLimitBytes, mostAttachments } from '../../vocabulary/post.ts';
import { Problem } from '../../vocabulary/problems.ts';

/** Longest text that is taken [UTF-16 units]; of that the first 100,000 are read. */
const textLimit = 300_000;

const id = z.string().min(1).max(100);
const moment = z.iso.datetime({ offset: true });
const words = z.string().max(textLimit);

const file = z
  .object({
    name: z.string().min(1).max(200),
    type: z.string().max(100).default('text/plain'),
    text: z.string().optional(),
    base64: z.base64().optional(),
  })
  .refine((given) => (given.text === undefined) !== (given.base64 === undefined), 'give text or base64');

export const forumEvent = z.discriminatedUnion('type', [
  z
    .object({
      type: z.literal('post.created'),
      timestamp: moment.describe('When the forum made the event.'),
      data: z.object({
        post: id.describe("The forum's id of the post. A post is answered once, however often it is sent."),
        thread: id.describe('Posts of one thread build on each other.'),
        author: id.describe('An opaque id of the writer; no name or address is needed.'),
        text: words.describe('The post as its writer wrote it.'),
        writtenAt: moment.optional().describe('When it was written; posts of a thread are read in this order.'),
        attachments: z
          .array(file)
          .max(mostAttachments)
          .optional()
          .describe('Logs, as text or base64; 5 MiB in all. Files are never fetched.'),
        bot: z.boolean().default(false).describe('True for posts of programs: they are not answered.'),
      }),
    })
    .describe('A new post.'),
  z
    .object({
      type: z.literal('post.edited'),
      timestamp: moment,
      data: z.object({
        post: id,
        text: words.describe('The whole text as it is now.'),
        editedAt: moment.optional().describe("When; the event's time when it is left out. The latest version counts."),
        thread: id.optional().describe('With author, so that an edit that overtakes its post is not lost.'),
        author: id.optional(),
        bot: z.boolean().default(false),
      }),
    })
    .describe('A post has new words: the reply to it is corrected.'),
  z
    .object({ type: z.literal('post.deleted'), timestamp: moment, data: z.object({ post: id }) })
    .describe('A post is gone: its words are erased and its reply is withdrawn.'),
]);
export type ForumEvent = z.infer<typeof forumEvent>;

/** @throws Problem `too-large` when all logs together are over 5 MiB, `invalid` for what is no text */
export function readFiles(files: ReadonlyArray<z.infer<typeof file>>): Attachment[] {
  let bytes = 0;
  return files.map(({ name, type, text, base64 }) => {
    const content = base64 === undefined ? text! : decode(fromBase64(base64));
    bytes += new TextEncoder().encode(content).byteLength;
    if (bytes > attachmentLimitBytes)
      throw new Problem('too-large', 'The attached logs are over 5 MiB: send the part around the trouble.');
    return { name, type, text: content };
  });
}

function decode(bytes: Uint8Array): string {
  // Before decoding, which would double it.
  if (bytes.byteLength > attachmentLimitBytes)
    throw new Problem('too-large', 'The attached logs are over 5 MiB: send the part around the trouble.');
  return attachmentText(bytes);
}
