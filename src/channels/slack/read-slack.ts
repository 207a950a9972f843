// What Slack's events say, as things to do: a post, a later version of one, a deletion, a removed workspace, or nothing. Pure;
// the listeners act on it.
import { z } from 'zod';
import type { Post, PostRevision } from '../../vocabulary/post.ts';
import { messageEventId, placeKey, type SlackPlace, timeOf } from './slack-place.ts';
import { slackChannelName } from './slack-settings.ts';
import { plainFromSlack } from './slack-text.ts';

const slackFile = z.object({
  name: z.string().max(1000).nullish(),
  mimetype: z.string().max(200).nullish(),
  size: z.number().nullish(),
  url_private_download: z.string().max(2000).nullish(),
});
export type SlackFile = z.infer<typeof slackFile>;

const ts = z.string().regex(/^\d{1,12}\.\d{1,8}$/);
const id = z.string().regex(/^[A-Z0-9]{1,30}$/);
export const slackMessage = z.object({
  ts,
  text: z.string().nullish(),
  user: id.nullish(),
  bot_id: z.string().nullish(),
  app_id: z.string().nullish(),
  subtype: z.string().nullish(),
  thread_ts: ts.nullish(),
  edited: z.object({ ts: z.string().nullish() }).nullish(),
  files: z.array(slackFile).max(100).nullish(),
});
export type SlackMessage = z.infer<typeof slackMessage>;

const messageEvent = slackMessage.extend({
  type: z.enum(['message', 'app_mention']),
  channel: id,
  channel_type: z.string().nullish(),
  event_ts: z.string().nullish(),
  message: z.unknown().optional(),
  previous_message: z.unknown().optional(),
  deleted_ts: ts.nullish(),
});
const named = z.union([z.string(), z.object({ id: z.string() }).loose()]).nullish();
export const slackEnvelope = z.object({
  team_id: id,
  // Channel and user are texts here and objects there; of any other kind bolt would stumble over them.
  event: z
    .object({ type: z.string(), channel: named, user: named, item: z.object({ channel: named }).nullish() })
    .loose(),
  authorizations: z.array(z.object({ user_id: id.nullish(), team_id: id.nullish() })).nullish(),
});
export type SlackEnvelope = z.infer<typeof slackEnvelope>;

export type SlackIntent =
  | {
      readonly kind: 'post';
      readonly post: Post;
      readonly files: readonly SlackFile[];
      /** True for a reply in a thread that does not name the bot: it counts only from who asked there. */
      readonly isFollowUp: boolean;
    }
  | { readonly kind: 'revise'; readonly revision: PostRevision }
  | { readonly kind: 'withdraw'; readonly eventId: string }
  | { readonly kind: 'nothing'; readonly because: string };

/** Subtypes of messages that a person wrote. */
const written = new Set([undefined, null, '', 'file_share', 'thread_broadcast', 'me_message']);

/** The workspace that installed the app: in a channel shared by two, the event may come from the other one. */
export function installedIn(envelope: SlackEnvelope): string {
  return envelope.authorizations?.[0]?.team_id ?? envelope.team_id;
}

/** Reads one event of the Events API. Whatever is not a person's own words is nothing. */
export function readSlackEvent(envelope: SlackEnvelope): SlackIntent {
  const parsed = messageEvent.safeParse(envelope.event);
  if (!parsed.success) return { kind: 'nothing', because: 'not a message' };
  const event = parsed.data;
  const bot = envelope.authorizations?.[0]?.user_id ?? null;
  const team = installedIn(envelope);
  if (event.subtype === 'message_changed') return readChange(event, team, bot);
  if (event.subtype === 'message_deleted') {
    if (!event.deleted_ts) return { kind: 'nothing', because: 'a deletion of nothing' };
    return { kind: 'withdraw', eventId: messageEventId(team, event.channel, event.deleted_ts) };
  }
  if (isFromBot(event) || !event.user) return { kind: 'nothing', because: 'a program wrote it' };
  if (!written.has(event.subtype)) return { kind: 'nothing', because: 'no words of a person' };
  const isDirect = event.channel_type === 'im' || event.channel.startsWith('D');
  const names = event.type === 'app_mention' || (bot !== null && (event.text ?? '').includes(`<@${bot}>`));
  const isReply = event.thread_ts !== undefined && event.thread_ts !== null && event.thread_ts !== event.ts;
  if (!isDirect && !names && !isReply) return { kind: 'nothing', because: 'not said to the bot' };
  const post = postOf(event, { team, channel: event.channel, isDirect }, bot);
  return { kind: 'post', post, files: event.files ?? [], isFollowUp: !isDirect && !names };
}

/** A person's message as a post of its thread; the menu entry reads other people's messages with it too. */
export function postOf(
  message: SlackMessage,
  at: { readonly team: string; readonly channel: string; readonly isDirect: boolean },
  bot: string | null,
): Post {
  const root = message.thread_ts ?? (at.isDirect ? 'direct' : message.ts);
  const place: SlackPlace = { team: at.team, channel: at.channel, root };
  return {
    eventId: messageEventId(at.team, at.channel, message.ts),
    channel: slackChannelName,
    conversation: placeKey(place),
    author: authorOf(at.team, message.user ?? 'unknown'),
    text: plainFromSlack(message.text ?? '', bot),
    callerId: null,
    writtenAt: timeOf(message.ts),
    workspace: at.team,
  };
}

/** User ids repeat over workspaces. */
export function authorOf(team: string, user: string): string {
  return `${team}/${user}`;
}

/** Whether a program wrote it, ours included; answering one another, two would never end. */
export function isFromBot(message: SlackMessage): boolean {
  return Boolean(message.bot_id) || Boolean(message.app_id) || message.subtype === 'bot_message';
}

/** Slack also tells of link previews and new replies as changes: only another text is one. */
function readChange(event: z.infer<typeof messageEvent>, team: string, bot: string | null): SlackIntent {
  const now = slackMessage.safeParse(event.message);
  if (!now.success) return { kind: 'nothing', because: 'a change of nothing' };
  const eventId = messageEventId(team, event.channel, now.data.ts);
  // What is left of a deleted message that others replied to.
  if (now.data.subtype === 'tombstone') return { kind: 'withdraw', eventId };
  if (isFromBot(now.data)) return { kind: 'nothing', because: 'a program changed its own words' };
  const before = slackMessage.safeParse(event.previous_message);
  const text = now.data.text ?? '';
  if (before.success ? (before.data.text ?? '') === text : !now.data.edited)
    return { kind: 'nothing', because: 'the words are the same' };
  const revisedAt = now.data.edited?.ts ?? event.event_ts ?? event.ts;
  return {
    kind: 'revise',
    revision: {
      channel: slackChannelName,
      eventId,
      text: plainFromSlack(text, bot),
      revisedAt: Math.max(0, timeOf(revisedAt) || 0),
    },
  };
}
