// Quick answers: a press becomes a post in the words of the button, once for each question. The listeners call it.
import { z } from 'zod';
import type { Post } from '../../vocabulary/post.ts';
import { authorOf } from './read-slack.ts';
import { type SlackBlock, settleButtons } from './render-slack.ts';
import { isSlackAddress, type PrivateTarget } from './send-privately.ts';
import type { SlackRoutesDeps } from './slack-deps.ts';
import { readPlace } from './slack-place.ts';
import { slackChannelName } from './slack-settings.ts';

const id = z.string().regex(/^[A-Z0-9]{1,30}$/);
const press = z.object({
  user: z.object({ id }),
  team: z.object({ id }).nullish(),
  container: z.object({ message_ts: z.string().max(30).nullish() }).nullish(),
  message: z
    .object({ ts: z.string().max(30), blocks: z.array(z.record(z.string(), z.unknown())).max(50).nullish() })
    .nullish(),
  response_url: z.string().max(2000).nullish(),
  actions: z.array(z.object({ value: z.string().max(2000).nullish(), action_ts: z.string().max(30).nullish() })).min(1),
});
/** What a button carries: conversation, question, words. */
const value = z.object({ c: z.string().max(200), q: z.string().max(80), t: z.string().min(1).max(300) });

/** Stores the answer. @returns what is left to do after the acknowledgement: taking the buttons away */
export async function answerByButton(deps: SlackRoutesDeps, body: unknown): Promise<() => Promise<void>> {
  const nothing = async () => undefined;
  const read = press.safeParse(body);
  const pressed = read.success ? readValue(read.data.actions[0]?.value) : null;
  if (!read.success || pressed === null) return nothing;
  const place = readPlace(pressed.c);
  if (!place || (read.data.team && read.data.team.id !== place.team)) return nothing;
  const { user, message, response_url: responseUrl } = read.data;
  const ts = message?.ts ?? read.data.container?.message_ts ?? 'unknown';
  const isPrivate = place.root.startsWith('command-');
  const target: PrivateTarget | null =
    isPrivate && responseUrl ? { responseUrl, user: user.id, since: deps.clock() } : null;
  const post: Post = {
    // A double press, and a second press on another answer, are the same event: the first one counts.
    eventId: `button/${place.team}/${place.channel}/${ts}/${pressed.q}`.slice(0, 200),
    channel: slackChannelName,
    conversation: pressed.c,
    author: authorOf(place.team, user.id),
    text: pressed.t,
    callerId: null,
    writtenAt: deps.clock(),
    workspace: place.team,
    ...(target === null ? {} : { place: JSON.stringify(target) }),
  };
  const { fresh } = await deps.inbox.accept(post);
  if (!fresh || !responseUrl || !isSlackAddress(responseUrl, deps.settings.apiUrl)) return nothing;
  return async () => {
    const blocks = settleButtons((message?.blocks ?? []) as readonly SlackBlock[], `Answered: ${pressed.t}`);
    const says = { replace_original: true, text: `Answered: ${pressed.t}`, blocks };
    const result = await deps.api.post(responseUrl, JSON.stringify(says), 'application/json; charset=utf-8');
    if (result.kind !== 'ok') deps.log.warn('slack buttons left standing', { outcome: result.kind });
  };
}

function readValue(given: string | null | undefined): z.infer<typeof value> | null {
  try {
    return value.parse(JSON.parse(given ?? ''));
  } catch {
    return null;
  }
}
