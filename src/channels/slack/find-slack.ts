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
        .object({ event_payload: z.object({ reply_id: z.unknown(), part: z.unknown() }).partial().nullish() })
        .nullish(),
    }),
  ),
  response_metadata: z.object({ next_cursor: z.string().nullish() }).nullish(),
});

export async function findParts(api: SlackApi, { token, place, message }: SlackSending): Promise<FindOutcome> {
  const thread = threadOf(place);
  const method = thread === undefined ? 'conversations.history' : 'conversations.replies';
  const found = new Map<number, string>();
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
    if (result.kind !== 'ok')
      return {
        kind: 'unsure',
        because: result.kind === 'rejected' ? `Slack refuses: ${result.error}` : result.because,
      };
    const read = page.safeParse(result.body);
    if (!read.success) return { kind: 'unsure', because: 'Slack listed the thread in a form that is not known' };
    for (const { ts, metadata } of read.data.messages) {
      const payload = metadata?.event_payload;
      if (payload?.reply_id === message.marker) found.set(Number(payload.part ?? 0), ts);
    }
    cursor = read.data.response_metadata?.next_cursor ?? '';
    if (cursor === '') break;
  }
  if (found.size === 0) return { kind: 'absent' };
  const ids = [...found].sort(([one], [other]) => one - other).map(([, ts]) => ts);
  return { kind: 'found', platformId: ids.join(',') };
}
