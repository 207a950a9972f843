// What the Slack channel is set up with. The front doors make it from the environment.

export interface SlackSettings {
  /** The present signing secret, and the former one while it is being changed; empty where only Socket Mode is used. */
  readonly signingSecrets: readonly string[];
  /** Token of the one workspace; null when workspaces install the app themselves. */
  readonly botToken: string | null;
  /** For installation by several workspaces; null without. */
  readonly install: { readonly clientId: string; readonly clientSecret: string } | null;
  /** App-level token for Socket Mode; null without. */
  readonly appToken: string | null;
  /** Address of the Web API, without a slash at the end. */
  readonly apiUrl: string;
  /** Where people reach us: for links, over https for pictures, and for the way back from an installation; null when unset. */
  readonly address: string | null;
}

export const slackChannelName = 'slack';

/** What the bot asks of a workspace. demo/slack-app-manifest.yaml lists the same. */
export const botScopes = [
  'app_mentions:read',
  'channels:history',
  'chat:write',
  'commands',
  'files:read',
  'files:write',
  'groups:history',
  'im:history',
] as const;
