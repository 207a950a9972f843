// The importable app manifest: within Slack's shape and limits, and at one with what the program expects.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { z } from 'zod';
import { botScopes } from '../../../src/channels/slack/slack-settings.ts';

const text = readFileSync(new URL('../../../demo/slack-app-manifest.yaml', import.meta.url), 'utf8');

// From: node-slack-sdk, packages/types and request/manifest.ts: fields and limits of a manifest.
const manifest = z.strictObject({
  _metadata: z.strictObject({ major_version: z.union([z.literal(1), z.literal(2)]), minor_version: z.number() }),
  display_information: z.strictObject({
    name: z.string().max(35),
    description: z.string().max(140),
    background_color: z.string().regex(/^#[0-9a-f]{6}$/),
  }),
  features: z.strictObject({
    app_home: z.strictObject({
      home_tab_enabled: z.boolean(),
      messages_tab_enabled: z.boolean(),
      messages_tab_read_only_enabled: z.boolean(),
    }),
    bot_user: z.strictObject({ display_name: z.string().regex(/^[a-z0-9-_.]{1,80}$/), always_online: z.boolean() }),
    shortcuts: z
      .array(
        z.strictObject({
          name: z.string().max(24),
          type: z.enum(['message', 'global']),
          callback_id: z.string().max(255),
          description: z.string().max(150),
        }),
      )
      .max(10),
    slash_commands: z
      .array(
        z.strictObject({
          command: z.string().regex(/^\/[a-z0-9-]{1,31}$/),
          url: z.url(),
          description: z.string().max(2000),
          usage_hint: z.string().max(1000),
          should_escape: z.boolean(),
        }),
      )
      .max(50),
  }),
  oauth_config: z.strictObject({
    redirect_urls: z.array(z.url()),
    scopes: z.strictObject({ bot: z.array(z.string()).max(255) }),
  }),
  settings: z.strictObject({
    event_subscriptions: z.strictObject({ request_url: z.url(), bot_events: z.array(z.string()).max(100) }),
    interactivity: z.strictObject({ is_enabled: z.boolean(), request_url: z.url() }),
    org_deploy_enabled: z.boolean(),
    socket_mode_enabled: z.boolean(),
    token_rotation_enabled: z.boolean(),
  }),
});

describe("Slack's app manifest", () => {
  const read = manifest.parse(parse(text));

  it('asks for what the program asks for at installation, no more and no less', () => {
    expect(read.oauth_config.scopes.bot).toEqual([...botScopes].sort());
  });

  it('names the events, the menu entry and the addresses that the program serves', () => {
    expect(read.settings.event_subscriptions.bot_events).toEqual(
      expect.arrayContaining(['app_mention', 'message.im', 'message.channels', 'app_uninstalled', 'tokens_revoked']),
    );
    const app = readFileSync(new URL('../../../src/channels/slack/slack-app.ts', import.meta.url), 'utf8');
    expect(app).toContain(`draftShortcut = '${read.features.shortcuts[0]!.callback_id}'`);
    const paths = [
      read.settings.event_subscriptions.request_url,
      read.settings.interactivity.request_url,
      read.features.slash_commands[0]!.url,
    ].map((address) => new URL(address).pathname);
    expect(new Set(paths)).toEqual(new Set(['/slack/events']));
    expect(new URL(read.oauth_config.redirect_urls[0]!).pathname).toBe('/slack/oauth');
  });
});
