// Every page can be read and used by everybody: contrast in light and dark, names for screen readers, structure, sizes, reflow,
// a visible focus. Checked on the page as it stands in the browser.
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { examplePost } from '../example-answer.ts';
import { openBrowser, openPage } from './a-browser.ts';
import { aProgram, type ProgramForTests } from './a-program.ts';
import { contrastCheck, reflowCheck, sizeCheck, structureCheck } from './page-checks.ts';

let browser: Browser;
let program: ProgramForTests;

beforeAll(async () => {
  browser = await openBrowser();
  program = await aProgram();
  for (const [index, text] of [examplePost, 'STOP it smells of fuel', 'UNSURE', 'W'.repeat(500)].entries())
    await program.submit({
      eventId: `a${index}`,
      channel: 'demo',
      conversation: `a${index}`,
      author: 'x',
      text,
      callerId: null,
    });
});
afterAll(async () => {
  await browser?.close();
  await program?.stop();
});

const chatPage = async (page: Page) => {
  await page.goto(program.address);
  await page.fill('#text', `${examplePost} ${'w'.repeat(300)}`);
  await page.click('#write button');
  await page.waitForSelector('.entry.reply');
  await page.click('#erase summary');
};
const bayPage = (path: string) => async (page: Page) => {
  await page.goto(await program.signInLink('Imogen', 'moderator'));
  await page.click('main button');
  await page.goto(`${program.address}${path}`);
};
const pages: ReadonlyArray<readonly [string, (page: Page) => Promise<unknown>]> = [
  ['the empty chat', (page) => page.goto(program.address)],
  ['the chat in conversation', chatPage],
  ['signing in', async (page) => page.goto(await program.signInLink('Imogen', 'helper'))],
  ['the page for strangers', (page) => page.goto(`${program.address}/bay/queue`)],
  ['the waiting posts', bayPage('/bay/queue')],
  ['the log', bayPage('/bay/answers')],
  ['one answer', bayPage('/bay/answers/1')],
  ['changing what was read', bayPage('/bay/answers/1/findings')],
  ['how often it is right', bayPage('/bay/calibration')],
  ['reruns', bayPage('/bay/reruns')],
  ['the records', bayPage('/bay/records')],
  [
    'one answer that is taken',
    async (page) => {
      await bayPage('/bay/answers/2')(page);
      if (await page.locator('button:has-text("Take it")').count()) await page.click('button:has-text("Take it")');
    },
  ],
];
const looks = [
  { colorScheme: 'light', width: 1200 },
  { colorScheme: 'dark', width: 320 },
] as const;

/** Roles that a person acts on or finds the way by: each needs a name. From: WCAG 2.2, 4.1.2; a form without one is no landmark (HTML-AAM). */
const acting = new Set([
  'button',
  'link',
  'textbox',
  'combobox',
  'radio',
  'checkbox',
  'listbox',
  'searchbox',
  'region',
  'log',
  'navigation',
]);

async function nameless(page: Page): Promise<string[]> {
  const session = await page.context().newCDPSession(page);
  const { nodes } = await session.send('Accessibility.getFullAXTree');
  return nodes
    .filter(
      (node) => !node.ignored && acting.has(String(node.role?.value)) && String(node.name?.value ?? '').trim() === '',
    )
    .map((node) => `no name: ${String(node.role?.value)}`);
}

describe.each(pages)('%s', (_, show) => {
  it.each(looks)('has no fault in $colorScheme at $width pixels', async ({ colorScheme, width }) => {
    const { page, wrong } = await openPage(browser, program.address, { colorScheme, viewport: { width, height: 800 } });
    await show(page);
    const faults: string[] = [];
    for (const check of [contrastCheck, structureCheck, sizeCheck, reflowCheck])
      faults.push(...((await page.evaluate(check)) as string[]));
    expect([...faults, ...(await nameless(page)), ...wrong]).toEqual([]);
    await page.context().close();
  });

  it('shows where the focus is, all the way through', async () => {
    const { page } = await openPage(browser, program.address);
    await show(page);
    // From the top, wherever the way to the page has left the focus.
    await page.reload();
    const stops = new Set<string>();
    for (let press = 0; press < 40; press += 1) {
      await page.keyboard.press('Tab');
      const [where, outline]: [string, string] = await page.evaluate(
        '[document.activeElement.outerHTML.slice(0, 200), getComputedStyle(document.activeElement).outlineStyle]',
      );
      if (where.startsWith('<body')) break;
      stops.add(where);
      expect([where, outline]).toEqual([where, 'solid']);
    }
    expect(stops.size).toBeGreaterThan(1);
    await page.context().close();
  });
});

describe('the checks themselves', () => {
  it('find what is planted', async () => {
    const { page } = await openPage(browser, program.address, { viewport: { width: 320, height: 800 } });
    // #777777 on white is 4.48, #767676 is 4.54. From: WCAG 2.2 technique G18's well-known border pair.
    await page.setContent(
      '<body style="background:#ffffff"><h1>a</h1><h3>b</h3><p id="x" style="color:#777777">pale</p><p id="x" style="color:#767676">enough</p>' +
        '<label>c</label><button style="width:20px;height:20px;padding:0"></button><div style="width:900px">wide</div></body>',
    );
    const found: string[] = [];
    for (const check of [contrastCheck, structureCheck, sizeCheck, reflowCheck])
      found.push(...((await page.evaluate(check)) as string[]));
    expect(found.filter((line) => line.includes('pale'))).toHaveLength(1);
    expect(found.filter((line) => line.includes('enough'))).toEqual([]);
    for (const part of [
      'no language',
      'not one main part',
      'heading level left out',
      'id twice: x',
      'label without control',
      '20x20 BUTTON',
      'sticks out',
    ])
      expect(found.join('\n')).toContain(part);
    expect(await nameless(page)).toEqual(['no name: button']);
    await page.context().close();
  });
});
