// The cookie that gives a browser its conversation back. It holds an unguessable token; the store knows the conversation by the
// token's hash alone, so that nobody who reads the database or the bay can step into someone's chat.
import type { Context } from 'hono';
import { deleteCookie, getCookie, setCookie } from 'hono/cookie';
import { hashToken, isToken, newToken } from '../../pages/tokens.ts';

/** How long a browser keeps its conversation after the last post [s]: 180 days (judgement: a repair may take a season). */
const livesSeconds = 180 * 24 * 60 * 60;

/** With https the name says that only this host, under https, may set it. */
const nameOf = (secure: boolean) => (secure ? '__Host-conversation' : 'conversation');

/** The store's name of the browser's conversation; null when it has none. */
export async function readConversationCookie(context: Context, secure: boolean): Promise<string | null> {
  const token = getCookie(context, nameOf(secure));
  return isToken(token) ? hashToken(token) : null;
}

/** The conversation of this browser, begun now when it has none; the cookie's time starts again. */
export async function keepConversationCookie(context: Context, secure: boolean): Promise<string> {
  const known = getCookie(context, nameOf(secure));
  const token = isToken(known) ? known : newToken();
  setCookie(context, nameOf(secure), token, {
    path: '/',
    httpOnly: true,
    sameSite: 'Lax',
    secure,
    maxAge: livesSeconds,
  });
  return hashToken(token);
}

export function dropConversationCookie(context: Context, secure: boolean): void {
  deleteCookie(context, nameOf(secure), { path: '/', secure });
}
