// The pages around signing in. A link is spent by pressing the button, never by opening the page: mail programs and chat
// platforms open links ahead of people.
import { isToken } from '../pages/tokens.ts';
import type { Issuer } from './bay-deps.ts';
import { bayPage, sayPage } from './bay-frame.tsx';

const howToGetALink =
  'A link works once, within an hour. The person who runs the program prints one with: npm run admin -- sign-in NAME --role helper (or moderator).';

/** @param token what the link carries; null when nobody followed a link */
export function signInPage(token: string | null, issuer: Issuer | null): string {
  if (token === null || !isToken(token))
    return choicePage(
      'Sign in',
      token === null ? [howToGetALink] : ['This is not a whole sign-in link.', howToGetALink],
      issuer,
    );
  return bayPage({
    title: 'Sign in',
    person: null,
    place: null,
    main: (
      <section>
        <form method="post" action="/bay/sign-in">
          <input type="hidden" name="token" value={token} />
          <p>The link works once; signing in uses it up. You stay signed in on this browser for 12 hours at most.</p>
          <button type="submit">Sign in</button>
        </form>
      </section>
    ),
  });
}

export const spentLinkPage = (): string =>
  sayPage('Sign in', ['This sign-in link was used already, or its time is over.', howToGetALink]);

export const strangerPage = (issuer: Issuer | null): string =>
  choicePage('Sign in first', ['The bay is for helpers and moderators.', howToGetALink], issuer);

function choicePage(title: string, says: readonly string[], issuer: Issuer | null): string {
  return bayPage({
    title,
    person: null,
    place: null,
    main: (
      <section>
        {issuer === null ? null : (
          <p>
            <a class="button" href="/bay/sign-in/issuer">
              Sign in with {issuer.name}
            </a>
          </p>
        )}
        {says.map((sentence) => (
          <p>{sentence}</p>
        ))}
      </section>
    ),
  });
}
