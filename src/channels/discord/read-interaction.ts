// Discord's interactions as checked shapes, and as posts. Pure; the route acts on them.
import { z } from 'zod';
import type { Post } from '../../vocabulary/post.ts';
import { type DiscordTarget, placeKey, placeOf, timeOf } from './discord-place.ts';
import { discordChannelName } from './discord-settings.ts';

const id = z.string().regex(/^\d{15,25}$/);
const user = z.object({ id, username: z.string().max(200).nullish(), bot: z.boolean().nullish() });
const remoteFile = z.object({
  filename: z.string().max(1000),
  url: z.string().max(3000),
  size: z.number().nullish(),
  content_type: z.string().max(200).nullish(),
});
export type DiscordFile = z.infer<typeof remoteFile>;
const targetMessage = z.object({
  id,
  content: z.string().max(20_000),
  author: user,
  attachments: z.array(remoteFile).max(20).nullish(),
  application_id: id.nullish(),
});

const shared = {
  id,
  token: z.string().min(1).max(1000),
  guild_id: id.nullish(),
  channel: z.object({ id, type: z.number().nullish() }).nullish(),
  channel_id: id.nullish(),
  member: z.object({ user }).nullish(),
  user: user.nullish(),
};
const option = z.object({ name: z.string(), value: z.union([z.string(), z.number(), z.boolean()]).nullish() });

export const ping = z.object({ type: z.literal(1) });
const chatCommand = z.object({
  type: z.literal(2),
  ...shared,
  data: z.object({
    type: z.literal(1),
    name: z.string(),
    options: z.array(option).max(25).nullish(),
    resolved: z.object({ attachments: z.record(z.string(), remoteFile).nullish() }).nullish(),
  }),
});
const messageCommand = z.object({
  type: z.literal(2),
  ...shared,
  data: z.object({
    type: z.literal(3),
    name: z.string(),
    target_id: id,
    resolved: z.object({ messages: z.record(z.string(), targetMessage) }),
  }),
});
const buttonPress = z.object({
  type: z.literal(3),
  ...shared,
  message: z.object({ id, flags: z.number().nullish() }),
  data: z.object({ custom_id: z.string().max(100) }),
});
const windowSent = z.object({
  type: z.literal(5),
  ...shared,
  message: z.object({ id, flags: z.number().nullish() }).nullish(),
  data: z.object({
    custom_id: z.string().max(100),
    components: z
      .array(z.object({ components: z.array(z.object({ custom_id: z.string(), value: z.string().max(4000) })).max(5) }))
      .max(5),
  }),
});
export const anyInteraction = z.union([chatCommand, messageCommand, buttonPress, windowSent]);
export type Interaction = z.infer<typeof anyInteraction>;
export type ChatCommand = z.infer<typeof chatCommand>;
export type MessageCommand = z.infer<typeof messageCommand>;
export type WindowSent = z.infer<typeof windowSent>;

/** Flag of a message that one person alone sees. Source: discord-message */
export const ephemeralFlag = 64;

export function personIn(interaction: Interaction): { readonly id: string; readonly name: string } {
  const person = interaction.member?.user ?? interaction.user;
  return { id: person?.id ?? '000000000000000', name: person?.username ?? '' };
}

export function channelIn(interaction: Interaction): { readonly id: string; readonly type: number | null } {
  const { channel, channel_id: channelId } = interaction;
  return { id: channel?.id ?? channelId ?? '000000000000000', type: channel?.type ?? null };
}

/** A question of a chat command as a post; its files are fetched after it. */
export function postOfCommand(interaction: ChatCommand, now: number): { post: Post; files: DiscordFile[] } {
  const options = new Map((interaction.data.options ?? []).map(({ name, value }) => [name, value]));
  const file = interaction.data.resolved?.attachments?.[String(options.get('log') ?? '')];
  const post = postIn(interaction, {
    eventId: `interaction/${interaction.id}`,
    conversation: placeKey(placeOf(interaction.guild_id ?? null, channelIn(interaction), interaction.id)),
    text: String(options.get('text') ?? ''),
    target: targetOf(interaction, options.get('private') === true, now),
  });
  return { post, files: file ? [file] : [] };
}

/** Someone else's message as a post of its author, answered by a reply to it. */
export function postOfMessage(interaction: MessageCommand, now: number) {
  const message = interaction.data.resolved.messages[interaction.data.target_id];
  if (!message) return null;
  const channel = channelIn(interaction);
  const post: Post = {
    eventId: `message/${channel.id}/${message.id}`,
    channel: discordChannelName,
    conversation: placeKey(placeOf(interaction.guild_id ?? null, channel, message.id)),
    author: message.author.id,
    text: message.content,
    callerId: null,
    writtenAt: timeOf(message.id),
    ...(interaction.guild_id ? { workspace: interaction.guild_id } : {}),
    place: JSON.stringify({
      token: null,
      since: now,
      user: message.author.id,
      isPrivate: false,
      reference: message.id,
    } satisfies DiscordTarget),
  };
  return {
    post,
    files: message.attachments ?? [],
    isFromBot: message.author.bot === true || Boolean(message.application_id),
  };
}

export function targetOf(interaction: Interaction, isPrivate: boolean, now: number): DiscordTarget {
  return { token: interaction.token, since: now, user: personIn(interaction).id, isPrivate, reference: null };
}

export function postIn(
  interaction: Interaction,
  parts: { eventId: string; conversation: string; text: string; target: DiscordTarget },
): Post {
  return {
    eventId: parts.eventId,
    channel: discordChannelName,
    conversation: parts.conversation,
    author: personIn(interaction).id,
    text: parts.text,
    callerId: null,
    writtenAt: timeOf(interaction.id),
    ...(interaction.guild_id ? { workspace: interaction.guild_id } : {}),
    place: JSON.stringify(parts.target),
  };
}
