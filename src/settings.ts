// The environment as checked settings. node.ts, worker.ts and admin.ts read it once at start; a wrong or missing setting is
// named in one clear line that never shows its value.
import { z } from 'zod';

const address = z.url({ protocol: /^https?$/ }).max(200);

/** 24 to 64 bytes. Source: Standard Webhooks 1.0.0. */
const webhookSecret = z.string().refine((given) => {
  const base64 = /^whsec_((?:[A-Za-z0-9+/]{4}){8,22}(?:[A-Za-z0-9+/]{2}==|[A-Za-z0-9+/]{3}=)?)$/.exec(given)?.[1];
  const bytes = base64 === undefined ? 0 : (base64.replaceAll('=', '').length * 3) / 4;
  return bytes >= 24 && bytes < 65;
});
const webhookSecretMust = 'be a Standard Webhooks secret (whsec_ and base64 of 24 to 64 bytes)';

/** Each setting: what it must look like, in words for the message, and as a check. */
const checks = {
  HOST: { must: 'be a host name or address to listen on', schema: z.string().regex(/^[a-zA-Z0-9.:_-]{1,253}$/) },
  PORT: {
    must: 'be a port number from 0 to 65535 (0 takes a free one)',
    schema: z
      .string()
      .regex(/^\d{1,5}$/)
      .transform(Number)
      .pipe(z.number().max(65_535)),
  },
  CROSSCOUNT_DATABASE: { must: 'be a file path', schema: z.string().min(1).max(4096) },
  CROSSCOUNT_KEY: {
    must: 'be 32 random bytes in base64 (openssl rand -base64 32)',
    schema: z.string().regex(/^[A-Za-z0-9+/]{43}=$/),
  },
  CROSSCOUNT_ADDRESS: {
    must: 'be the address under which people reach the program, http:// or https://',
    schema: address,
  },
  CROSSCOUNT_API_KEY: {
    must: 'be 24 to 200 letters, digits, - and _ that nobody can guess',
    schema: z.string().regex(/^[\w-]{24,200}$/),
  },
  CROSSCOUNT_PROXIES: {
    must: 'be the number of proxies in front of the program, 0 to 5',
    schema: z
      .string()
      .regex(/^[0-5]$/)
      .transform(Number),
  },
  CROSSCOUNT_NOW: {
    must: 'be a whole number of milliseconds',
    schema: z
      .string()
      .regex(/^-?\d{1,15}$/)
      .transform(Number),
  },
  CROSSCOUNT_TRIAL: {
    must: 'be the path of a knowledge folder to try stored cases under',
    schema: z.string().min(1).max(4096),
  },
  OIDC_ISSUER: { must: 'be the https:// address of an OpenID Connect issuer', schema: address },
  OIDC_CLIENT_ID: { must: 'be the client id that the issuer gave', schema: z.string().min(1).max(300) },
  OIDC_CLIENT_SECRET: { must: 'be the client secret that the issuer gave', schema: z.string().min(8).max(500) },
  SLACK_SIGNING_SECRET: { must: 'be the signing secret of the app', schema: z.string().min(16).max(200) },
  SLACK_SIGNING_SECRET_OLD: { must: 'be the former signing secret of the app', schema: z.string().min(16).max(200) },
  SLACK_CLIENT_ID: { must: 'be the client id of the app', schema: z.string().regex(/^[\w.]{3,100}$/) },
  SLACK_CLIENT_SECRET: { must: 'be the client secret of the app', schema: z.string().min(8).max(200) },
  SLACK_APP_TOKEN: {
    must: 'be an app-level token (it begins with xapp-)',
    schema: z.string().regex(/^xapp-[\w-]{5,300}$/),
  },
  SLACK_BOT_TOKEN: { must: 'be a bot token (it begins with xoxb-)', schema: z.string().regex(/^xoxb-[\w-]{5,300}$/) },
  SLACK_API_URL: { must: 'be an http:// or https:// address', schema: address },
  DISCORD_PUBLIC_KEY: {
    must: 'be 64 hexadecimal digits, not all of them zero',
    schema: z.string().regex(/^(?!0{64}$)[0-9a-fA-F]{64}$/),
  },
  DISCORD_APPLICATION_ID: { must: 'be a number of 15 to 25 digits', schema: z.string().regex(/^\d{15,25}$/) },
  DISCORD_BOT_TOKEN: { must: 'be the bot token of the application', schema: z.string().min(20).max(300) },
  DISCORD_API_URL: { must: 'be an http:// or https:// address', schema: address },
  FORUM_SECRET: { must: webhookSecretMust, schema: webhookSecret },
  FORUM_SECRET_OLD: { must: webhookSecretMust, schema: webhookSecret },
  FORUM_REPLY_URL: { must: 'be an http:// or https:// address', schema: address },
} as const;
type SettingName = keyof typeof checks;
type Values = { [Name in SettingName]?: z.infer<(typeof checks)[Name]['schema']> };

