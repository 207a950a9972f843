// Signing in through the issuer: to it and back, with what must be the same on both ways in a short-lived cookie. Who is let in
// stands in the store (`admin allow`). bay.tsx mounts it beside the one-time links.
import type { Hono } from 'hono';
import { deleteCookie, getCookie, setCookie } from 'hono/cookie';
import { z } from 'zod';
import { showHidden } from '../pages/readable-text.ts';
import { Problem } from '../vocabulary/problems.ts';
import type { BayDeps, IssuerChecks } from './bay-deps.ts';
import { bayPage, sayPage } from './bay-frame.tsx';
import { beginSession } from './session.ts';

/** How long somebody may take at the issuer [s]. */
const patienceSeconds = 10 * 60;
const checks = z.object({
  state: z.string().max(200),
  nonce: z.string().max(200),
  verifier: z.string().max(200),
});

export function issuerActs(routes: Hono, deps: BayDeps): void {
  const { store, clock, issuer, secureCookies } = deps;
  if (issuer === null) return;
  const cookie = secureCookies ? '__Secure-bay-issuer' : 'bay-issuer';
  const place = { path: '/bay/sign-in', secure: secureCookies };
  const callbackOf = (requested: string) => {
    const base = deps.address() ?? new URL(requested).origin;
    return `${base}/bay/sign-in/back`;
  };

  routes.get('/sign-in/issuer', async (context) => {
    const { address, kept } = await issuer.begin(callbackOf(context.req.url));
    // Lax: the way back begins at another site.
    setCookie(context, cookie, btoa(JSON.stringify(kept)), {
      ...place,
      httpOnly: true,
      sameSite: 'Lax',
      maxAge: patienceSeconds,
    });
    return context.redirect(address, 303);
  });

  routes.get('/sign-in/back', async (context) => {
    const kept = readChecks(getCookie(context, cookie));
    deleteCookie(context, cookie, place);
    if (kept === null)
      throw new Problem('unauthorised', 'The sign-in was begun elsewhere or too long ago: begin again.');
    const came = callbackOf(context.req.url) + new URL(context.req.url).search;
    const refused = (details: Readonly<Record<string, string>>) =>
      store.recordAct(
        { who: '(unknown)', act: 'sign-in-refused', about: 'session', details: { from: 'issuer', ...details } },
        clock(),
      );
    let found: Awaited<ReturnType<typeof issuer.finish>>;
    try {
      found = await issuer.finish(came, kept);
    } catch (error) {
      await refused({ because: 'not confirmed' });
      throw error;
    }
    const grant = await store.readGrant(found.subject);
    if (grant === null) {
      await refused({ because: 'nobody allowed it' });
      return context.html(
        sayPage('Not let in yet', [
          'The sign-in service knows you, but nobody has let you into this bay.',
          `The person who runs the program can do so with: npm run admin -- allow "${showHidden(found.subject)}" NAME --role helper (or moderator).`,
        ]),
        403,
      );
    }
    await beginSession(context, grant, 'issuer', deps);
    // A page of our own in between: a cookie for this site alone is not sent on a way that began at another one.
    return context.html(
      bayPage({
        title: 'Signed in',
        person: null,
        place: null,
        refreshTo: { seconds: 0, path: '/bay' },
        main: (
          <section>
            <p>
              <a href="/bay">On to the bay</a>
            </p>
          </section>
        ),
      }),
    );
  });
}

function readChecks(sealed: string | undefined): IssuerChecks | null {
  if (sealed === undefined || sealed.length > 2000) return null;
  try {
    return checks.parse(JSON.parse(atob(sealed)));
  } catch {
    return null;
  }
}
