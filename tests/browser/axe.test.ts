// An outside accessibility check (axe-core, WCAG 2.2 A and AA) over every page of the bay and the owner's outcome page, as they
// stand in the browser: light and dark, wide and at phone width. None may have a serious or critical finding.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, BrowserContext } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hashToken } from '../../src/pages/tokens.ts';
import { likenessTerms, searchTerms } from '../../src/vocabulary/search-terms.ts';
import { examplePost } from '../example-answer.ts';
import { openBrowser } from './a-browser.ts';
import { aProgram, type ProgramForTests } from './a-program.ts';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const token = 'T'.repeat(43);

interface Violation {
  readonly id: string;
  readonly impact: string;
  readonly nodes: ReadonlyArray<{ readonly html: string }>;
}

let browser: Browser;
let program: ProgramForTests;
let signedIn: Awaited<ReturnType<BrowserContext['storageState']>>;

beforeAll(async () => {
  browser = await openBrowser();
  program = await aProgram();
  const { store } = program;
  for (const [index, text] of [examplePost, 'STOP it smells of fuel', 'UNSURE', examplePost].entries())
    await program.submit({
      eventId: `x${index}`,
      channel: index === 2 ? 'web' : 'demo',
      conversation: `x${index}`,
      author: 'x',
      text,
      callerId: null,
    });
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.goto(await program.signInLink('Imogen', 'moderator'));
  await page.click('main button');
  signedIn = await context.storageState();
  await context.close();
  const first = (await store.readAnswer(1))!;
  const now = Date.now();
  await store.recordOutcome({
    answerId: 1,
    source: 'moderator',
    who: 'Imogen',
    result: 'fixed',
    fault: 'vacuum-leak',
    note: 'a note',
    version: 0,
    terms: searchTerms(first.document),
    likeness: likenessTerms(first.document),
    now,
  });
  await store.moveHelperState(2, 'wanted', 'taken', 'Imogen', now);
  const run = await store.startRerun({ who: 'Imogen', communities: null, knowledge: 'abc', now });
  const result = { answerId: 1, fault: 'vacuum-leak', wasPlace: 1, nowPlace: 2, wasDriving: 'ok', nowDriving: 'stop' };
  const moved = { wasCause: 'vacuum-leak', wasProbability: 0.6, nowCause: 'wrong-fuel', nowProbability: 0.4 };
  await store.saveRerunPiece(run, [{ ...result, ...moved }], run.lastAnswer, 1, now);
  const [candidate] = await store.listOutcomeCandidates(0, now + 1000, ['web'], 1);
  const words = { text: 'x', markdown: 'x', marker: 'm', kind: 'helper-reply', postId: candidate!.postId } as const;
  const { channel, conversation } = candidate!;
  await store.askOutcome(candidate!, await hashToken(token), { ...words, channel, conversation }, now);
}, 60_000);
afterAll(async () => {
  await browser?.close();
  await program?.stop();
});

const pages = [
  '/bay/queue',
  '/bay/answers',
  '/bay/answers?words=p0171&look=due',
  '/bay/answers?words=x&in=posts',
  '/bay/answers/1',
  '/bay/answers/2',
  '/bay/answers/4',
  '/bay/answers/1/findings',
  '/bay/answers/1/rerun',
  '/bay/calibration',
  '/bay/reruns',
  '/bay/reruns/1',
  '/bay/records?check=yes',
  '/bay/answers/999',
  `/outcome?token=${token}`,
  '/outcome?token=x',
];

describe.each([
  ['light', 1200],
  ['dark', 400],
] as const)('in %s at %i pixels', (colorScheme, width) => {
  it.each(pages)(
    '%s has no serious finding',
    async (path) => {
      // The check comes in as a script of the test's, which the pages' own policy rightly refuses.
      const context = await browser.newContext({
        storageState: signedIn,
        colorScheme,
        viewport: { width, height: 900 },
        bypassCSP: true,
      });
      const page = await context.newPage();
      await page.goto(`${program.address}${path}`);
      await page.evaluate('for (const part of document.querySelectorAll("details")) part.open = true');
      await page.evaluate(axe);
      const violations: Violation[] = await page.evaluate(
        `axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] }).then((result) => result.violations)`,
      );
      const serious = violations.filter(({ impact }) => impact === 'serious' || impact === 'critical');
      expect(serious.map(({ id, nodes }) => [id, nodes.slice(0, 3).map(({ html }) => html.slice(0, 200))])).toEqual([]);
      await context.close();
    },
    30_000,
  );
});

describe('the check itself', () => {
  it('finds what is planted', async () => {
    const page = await browser.newPage();
    await page.setContent('<html><body><img src="x"><p style="color:#999;background:#fff">pale</p></body></html>');
    await page.evaluate(axe);
    const found: string[] = await page.evaluate(
      `axe.run(document, { runOnly: ['wcag2a', 'wcag2aa'] }).then((result) => result.violations.map((one) => one.id))`,
    );
    expect(found).toEqual(expect.arrayContaining(['color-contrast', 'document-title', 'html-has-lang', 'image-alt']));
    await page.close();
  });
});
