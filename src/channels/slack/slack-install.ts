// Installation by a workspace (OAuth): the way to Slack and back, ending with its token stored sealed. Part of the Slack routes.
import { type Context, Hono } from 'hono';
import { deleteCookie, getCookie, setCookie } from 'hono/cookie';
import { z } from 'zod';
import { newToken } from '../../pages/tokens.ts';
import { Problem } from '../../vocabulary/problems.ts';
import type { SlackRoutesDeps } from './slack-deps.ts';
import { botScopes } from './slack-settings.ts';
import { basic } from './workspaces.ts';

/** How long a way to Slack and back may take [s]. Source: node-slack-sdk, oauth package (600 s) */
const stateLivesSeconds = 600;
const id = z.string().regex(/^[A-Z0-9]{1,30}$/);
const granted = z.object({
  access_token: z.string().min(1).max(1000),
  token_type: z.literal('bot'),
  bot_user_id: id.nullish(),
  team: z.object({ id }),
  refresh_token: z.string().max(1000).nullish(),
  expires_in: z.number().positive().nullish(),
});

export function installRoutes(
  deps: SlackRoutesDeps,
  { clientId, clientSecret }: { readonly clientId: string; readonly clientSecret: string },
): Hono {
  const routes = new Hono();
  const { settings, clock, log } = deps;
  const secure = settings.address?.startsWith('https://') ?? false;
  // The prefix ties the cookie to this very host, which browsers allow over https alone.
  const cookie = secure ? '__Host-slack-install' : 'slack-install';
  const back = settings.address === null ? null : `${settings.address}/slack/oauth`;

  routes.get('/install', (context) => {
    // Unguessable, bound to this browser by the cookie, and of this time.
    const state = `${newToken()}.${Math.floor(clock() / 1000)}`;
    setCookie(context, cookie, state, {
      httpOnly: true,
      secure,
      sameSite: 'Lax',
      path: '/',
      maxAge: stateLivesSeconds,
    });
    const way = new URL(
      settings.apiUrl === 'https://slack.com/api'
        ? 'https://slack.com/oauth/v2/authorize'
        : `${new URL(settings.apiUrl).origin}/oauth/v2/authorize`,
    );
    way.searchParams.set('client_id', clientId);
    way.searchParams.set('scope', botScopes.join(','));
    way.searchParams.set('state', state);
    if (back !== null) way.searchParams.set('redirect_uri', back);
    return context.redirect(way.href, 302);
  });

  routes.get('/oauth', async (context) => {
    const { code, state, error } = context.req.query();
    const kept = getCookie(context, cookie);
    deleteCookie(context, cookie, { path: '/', secure });
    if (!isOurState(state, kept, clock()))
      throw new Problem('forbidden', 'This way back does not belong to an installation begun here: begin it again.');
    if (error !== undefined) return page(context, 'Nothing was installed: it was declined at Slack.', 200);
    if (code === undefined || !/^[\w.-]{1,500}$/.test(code))
      throw new Problem('invalid', 'Slack sent no code: begin the installation again.');
    const result = await deps.api.callForm('oauth.v2.access', basic(clientId, clientSecret), {
      code,
      ...(back === null ? {} : { redirect_uri: back }),
    });
    const read = result.kind === 'ok' ? granted.safeParse(result.body) : null;
    if (!read?.success) {
      log.warn('slack installation failed', { outcome: result.kind === 'rejected' ? result.error : result.kind });
      throw new Problem('unavailable', 'Slack did not confirm the installation: begin it again.');
    }
    const { team, access_token: botToken, bot_user_id: botUser, refresh_token: refresh, expires_in: lives } = read.data;
    await deps.workspaces.install(team.id, {
      botToken,
      botUser: botUser ?? null,
      refreshToken: refresh ?? null,
      endsAt: lives ? clock() + lives * 1000 : null,
    });
    log.info('slack workspace installed', { workspace: team.id });
    return page(context, 'Installed. Name the bot in a message of your workspace to ask it.', 200);
  });

  return routes;
}

/** Equal to the cookie, and not older than ten minutes. */
function isOurState(given: string | undefined, kept: string | undefined, now: number): boolean {
  if (given === undefined || kept === undefined || given.length !== kept.length) return false;
  let differs = 0;
  for (let at = 0; at < given.length; at += 1) differs |= given.charCodeAt(at) ^ kept.charCodeAt(at);
  const since = /^[\w-]{20,100}\.(\d{1,12})$/.exec(given)?.[1];
  if (differs !== 0 || since === undefined) return false;
  const age = now / 1000 - Number(since);
  return age >= -1 && age <= stateLivesSeconds;
}

function page(context: Context, says: string, status: 200) {
  context.header('Cache-Control', 'no-store');
  return context.text(says, status);
}
