// The slash command: a question answered in private, and the words about privacy. The listeners call it.
import { z } from 'zod';
import type { Post } from '../../vocabulary/post.ts';
import { Problem } from '../../vocabulary/problems.ts';
import { authorOf } from './read-slack.ts';
import { isSlackAddress, type PrivateTarget } from './send-privately.ts';
import type { SlackRoutesDeps } from './slack-deps.ts';
import { placeKey } from './slack-place.ts';
import { slackChannelName } from './slack-settings.ts';
import { plainFromSlack } from './slack-text.ts';

const id = z.string().regex(/^[A-Z0-9]{1,30}$/);
const command = z.object({
  text: z.string().nullish(),
  user_id: id,
  channel_id: id,
  team_id: id,
  response_url: z.string().max(2000),
  trigger_id: z.string().min(1).max(500),
});

const helpWords =
  'Write what the car does after the command: trouble codes, fuel trims, gas-analyser figures, sensor voltages, symptoms, engine. ' +
  'You alone see the answer. To ask in the open, name me in a message. `privacy` tells what is kept, `forget me` erases what you wrote.';
const privacyWords =
  'I keep what you write to me, encrypted, so that a question can go on and a moderator can check the answers. ' +
  'Write `forget me` after the command and everything of yours is erased. I read only messages that name me, direct messages, ' +
  'your later replies in a thread where you asked me, and messages that a helper hands me by the menu entry.';

export interface TakenCommand {
  readonly says: string;
  /** Work that goes on after the acknowledgement. */
  readonly after: () => Promise<void>;
}

export async function takeCommand(deps: SlackRoutesDeps, body: unknown): Promise<TakenCommand> {
  const nothingMore = async () => undefined;
  const read = command.safeParse(body);
  if (!read.success) return { says: helpWords, after: nothingMore };
  const { team_id: team, user_id: user, channel_id: channel, response_url: responseUrl } = read.data;
  const text = plainFromSlack(read.data.text ?? '', null).trim();
  if (text === '' || /^help$/i.test(text)) return { says: helpWords, after: nothingMore };
  if (/^privacy$/i.test(text)) return { says: privacyWords, after: nothingMore };
  if (/^forget me$/i.test(text))
    return {
      says: 'I am erasing what you wrote to me \u2026',
      after: () => forget(deps, authorOf(team, user), responseUrl),
    };
  const key = await hashOf(read.data.trigger_id);
  const target: PrivateTarget = { responseUrl, user, since: deps.clock() };
  const post: Post = {
    eventId: `command/${team}/${key}`,
    channel: slackChannelName,
    conversation: placeKey({ team, channel, root: `command-${key.slice(0, 16)}` }),
    author: authorOf(team, user),
    text,
    callerId: null,
    writtenAt: deps.clock(),
    workspace: team,
    place: JSON.stringify(target),
  };
  try {
    await deps.inbox.accept(post);
  } catch (error) {
    // Slack does not repeat commands: who wrote it must hear.
    if (error instanceof Problem && error.code !== 'internal')
      return { says: `That did not work: ${error.message}`, after: nothingMore };
    throw error;
  }
  return { says: 'I am reading your post \u2026', after: nothingMore };
}

async function forget(deps: SlackRoutesDeps, author: string, responseUrl: string): Promise<void> {
  const removed = await deps.store.erasePerson(slackChannelName, author, deps.clock());
  deps.log.info('person erased on request', { channel: slackChannelName, posts: removed });
  if (!isSlackAddress(responseUrl, deps.settings.apiUrl)) return;
  const text = `Done: ${removed} of your posts are erased, with the answers to them. My replies in threads stay until they are deleted there.`;
  await deps.api.post(responseUrl, JSON.stringify({ response_type: 'ephemeral', text }), 'application/json');
}

/** Hexadecimal SHA-256 of an id that is longer than a key may be. */
async function hashOf(text: string): Promise<string> {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text)));
  return [...hash].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
