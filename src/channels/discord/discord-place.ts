// Where a Discord conversation takes place, as the conversation key of the store: `server/channel/root`; and where the reply to
// one interaction goes, sealed with its post. The reader writes both, the sender takes them apart.
import { z } from 'zod';

export interface DiscordPlace {
  /** Id of the server; `@me` for direct messages. */
  readonly server: string;
  /** Id of the channel or thread. */
  readonly channel: string;
  /** `thread` for a whole thread or forum post, `direct` for direct messages, else the id of the question or message. */
  readonly root: string;
}

const snowflake = /^\d{15,25}$/;

export function placeKey({ server, channel, root }: DiscordPlace): string {
  return `${server}/${channel}/${root}`;
}

/** The place of a conversation key; null when it is not one of ours. */
export function readPlace(conversation: string): DiscordPlace | null {
  const [server = '', channel = '', root = '', more] = conversation.split('/', 4);
  const isRoot = root === 'thread' || root === 'direct' || snowflake.test(root);
  if (more !== undefined || !(server === '@me' || snowflake.test(server)) || !snowflake.test(channel) || !isRoot)
    return null;
  return { server, channel, root };
}

/** Types of channels that are threads. Source: discord-channel (docs: resources/channel) */
const threadTypes = new Set([10, 11, 12]);
const directType = 1;

/** @param id of the question, where the channel itself is no conversation */
export function placeOf(server: string | null, channel: { id: string; type: number | null }, id: string): DiscordPlace {
  const root = threadTypes.has(channel.type ?? -1) ? 'thread' : channel.type === directType ? 'direct' : id;
  return { server: server ?? '@me', channel: channel.id, root };
}

/** When something was made, from its id [ms since 1970]. Source: discord-reference (docs: reference, snowflakes) */
export function timeOf(id: string): number {
  return Number((BigInt(id) >> 22n) + 1_420_070_400_000n);
}

/** The least id that something made at a time could have: for lists that begin there. */
export function idAt(ms: number): string {
  return (BigInt(Math.max(0, Math.floor(ms) - 1_420_070_400_000)) << 22n).toString();
}

const target = z.object({
  /** Token of the interaction, good for a quarter of an hour; null when the reply is a message of the channel. */
  token: z.string().max(1000).nullable(),
  /** When the interaction came [ms since 1970]. */
  since: z.number(),
  /** The writer of the question, for private replies after the token's time. */
  user: z.string().regex(snowflake),
  /** Only its writer sees the reply. */
  isPrivate: z.boolean(),
  /** Message that the reply refers to. */
  reference: z.string().regex(snowflake).nullable(),
});
export type DiscordTarget = z.infer<typeof target>;

export function readTarget(place: string | null | undefined): DiscordTarget | null {
  try {
    return target.parse(JSON.parse(place ?? ''));
  } catch {
    return null;
  }
}
