// The channels of chat platforms and forums that the settings turn on, the same on both runtimes. node.ts and worker.ts call it
// with their own means; a channel without its settings is listed too, so that /readyz can say why it is off.
import { drawPicture } from './advice/pictures/picture.ts';
import type { answerPost } from './answer.ts';
import type { PlatformRoutes } from './app.ts';
import { type Channel, fetchedChannel, type Inbox } from './channels/channel.ts';
import { discord } from './channels/discord/discord.ts';
import type { DiscordDeps } from './channels/discord/discord-deps.ts';
import { discordApiUrl } from './channels/discord/discord-settings.ts';
import { forum } from './channels/forum/forum.ts';
import { slack } from './channels/slack/slack.ts';
import type { SlackRoutesDeps } from './channels/slack/slack-deps.ts';
import { draftAnswer } from './draft.ts';
import type { RenderPng } from './imaging/render-png.ts';
import type { Knowledge } from './knowledge/knowledge.ts';
import type { Log } from './serving/log.ts';
import type { Settings } from './settings.ts';
import type { Store } from './store/store.ts';
import type { Post } from './vocabulary/post.ts';

export interface PlatformDeps {
  readonly settings: Settings;
  readonly store: Store;
  readonly knowledge: Knowledge;
  readonly answer: typeof answerPost;
  /** Milliseconds since 1970. */
  readonly clock: () => number;
  readonly sleep: (ms: number) => Promise<void>;
  /** A fresh unguessable id each time. */
  readonly newId: () => string;
  readonly log: Log;
  readonly renderPng: RenderPng;
}

export interface Platforms {
  readonly channels: readonly Channel[];
  readonly routes: (inbox: Inbox) => readonly PlatformRoutes[];
  /** What Slack's Socket Mode needs; null when it is not asked for. */
  readonly socket: ((inbox: Inbox) => { readonly deps: SlackRoutesDeps; readonly appToken: string }) | null;
}

/** Redirects are answers here, never followed: a platform's address is a matter for the settings. */
const fetchOnce = (address: string, init: RequestInit) => fetch(address, { ...init, redirect: 'manual' });

export function platforms(deps: PlatformDeps): Platforms {
  const { channelsOff, values, address } = deps.settings;
  const off = (name: 'slack' | 'discord'): Channel => ({
    ...fetchedChannel(name),
    offBecause: channelsOff[name] ?? 'it is not wired in',
  });
  const { DISCORD_PUBLIC_KEY: publicKey, DISCORD_APPLICATION_ID: applicationId, DISCORD_BOT_TOKEN: botToken } = values;
  const discordOn =
    publicKey !== undefined && applicationId !== undefined && botToken !== undefined
      ? discord({
          ...deps,
          ...forReplies(deps),
          settings: {
            publicKey,
            applicationId,
            botToken,
            address,
            apiUrl: withoutSlash(values.DISCORD_API_URL ?? discordApiUrl),
          },
        })
      : null;
  const slackOn = channelsOff.slack === undefined ? slackOf(deps) : null;
  const replyUrl = values.FORUM_REPLY_URL;
  const secrets = [values.FORUM_SECRET, values.FORUM_SECRET_OLD].filter((secret) => secret !== undefined);
  const anyForum = forum(
    channelsOff.forum === undefined && replyUrl !== undefined ? { secrets, replyUrl, address } : null,
    channelsOff.forum ?? null,
    { ...deps, fetch: fetchOnce },
  );
  const appToken = values.SLACK_APP_TOKEN;
  return {
    channels: [slackOn?.channel ?? off('slack'), discordOn?.channel ?? off('discord'), anyForum.channel],
    routes: (inbox) => [
      ...(slackOn ? [{ path: '/slack', routes: slackOn.routes(inbox) }] : []),
      ...(discordOn ? [{ path: '/discord', routes: discordOn.routes(inbox) }] : []),
      anyForum.platform(inbox),
    ],
    socket: slackOn && appToken !== undefined ? (inbox) => ({ deps: slackOn.routesDeps(inbox), appToken }) : null,
  };
}

const withoutSlash = (address: string) => address.replace(/\/{1,9}$/, '');

/** What the chat platforms show and call: drafts, pictures, the network. */
function forReplies(deps: PlatformDeps): Pick<DiscordDeps, 'fetch' | 'draft' | 'renderPicture'> {
  return {
    fetch: fetchOnce,
    draft: (post: Post) => draftAnswer(deps, post),
    async renderPicture(path: string) {
      const file = path.replace(/^.*\//, '');
      const picture = drawPicture(file, (id) => deps.knowledge.faults.byId.get(id)?.name ?? id);
      return picture === null ? null : deps.renderPng(picture);
    },
  };
}

function slackOf(deps: PlatformDeps) {
  const { values, address } = deps.settings;
  const { SLACK_CLIENT_ID: clientId, SLACK_CLIENT_SECRET: clientSecret } = values;
  return slack({
    ...deps,
    ...forReplies(deps),
    settings: {
      signingSecrets: [values.SLACK_SIGNING_SECRET, values.SLACK_SIGNING_SECRET_OLD].filter(
        (secret) => secret !== undefined,
      ),
      botToken: values.SLACK_BOT_TOKEN ?? null,
      install: clientId !== undefined && clientSecret !== undefined ? { clientId, clientSecret } : null,
      appToken: values.SLACK_APP_TOKEN ?? null,
      apiUrl: withoutSlash(values.SLACK_API_URL ?? 'https://slack.com/api'),
      address,
    },
  });
}
