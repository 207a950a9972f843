// Who is at the bay: sign-in by a one-time link, the session cookie, and the token that every form must carry. bay.tsx calls it.
import type { Context } from 'hono';
import { deleteCookie, getCookie, setCookie } from 'hono/cookie';
import { formTokenOf, hashToken, isSameToken, isToken, newToken } from '../pages/tokens.ts';
import type { Session } from '../store/store.ts';
import { Problem } from '../vocabulary/problems.ts';
import type { BayDeps } from './bay-deps.ts';

/** A session ends after this, whatever happens [s]: one long shift (judgement). */
const sessionSeconds = 12 * 60 * 60;
/** A session that was not used for so long ends too [ms]: two hours, a long lunch (judgement; ASVS 5.0.0, 7.3.1 asks for a limit). */
export const idleMs = 2 * 60 * 60 * 1000;

/** A person at the bay, with the token of this session's forms. */
export interface Person extends Session {
  readonly formToken: string;
}

/** Cookies for a path below `/` cannot be `__Host-`; with https `__Secure-` is the next best. */
const cookieName = (secure: boolean) => (secure ? '__Secure-bay-session' : 'bay-session');

/** Spends a one-time link and begins a session. @returns null when the link is unknown, spent or over its time */
export async function signIn(
  context: Context,
  token: string,
  { store, clock, secureCookies }: BayDeps,
): Promise<Session | null> {
  if (!isToken(token)) return null;
  const session = await store.spendSignInLink(await hashToken(token), clock());
  if (session === null) {
    await store.recordAct(
      { who: '(unknown)', act: 'sign-in-refused', about: 'session', details: { from: 'link' } },
      clock(),
    );
    return null;
  }
  await beginSession(context, session, 'link', { store, clock, secureCookies });
  return session;
}

/** A fresh session, whatever cookie came along, so that nobody can plant one beforehand. */
export async function beginSession(
  context: Context,
  session: Session,
  from: 'link' | 'issuer',
  { store, clock, secureCookies }: Pick<BayDeps, 'store' | 'clock' | 'secureCookies'>,
): Promise<void> {
  const own = newToken();
  const expiresAt = clock() + sessionSeconds * 1000;
  await store.addSession({ ...session, tokenHash: await hashToken(own), expiresAt }, clock(), from);
  setCookie(context, cookieName(secureCookies), own, {
    path: '/bay',
    httpOnly: true,
    sameSite: 'Strict',
    secure: secureCookies,
    maxAge: sessionSeconds,
  });
}

/** The person whose session the request carries; null when there is none or it has ended. */
export async function readPerson(context: Context, { store, clock, secureCookies }: BayDeps): Promise<Person | null> {
  const token = getCookie(context, cookieName(secureCookies));
  if (!isToken(token)) return null;
  const session = await store.readSession(await hashToken(token), clock(), idleMs);
  return session === null ? null : { ...session, formToken: await formTokenOf(token) };
}

export async function signOut(context: Context, { store, clock, secureCookies }: BayDeps): Promise<void> {
  const token = getCookie(context, cookieName(secureCookies));
  if (isToken(token)) await store.endSession(await hashToken(token), clock());
  deleteCookie(context, cookieName(secureCookies), { path: '/bay', secure: secureCookies });
}

/** Text fields of a form. @throws Problem `invalid` when the body is no form */
export async function readFields(context: Context): Promise<(name: string) => string> {
  let fields: Record<string, unknown>;
  try {
    fields = await context.req.parseBody();
  } catch {
    throw new Problem('invalid', 'The form cannot be read.');
  }
  return (name) => (typeof fields[name] === 'string' ? fields[name].replaceAll('\r\n', '\n') : '');
}

/** The same of a form of this session. @throws Problem `forbidden` when it does not carry the session's token */
export async function readOwnFields(context: Context, person: Person): Promise<(name: string) => string> {
  const field = await readFields(context);
  if (!isSameToken(field('form'), person.formToken))
    throw new Problem('forbidden', 'This form is not of your session: load the page again and repeat what you did.');
  return field;
}
