// Tokens of the workspaces: the one of the settings, or those that workspaces gave at installation, stored sealed and renewed
// before they end. The sender and the routes ask it for a token; installation and removal go through it.
import { z } from 'zod';
import type { Log } from '../../serving/log.ts';
import type { Store } from '../../store/store.ts';
import type { SlackApi } from './slack-api.ts';
import { type SlackSettings, slackChannelName } from './slack-settings.ts';

const kind = 'workspace';
/** A token with less time than this left is renewed [ms]. Source: node-slack-sdk, oauth package (2 h) */
const renewBeforeMs = 2 * 60 * 60_000;
/** How long one copy of the program may take to renew a token before another tries [ms]. */
const renewalLeaseMs = 20_000;
const waitStepMs = 100;

const workspace = z.object({
  botToken: z.string(),
  botUser: z.string().nullable(),
  /** Null when tokens do not end. */
  refreshToken: z.string().nullable(),
  /** When the token ends [ms since 1970]; null for never. */
  endsAt: z.number().nullable(),
  /** Someone is renewing it until then; 0 for nobody. */
  renewingUntil: z.number(),
});
type Workspace = z.infer<typeof workspace>;

interface WorkspaceToken {
  readonly botToken: string;
  readonly botUser: string | null;
}
type TokenAnswer =
  | { readonly kind: 'token'; readonly token: WorkspaceToken }
  | { readonly kind: 'none'; readonly because: string }
  | { readonly kind: 'later'; readonly because: string };

export interface Workspaces {
  /** The token to use now; `later` while it cannot be renewed just now, `none` when the workspace is gone or never came. */
  tokenOf(team: string): Promise<TokenAnswer>;
  /** Keeps what an installation or a renewal gave. */
  install(team: string, given: Omit<Workspace, 'renewingUntil'>): Promise<void>;
  /** Forgets everything of a workspace: it removed the app, or Slack says that its token is dead. Twice does no harm. */
  remove(team: string): Promise<void>;
}

export interface WorkspacesDeps {
  readonly store: Pick<Store, 'readRecord' | 'writeRecord' | 'deleteRecordsOf'>;
  readonly api: SlackApi;
  readonly settings: SlackSettings;
  readonly clock: () => number;
  readonly sleep: (ms: number) => Promise<void>;
  readonly log: Log;
}

export function workspaces(deps: WorkspacesDeps): Workspaces {
  const { store, settings, clock, sleep, log } = deps;
  /** Workspaces whose token of the settings was refused: nothing more is sent there until the program starts anew. */
  const stopped = new Set<string>();
  /** Renewals under way in this copy of the program, by workspace. */
  const renewals = new Map<string, Promise<TokenAnswer>>();

  async function read(team: string): Promise<{ held: Workspace; version: number } | null> {
    const found = await store.readRecord(slackChannelName, kind, team, clock());
    return found && { held: workspace.parse(JSON.parse(found.body)), version: found.version };
  }

  const write = (team: string, held: Workspace, expected: number | null) =>
    store.writeRecord(
      {
        channel: slackChannelName,
        kind,
        key: team,
        workspace: team,
        conversation: null,
        body: JSON.stringify(held),
        expiresAt: null,
      },
      expected,
      clock(),
    );

  const asToken = (held: Workspace): TokenAnswer => ({
    kind: 'token',
    token: { botToken: held.botToken, botUser: held.botUser },
  });

  /** One renewal at a time over all copies of the program: a refresh token works once, and each answer brings the next. */
  async function renew(team: string): Promise<TokenAnswer> {
    const started = clock();
    while (clock() - started < renewalLeaseMs) {
      const found = await read(team);
      if (!found) return { kind: 'none', because: 'the workspace removed the app' };
      const { held, version } = found;
      const refreshToken = isFresh(held, clock()) ? null : held.refreshToken;
      if (refreshToken === null || settings.install === null) return asToken(held);
      if (held.renewingUntil <= clock()) {
        const ours = await write(team, { ...held, renewingUntil: clock() + renewalLeaseMs }, version);
        if (ours) return renewHeld(team, { ...held, refreshToken }, version + 1);
      }
      await sleep(waitStepMs);
    }
    return { kind: 'later', because: 'the token is being renewed' };
  }

  async function renewHeld(team: string, held: Workspace & { refreshToken: string }, version: number) {
    const { clientId, clientSecret } = settings.install!;
    const ask = () =>
      deps.api.callForm('oauth.v2.access', basic(clientId, clientSecret), {
        grant_type: 'refresh_token',
        refresh_token: held.refreshToken,
      });
    let result = await ask();
    // A second try at once: everybody in the workspace waits for this one.
    if (result.kind === 'unknown' || result.kind === 'unreached') result = await ask();
    if (result.kind === 'ok') {
      const given = renewal.safeParse(result.body);
      if (given.success) {
        const next: Workspace = {
          ...held,
          botToken: given.data.access_token,
          refreshToken: given.data.refresh_token,
          endsAt: clock() + given.data.expires_in * 1000,
          renewingUntil: 0,
        };
        await write(team, next, version);
        log.info('slack token renewed', { workspace: team });
        return asToken(next);
      }
    }
    log.warn('slack token not renewed', { workspace: team, outcome: result.kind });
    await write(team, { ...held, renewingUntil: 0 }, version);
    if (result.kind === 'rejected' && /^(?:invalid_refresh_token|token_revoked|invalid_auth)$/.test(result.error)) {
      await store.deleteRecordsOf(slackChannelName, team);
      return { kind: 'none' as const, because: 'Slack refuses to renew the token: install the app again' };
    }
    // The old token works until its end.
    return (held.endsAt ?? 0) > clock()
      ? asToken(held)
      : { kind: 'later' as const, because: 'the token could not be renewed' };
  }

  return {
    async tokenOf(team) {
      const found = settings.install === null ? null : await read(team);
      if (found && isFresh(found.held, clock())) return asToken(found.held);
      if (found) {
        const running = renewals.get(team) ?? renew(team).finally(() => renewals.delete(team));
        renewals.set(team, running);
        return running;
      }
      if (settings.botToken === null || stopped.has(team))
        return { kind: 'none', because: 'there is no valid token of this workspace' };
      return { kind: 'token', token: { botToken: settings.botToken, botUser: null } };
    },
    async install(team, given) {
      stopped.delete(team);
      await write(team, { ...given, renewingUntil: 0 }, null);
    },
    async remove(team) {
      stopped.add(team);
      const removed = await store.deleteRecordsOf(slackChannelName, team);
      log.info('slack workspace removed', { workspace: team, records: removed });
    },
  };
}

const renewal = z.object({
  access_token: z.string().min(1).max(1000),
  refresh_token: z.string().min(1).max(1000),
  expires_in: z.number().positive(),
});

function isFresh(held: Workspace, now: number): boolean {
  return held.endsAt === null || held.refreshToken === null || held.endsAt - now > renewBeforeMs;
}

/** HTTP Basic, as oauth.v2.access takes the app's own proof. */
export function basic(clientId: string, clientSecret: string): string {
  return `Basic ${btoa(`${clientId}:${clientSecret}`)}`;
}
