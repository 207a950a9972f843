// Replies to a slash command: shown to its writer alone through the address that came with the command, for half an hour; after
// that as a direct message. The sender calls it.
import { z } from 'zod';
import type { OutboxMessage } from '../../store/store.ts';
import type { SendOutcome } from '../channel.ts';
import type { SlackPart } from './render-slack.ts';
import type { SlackApi } from './slack-api.ts';
import { slackOutcome } from './slack-outcome.ts';
import type { SlackSending } from './slack-sending.ts';

/** How long such an address works [ms], a minute less than Slack says. Source: slack-interactivity (30 min) */
const addressLivesMs = 29 * 60_000;

const target = z.object({
  responseUrl: z.string().max(2000),
  user: z.string().regex(/^[A-Z0-9]{1,30}$/),
  since: z.number(),
});
export type PrivateTarget = z.infer<typeof target>;

/** Where the reply of a slash command goes; null for messages in threads. */
export function readPrivateTarget(message: Pick<OutboxMessage, 'place'>): PrivateTarget | null {
  if (!message.place) return null;
  try {
    return target.parse(JSON.parse(message.place));
  } catch {
    return null;
  }
}

/** Only addresses of Slack itself are posted to; where a test stands in for Slack, those of its own. */
export function isSlackAddress(address: string, apiUrl: string): boolean {
  if (!URL.canParse(address)) return false;
  const { protocol, hostname, origin, username, password } = new URL(address);
  if (username !== '' || password !== '') return false;
  if (protocol === 'https:' && (hostname === 'slack.com' || hostname.endsWith('.slack.com'))) return true;
  return origin === new URL(apiUrl).origin;
}

export async function sendPrivately(
  deps: { readonly api: SlackApi; readonly clock: () => number; readonly settings: { readonly apiUrl: string } },
  sending: SlackSending,
  { responseUrl, user, since }: PrivateTarget,
  parts: readonly SlackPart[],
): Promise<SendOutcome> {
  const { api, clock, settings } = deps;
  let byAddress = clock() - since < addressLivesMs && isSlackAddress(responseUrl, settings.apiUrl);
  let outcome: SendOutcome = { kind: 'sent', platformId: null };
  for (const part of parts) {
    const words = { text: part.text, blocks: part.blocks };
    if (byAddress) {
      const body = JSON.stringify({ response_type: 'ephemeral', replace_original: false, ...words });
      const result = await api.post(responseUrl, body, 'application/json; charset=utf-8');
      outcome = slackOutcome(result, null);
      // Spent or too old: the direct message is left.
      if (result.kind === 'rejected') byAddress = false;
    }
    if (!byAddress)
      outcome = slackOutcome(
        await api.call('chat.postMessage', sending.token, {
          channel: user,
          parse: 'none',
          link_names: false,
          ...words,
        }),
        null,
      );
    if (outcome.kind !== 'sent') return outcome;
  }
  return outcome;
}