/** What a channel cannot do without: all of one of its sets, or nothing of any. The first is the usual one. */
const channelNeeds = {
  slack: [
    ['SLACK_SIGNING_SECRET', 'SLACK_BOT_TOKEN'],
    // Workspaces install the app themselves.
    ['SLACK_SIGNING_SECRET', 'SLACK_CLIENT_ID', 'SLACK_CLIENT_SECRET'],
    // Socket Mode: no public address.
    ['SLACK_APP_TOKEN', 'SLACK_BOT_TOKEN'],
  ],
  discord: [['DISCORD_PUBLIC_KEY', 'DISCORD_APPLICATION_ID', 'DISCORD_BOT_TOKEN']],
  forum: [['FORUM_SECRET', 'FORUM_REPLY_URL']],
} as const satisfies Record<string, readonly (readonly SettingName[])[]>;
type PlatformName = keyof typeof channelNeeds;

export interface Settings {
  readonly host: string;
  readonly port: number;
  readonly database: string;
  /** 32 bytes in base64; null when unset (a development key is used then, on one machine alone). */
  readonly key: string | null;
  /** Where people reach the program, without a slash at the end; null when unset. */
  readonly address: string | null;
  /** Cookies for https only. */
  readonly secureCookies: boolean;
  /** Whoever reaches the program may be anybody: it listens beyond this machine or has an address beyond it. */
  readonly isPublic: boolean;
  /** How many proxies in front of the program add to X-Forwarded-For. */
  readonly proxies: number;
  /** Added to the clock, for tests [ms]. */
  readonly clockOffsetMs: number;
  /** Channels without their settings, and what is missing. */
  readonly channelsOff: Readonly<Partial<Record<PlatformName, string>>>;
  readonly values: Values;
}

/**
 * Checks the environment.
 *
 * @returns the settings, or every mistake as one line each
 */
export function readSettings(
  environment: Readonly<Record<string, unknown>>,
): { readonly settings: Settings } | { readonly mistakes: readonly string[] } {
  const values: Record<string, unknown> = {};
  const mistakes: string[] = [];
  for (const name of Object.keys(checks) as SettingName[]) {
    const given = environment[name];
    if (given === undefined || given === '') continue;
    const parsed = checks[name].schema.safeParse(given);
    if (parsed.success) values[name] = parsed.data;
    else mistakes.push(`${name} is set but does not fit: it must ${checks[name].must}.`);
  }
  const isSet = (name: SettingName) => environment[name] !== undefined && environment[name] !== '';
  const channelsOff: Partial<Record<PlatformName, string>> = {};
  for (const channel of Object.keys(channelNeeds) as PlatformName[]) {
    const sets: readonly (readonly SettingName[])[] = channelNeeds[channel];
    const missingOf = (set: readonly SettingName[]) => set.filter((name) => !isSet(name));
    if (sets.some((set) => missingOf(set).length === 0)) continue;
    // The set that was begun furthest is the one that is meant.
    const begun = (set: readonly SettingName[]) => set.length - missingOf(set).length;
    const needs = sets.reduce((best, set) => (begun(set) > begun(best) ? set : best));
    const missing = missingOf(needs);
    channelsOff[channel] = `${missing.join(' and ')} ${missing.length === 1 ? 'is' : 'are'} not set`;
    if (missing.length < needs.length)
      mistakes.push(
        `${missing.join(' and ')} must be set too, or none of ${needs.join(', ')}: the channel ${channel} needs all.`,
      );
  }
  const oidc = (['OIDC_ISSUER', 'OIDC_CLIENT_ID', 'OIDC_CLIENT_SECRET'] as const).filter((name) => !isSet(name));
  if (oidc.length > 0 && oidc.length < 3)
    mistakes.push(
      `${oidc.join(' and ')} must be set too, or none of the three: signing in through an issuer needs all.`,
    );
  if (mistakes.length > 0) return { mistakes };
  const checked = values as Values;
  const reached = checked.CROSSCOUNT_ADDRESS?.replace(/\/{1,9}$/, '') ?? null;
  return {
    settings: {
      host: checked.HOST ?? '127.0.0.1',
      port: checked.PORT ?? 8787,
      database: checked.CROSSCOUNT_DATABASE ?? 'data/crosscount.sqlite',
      key: checked.CROSSCOUNT_KEY ?? null,
      address: reached,
      secureCookies: reached?.startsWith('https://') ?? false,
      isPublic:
        !isLoopback(checked.HOST ?? '127.0.0.1') || (reached !== null && !isLoopback(new URL(reached).hostname)),
      proxies: checked.CROSSCOUNT_PROXIES ?? 0,
      clockOffsetMs: checked.CROSSCOUNT_NOW ?? 0,
      channelsOff,
      values: checked,
    },
  };
}

function isLoopback(host: string): boolean {
  return host === 'localhost' || host === '::1' || host === '[::1]' || /^127(?:\.\d{1,3}){3}$/.test(host);
}
