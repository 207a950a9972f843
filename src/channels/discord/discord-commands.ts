// The commands that the bot offers on Discord, as Discord takes them, and their registration. `npm run admin -- discord-commands`
// registers them; the route knows them by these names.
import type { DiscordApi } from './discord-api.ts';

export const askName = 'ask';
export const privacyName = 'privacy';
export const forgetName = 'forget-me';
export const draftName = 'Work out this post';

/** Servers, direct messages with the bot, other direct messages; added to a server or to one's own account. */
const everywhere = { contexts: [0, 1, 2], integration_types: [0, 1] };
/** Who may hide others' messages may answer them; a server can change that. Source: discord-permissions (MANAGE_MESSAGES) */
const helpers = '8192';

export const discordCommands = [
  {
    ...everywhere,
    type: 1,
    name: askName,
    description: 'Ask about a car: codes, fuel trims, gas figures, sensor voltages, symptoms',
    options: [
      { type: 3, name: 'text', description: 'What the car does, in your own words', required: true, max_length: 6000 },
      { type: 11, name: 'log', description: 'A log of readings as a text file, 5 MiB at most', required: false },
      { type: 5, name: 'private', description: 'Only you see the answer', required: false },
    ],
  },
  { ...everywhere, type: 1, name: privacyName, description: 'What is kept of what you write' },
  { ...everywhere, type: 1, name: forgetName, description: 'Erase what you wrote to the bot' },
  { contexts: [0], integration_types: [0], type: 3, name: draftName, default_member_permissions: helpers },
] as const;

/**
 * Puts the commands in the place of whatever was registered; doing it again changes nothing.
 *
 * @param server registers for one server alone, where it takes effect at once; null for everywhere
 * @returns how many Discord keeps now, or why it keeps none
 */
export async function registerCommands(
  api: DiscordApi,
  { applicationId, botToken }: { readonly applicationId: string; readonly botToken: string },
  server: string | null,
): Promise<{ readonly registered: number } | { readonly because: string }> {
  const place = server === null ? '' : `/guilds/${server}`;
  const path = `/applications/${applicationId}${place}/commands`;
  const commands =
    server === null ? discordCommands : discordCommands.map(({ contexts: _, integration_types: __, ...rest }) => rest);
  const result = await api({ method: 'PUT', path, body: commands, botToken });
  if (result.kind === 'ok') return { registered: Array.isArray(result.body.list) ? result.body.list.length : 0 };
  return {
    because:
      result.kind === 'rejected'
        ? `Discord refuses (status ${result.status}, code ${result.code}): check DISCORD_APPLICATION_ID and DISCORD_BOT_TOKEN`
        : 'Discord cannot be reached just now: try again',
  };
}
