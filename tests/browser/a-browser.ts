// Chromium for browser tests, and pages that record what must not happen: errors, dialogs, requests to anywhere else.
import { existsSync } from 'node:fs';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';

// tests/set-up.mjs looks in the same places.
const executable =
  process.env.CHROMIUM_PATH ??
  ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find((place) => existsSync(place)) ??
  '/usr/bin/chromium';

export async function openBrowser(): Promise<Browser> {
  if (!existsSync(executable))
    throw new Error(
      `Browser tests need ${executable}: run "apt-get update && apt-get install -y --no-install-recommends chromium".`,
    );
  return chromium.launch({
    executablePath: executable,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

export interface WatchedPage {
  readonly page: Page;
  /** Script errors, console errors, dialogs and requests that left the program's address. */
  readonly wrong: string[];
}

/** A page in a context of its own: no cookies, no storage. */
export async function openPage(
  browser: Browser,
  address: string,
  options: BrowserContextOptions = {},
): Promise<WatchedPage> {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const wrong: string[] = [];
  page.on('pageerror', (error) => wrong.push(`error: ${error.message}`));
  page.on('dialog', (dialog) => {
    wrong.push(`dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  page.on('console', (message) => {
    // A refused form (4xx, 5xx) is reported by the browser itself; the tests look at what the page says about it.
    if (message.type() === 'error' && !message.text().startsWith('Failed to load resource'))
      wrong.push(`console: ${message.text()}`);
  });
  page.on('request', (request) => {
    if (!request.url().startsWith(`${address}/`)) wrong.push(`request: ${request.url().slice(0, 200)}`);
  });
  return { page, wrong };
}
