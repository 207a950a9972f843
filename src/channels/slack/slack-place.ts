// Where a Slack conversation takes place, as the conversation key of the store: `team/channel/root`. The readers write it and
// the sender takes it apart.

export interface SlackPlace {
  readonly team: string;
  /** Channel, group or direct-message id. */
  readonly channel: string;
  /**
   * `ts` of the thread's first message; `direct` for a direct message outside any thread; `command-...` for a slash command,
   * which is no message that others see.
   */
  readonly root: string;
}

const idPattern = /^[A-Z0-9]{1,30}$/;
const rootPattern = /^(?:\d{1,12}\.\d{1,8}|direct|command-[a-f0-9]{16})$/;

export function placeKey(place: SlackPlace): string {
  return `${place.team}/${place.channel}/${place.root}`;
}

/** The place of a conversation key; null when it is not one of ours. */
export function readPlace(conversation: string): SlackPlace | null {
  const [team = '', channel = '', root = '', more] = conversation.split('/', 4);
  if (more !== undefined || !idPattern.test(team) || !idPattern.test(channel) || !rootPattern.test(root)) return null;
  return { team, channel, root };
}

/** `ts` of the message that a reply goes under; undefined where replies stand by themselves. */
export function threadOf(place: SlackPlace): string | undefined {
  return /^\d/.test(place.root) ? place.root : undefined;
}

/** A message's own time from its `ts` [ms since 1970]. */
export function timeOf(ts: string): number {
  return Math.round(Number(ts) * 1000);
}

/** One key a message, whatever events bring it (a mention comes as two): its post is taken in once. */
export function messageEventId(team: string, channel: string, ts: string): string {
  return `message/${team}/${channel}/${ts}`;
}
