// Looks in a thread for the parts of a message by the marker that each carries, before it is sent a second time.
import { z } from 'zod';
import type { FindOutcome } from '../channel.ts';
import type { SlackApi } from './slack-api.ts';
import { threadOf } from './slack-place.ts';
import type { SlackSending } from './slack-sending.ts';

/** Messages read at once; replies of the bot are among the last. Source: node-slack-sdk (limit of conversations.replies) */
const pageSize = 200;
const mostPages = 5;

const page = z.object({
  messages: z.array(
    z.object({
      ts: z.string(),
      metadata: z
        .object({
          event_payload: z.object({ reply_id: z.unknown(), part: z.unknown(), of: z.unknown() }).partial().nullish(),
        })
        .nullish(),
    }),
  ),
  response_metadata: z.object({ next_cursor: z.string().nullish() }).nullish(),
});

/** Refusals after which looking is in vain: sending tells what is wrong, or the right to read was not given. */
const cannotLook = /^(?:missing_scope|channel_not_found|not_in_channel|thread_not_found|is_archived)$/;

export type FoundParts =
  | { readonly kind: 'looked'; readonly ids: readonly string[]; readonly isWhole: boolean }
  | Extract<FindOutcome, { kind: 'unsure' }>;

/** @returns ids of the parts that stand, first to last, and whether none is missing */
export async function findParts(api: SlackApi, { token, place, message }: SlackSending): Promise<FoundParts> {
  const thread = threadOf(place);
  const method = thread === undefined ? 'conversations.history' : 'conversations.replies';
  const found = new Map<number, string>();
  let parts = 1;
  let cursor = '';
  for (let pages = 0; pages < mostPages; pages += 1) {
    const result = await api.callForm(method, `Bearer ${token}`, {
      channel: place.channel,
      ...(thread === undefined ? {} : { ts: thread }),
      include_all_metadata: 'true',
      limit: String(pageSize),
      // Nothing of ours is older than the message itself; a minute for clocks that differ.
      oldest: ((message.createdAt - 60_000) / 1000).toFixed(6),
      ...(cursor === '' ? {} : { cursor }),
    });
    if (result.kind === 'rejected' && cannotLook.test(result.error)) break;
    if (result.kind !== 'ok')
      return {
        kind: 'unsure',
        because: result.kind === 'rejected' ? `Slack refuses: ${result.error}` : result.because,
      };
    const read = page.safeParse(result.body);
    if (!read.success) return { kind: 'unsure', because: 'Slack listed the thread in a form that is not known' };
    for (const { ts, metadata } of read.data.messages) {
      const payload = metadata?.event_payload;
      if (payload?.reply_id !== message.marker) continue;
      found.set(Number(payload.part ?? 0), ts);
      parts = Number(payload.of ?? 1);
    }
    cursor = read.data.response_metadata?.next_cursor ?? '';
    if (cursor === '') break;
  }
  const ids = [...found].sort(([one], [other]) => one - other).map(([, ts]) => ts);
  return { kind: 'looked', ids, isWhole: found.size >= parts && found.size > 0 };
}
