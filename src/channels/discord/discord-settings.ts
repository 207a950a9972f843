// What the Discord channel is set up with. The front doors make it from the environment.

export interface DiscordSettings {
  /** Public key of the application [64 hexadecimal digits]. */
  readonly publicKey: string;
  readonly applicationId: string;
  readonly botToken: string;
  /** Address of the API with its version, without a slash at the end. */
  readonly apiUrl: string;
  /** Where people reach us, for links; null when unset. */
  readonly address: string | null;
}

export const discordChannelName = 'discord';
export const discordApiUrl = 'https://discord.com/api/v10';
