// A post: what a channel hands in, whatever platform it came from.
import { z } from 'zod';

/** Post text that is read [UTF-16 units]; the excess is kept but not read, and the reply says so. */
export const readTextLimit = 100_000;

export const post = z.object({
  /** The platform's own id of the event; a second copy of it changes nothing. */
  eventId: z.string().min(1).max(200),
  channel: z.string().min(1).max(40),
  /** Conversation within the channel; one conversation is one case. */
  conversation: z.string().min(1).max(200),
  /** Opaque id of the writer within the channel. */
  author: z.string().min(1).max(200),
  text: z.string(),
  /** The caller's own id of the question, echoed in the answer document. */
  callerId: z.string().max(200).nullable(),
});
export type Post = z.infer<typeof post>;
