// The Discord channel: the sender for the outbox, and the route for the inbox. The front doors make it; app.ts mounts the route.
import type { Hono } from 'hono';
import type { Channel, Inbox } from '../channel.ts';
import { discordApi } from './discord-api.ts';
import type { DiscordDeps } from './discord-deps.ts';
import { discordRoutes } from './discord-routes.ts';
import { discordChannelName } from './discord-settings.ts';
import { discordSender } from './send-discord.ts';

export interface Discord {
  readonly channel: Channel;
  readonly routes: (inbox: Inbox) => Hono;
}

export function discord(deps: DiscordDeps): Discord {
  const api = discordApi(deps.settings.apiUrl, deps.fetch);
  return {
    channel: { name: discordChannelName, offBecause: null, ...discordSender({ ...deps, api }) },
    routes: (inbox) => discordRoutes({ ...deps, api, inbox }),
  };
}
