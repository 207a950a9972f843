// The Slack channel: the sender for the outbox, and the routes for the inbox. The front doors make it; app.ts mounts the routes.
import type { Hono } from 'hono';
import type { Channel, Inbox } from '../channel.ts';
import { slackSender } from './send-slack.ts';
import { slackApi } from './slack-api.ts';
import type { SlackDeps, SlackRoutesDeps } from './slack-deps.ts';
import { slackRoutes } from './slack-routes.ts';
import { slackChannelName } from './slack-settings.ts';
import { workspaces } from './workspaces.ts';

export interface Slack {
  readonly channel: Channel;
  readonly routes: (inbox: Inbox) => Hono;
  /** What Socket Mode needs in place of the routes. */
  readonly routesDeps: (inbox: Inbox) => SlackRoutesDeps;
}

export function slack(deps: SlackDeps): Slack {
  const api = slackApi(deps.settings.apiUrl, deps.fetch);
  const tokens = workspaces({ ...deps, api });
  const routesDeps = (inbox: Inbox): SlackRoutesDeps => ({ ...deps, api, workspaces: tokens, inbox });
  return {
    channel: {
      name: slackChannelName,
      offBecause: null,
      ...slackSender({ ...deps, api, workspaces: tokens }),
    },
    routesDeps,
    routes: (inbox) => slackRoutes(routesDeps(inbox)),
  };
}
