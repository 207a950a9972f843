// The shell that every page shares: head, skip link, header with the way about, main part, footer. The chat and the bay fill it.
import type { Child } from 'hono/jsx';
import { addressOf } from './assets.ts';

export interface PageParts {
  /** Goes on to a path of ours by itself, or loads the page again when no path is named; null for never. */
  readonly refreshTo?: { readonly seconds: number; readonly path?: string } | null;
  readonly title: string;
  /** Links and buttons of the header, beside the program's name. */
  readonly header?: Child;
  readonly main: Child;
  readonly footer?: Child;
  /** `chat` and `bay` bring their scripts along and work without them; a `plain` page looks like the chat and has none. */
  readonly kind: 'chat' | 'bay' | 'plain';
}

/** A whole page as a string, `<!doctype html>` first. */
export function writePage(parts: PageParts): string {
  const body = <Page {...parts} />;
  return `<!doctype html>${String(body)}`;
}

function Page({ title, header, main, footer, kind, refreshTo = null }: PageParts) {
  return (
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        {/* Without it a browser sends a form with the origin `null`, which the check against foreign forms refuses. */}
        <meta name="referrer" content="same-origin" />
        <meta name="color-scheme" content="light dark" />
        <meta name="robots" content={kind === 'chat' ? 'index' : 'noindex'} />
        {refreshTo === null ? null : (
          <meta
            http-equiv="refresh"
            content={refreshTo.path ? `${refreshTo.seconds}; url=${refreshTo.path}` : String(refreshTo.seconds)}
          />
        )}
        <title>{title}</title>
        <link rel="icon" type="image/svg+xml" href={addressOf('mark.svg')} />
        <link rel="stylesheet" href={addressOf('pages.css')} />
        {kind === 'chat' ? <script src={addressOf('chat.js')} defer={true} /> : null}
        {kind === 'bay' ? <script src={addressOf('bay.js')} defer={true} /> : null}
      </head>
      <body class={kind === 'plain' ? 'chat' : kind}>
        <a class="skip" href="#main">
          Skip to the main part
        </a>
        <header class="top">
          <a class="name" href={kind === 'bay' ? '/bay' : '/'}>
            <Mark />
            <span>{kind === 'bay' ? 'crosscount service bay' : 'crosscount'}</span>
          </a>
          {header}
        </header>
        <main id="main" tabindex={-1}>
          {main}
        </main>
        {footer === undefined ? null : <footer class="foot">{footer}</footer>}
      </body>
    </html>
  );
}

/** The program's sign: a sensor's trace crossing its middle line. */
function Mark() {
  return (
    <svg viewBox="0 0 32 20" width="32" height="20" aria-hidden="true" focusable="false">
      <path d="M1 10h30" class="middle" />
      <path d="M2 16C5 16 5 4 9 4s4 12 8 12 4-12 8-12 4 6 5 8" class="trace" />
    </svg>
  );
}
