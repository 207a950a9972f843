// Our numbers, shapes and paths of Discord against an independent description of its API, the npm package discord-api-types.
import {
  ApplicationCommandOptionType,
  ApplicationCommandType,
  ApplicationIntegrationType,
  ButtonStyle,
  ChannelType,
  ComponentType,
  InteractionContextType,
  InteractionResponseType,
  InteractionType,
  MessageFlags,
  PermissionFlagsBits,
  RESTJSONErrorCodes,
  Routes,
  TextInputStyle,
} from 'discord-api-types/v10';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { discordCommands } from '../../../src/channels/discord/discord-commands.ts';
import { windowOf } from '../../../src/channels/discord/discord-drafts.ts';
import { placeOf } from '../../../src/channels/discord/discord-place.ts';
import { ephemeralFlag } from '../../../src/channels/discord/read-interaction.ts';
import { renderDiscord, suppressEmbeds } from '../../../src/channels/discord/render-discord.ts';
import { applicationId } from '../../fake-platform/discord-platform.ts';
import { aDiscord, ask, channel, command, type DiscordUnderTest, menu, newId, server } from './a-discord.ts';

let tested: DiscordUnderTest;
beforeEach(async () => {
  tested = await aDiscord();
});
afterEach(() => tested.stop());

describe('Discord as discord-api-types describes it', () => {
  it('has our flags, buttons and windows', () => {
    expect([ephemeralFlag, suppressEmbeds]).toEqual([MessageFlags.Ephemeral, MessageFlags.SuppressEmbeds]);
    const buttons = [
      { label: 'a', id: 'a' },
      { label: 'b', id: 'b', style: 'main' as const },
    ];
    expect(renderDiscord('x', { buttons, picture: null })[0]!.components).toMatchObject([
      {
        type: ComponentType.ActionRow,
        components: [
          { type: ComponentType.Button, style: ButtonStyle.Secondary },
          { type: ComponentType.Button, style: ButtonStyle.Primary },
        ],
      },
    ]);
    expect(windowOf('id', 'title', 'label', '', 100)).toMatchObject({
      type: InteractionResponseType.Modal,
      data: {
        components: [
          {
            type: ComponentType.ActionRow,
            components: [{ type: ComponentType.TextInput, style: TextInputStyle.Paragraph }],
          },
        ],
      },
    });
  });

  it('has our commands', () => {
    expect(discordCommands.map(({ type }) => type)).toEqual([
      ApplicationCommandType.ChatInput,
      ApplicationCommandType.ChatInput,
      ApplicationCommandType.ChatInput,
      ApplicationCommandType.Message,
    ]);
    expect(discordCommands[0].options.map(({ type }) => type)).toEqual([
      ApplicationCommandOptionType.String,
      ApplicationCommandOptionType.Attachment,
      ApplicationCommandOptionType.Boolean,
    ]);
    expect(discordCommands[0].contexts).toEqual([
      InteractionContextType.Guild,
      InteractionContextType.BotDM,
      InteractionContextType.PrivateChannel,
    ]);
    expect(discordCommands[0].integration_types).toEqual([
      ApplicationIntegrationType.GuildInstall,
      ApplicationIntegrationType.UserInstall,
    ]);
    expect(discordCommands[3].default_member_permissions).toBe(String(PermissionFlagsBits.ManageMessages));
  });

  it('has our kinds of channels', () => {
    for (const type of [ChannelType.PublicThread, ChannelType.PrivateThread, ChannelType.AnnouncementThread])
      expect(placeOf(server, { id: channel, type }, '1').root).toBe('thread');
    expect(placeOf(null, { id: channel, type: ChannelType.DM }, '1')).toMatchObject({ server: '@me', root: 'direct' });
    expect(placeOf(server, { id: channel, type: ChannelType.GuildText }, '1').root).toBe('1');
  });

  it('has our answers to interactions, and our paths', async () => {
    expect((await tested.interact({ type: InteractionType.Ping, id: newId(), token: 't' })).body).toEqual({
      type: InteractionResponseType.Pong,
    });
    const asked = ask('P0171');
    expect(asked).toMatchObject({ type: InteractionType.ApplicationCommand });
    expect((await tested.interact(asked)).body).toEqual({
      type: InteractionResponseType.DeferredChannelMessageWithSource,
    });
    expect((await tested.interact(command('privacy'))).body).toMatchObject({
      type: InteractionResponseType.ChannelMessageWithSource,
      data: { flags: MessageFlags.Ephemeral },
    });
    await tested.settle();
    expect(tested.platform.calls.map(({ path }) => path)).toEqual([
      Routes.webhookMessage(applicationId, String(asked.token)),
    ]);
    const late = ask('P0172');
    await tested.interact(late);
    tested.platform.overTokens.add(String(late.token));
    await tested.settle();
    expect(tested.platform.calls.at(-1)!.path).toBe(Routes.channelMessages(channel));
    expect(Routes.applicationCommands(applicationId)).toBe(`/applications/${applicationId}/commands`);
  });

  it.each([
    RESTJSONErrorCodes.UnknownInteraction,
    RESTJSONErrorCodes.UnknownWebhook,
    RESTJSONErrorCodes.InvalidWebhookToken,
  ])('says by error %i that a place is gone, and the reply goes to the channel', async (code) => {
    tested.platform.trouble('@original', { status: 404, body: { code } });
    await tested.interact(ask('P0171'));
    await tested.settle();
    expect(tested.platform.messages).toMatchObject([{ channel, byInteraction: null }]);
  });

  it.each([
    RESTJSONErrorCodes.UnknownChannel,
    RESTJSONErrorCodes.MissingAccess,
    RESTJSONErrorCodes.MissingPermissions,
    RESTJSONErrorCodes.InvalidFormBodyOrContentType,
  ])('says by error %i that nothing helps, and the reply is given up', async (code) => {
    tested.platform.trouble('@original', { status: 400, body: { code } });
    await tested.interact(ask('P0171'));
    await tested.settle();
    expect(await tested.store.listMessages('undeliverable', 9)).toMatchObject([
      { because: expect.stringContaining(String(code)) },
    ]);
  });

  it('hands over the message of a menu entry without further rights', async () => {
    const message = { id: newId(), content: 'P0171', author: { id: '444444444444444444', username: 'owner' } };
    expect(menu(message)).toMatchObject({ data: { type: ApplicationCommandType.Message } });
    expect((await tested.interact(menu(message))).body).toEqual({
      type: InteractionResponseType.DeferredChannelMessageWithSource,
      data: { flags: MessageFlags.Ephemeral },
    });
  });
});
