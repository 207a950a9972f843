// A post: what a channel hands in, whatever platform it came from.
import { z } from 'zod';

/** Post text that is read [UTF-16 units]; the excess is kept but not read, and the reply says so. */
export const readTextLimit = 100_000;
/** All logs that come with one post together [bytes of UTF-8]: 5 MiB. */
export const attachmentLimitBytes = 5 * 1024 * 1024;
/** Logs that come with one post. */
export const mostAttachments = 10;

/** A log that came with a post, as text. */
export const attachment = z.object({
  name: z.string().min(1).max(200),
  /** Media type as the platform named it; the reader goes by the content. */
  type: z.string().max(100),
  text: z.string(),
});
export type Attachment = z.infer<typeof attachment>;

export const post = z.object({
  /**
   * The platform's own id of what was written; a second copy of it changes nothing. Where a platform tells of one thing in
   * several events, the id of the thing (channel and time of the message), not of the event.
   */
  eventId: z.string().min(1).max(200),
  channel: z.string().min(1).max(40),
  /** Conversation within the channel; one conversation is one case. */
  conversation: z.string().min(1).max(200),
  /** Opaque id of the writer within the channel. */
  author: z.string().min(1).max(200),
  text: z.string(),
  /** The caller's own id of the question, echoed in the answer document. */
  callerId: z.string().max(200).nullable(),
  attachments: z.array(attachment).max(mostAttachments).optional(),
  /** When it was written, by the platform's clock [ms since 1970]; posts of a conversation are read in this order. */
  writtenAt: z.number().int().min(0).optional(),
  /** What the channel needs to answer there (its own text, sealed with the post); handed back with every message about it. */
  place: z.string().max(4000).optional(),
  /** The workspace or site that it came from, for limits. */
  workspace: z.string().max(200).optional(),
  /** A helper answers it in these words; the program's own reply is kept for the record and not sent. */
  helperReply: z.object({ by: z.string().min(1).max(100), text: z.string().min(1).max(4000) }).optional(),
  /** The signed delivery that brought it: its id, and a hash of the whole body. */
  delivery: z.object({ id: z.string().min(1).max(300), bodyHash: z.string().min(1).max(100) }).optional(),
});
export type Post = z.infer<typeof post>;

/** A later version of a post, from its writer. */
export interface PostRevision {
  readonly channel: string;
  readonly eventId: string;
  readonly text: string;
  /** By the platform's clock [ms since 1970]; an older version than the one known changes nothing. */
  readonly revisedAt: number;
}
