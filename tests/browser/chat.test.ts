// The web chat in a real browser: with and without its script, reload, quick answers, what people say later, lost connections,
// hostile words. No page may log an error, open a dialog or ask any other address for anything.
import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { combinedTexts, hostileTexts } from '../hostile-texts.ts';
import { openBrowser, openPage, type WatchedPage } from './a-browser.ts';
import { aProgram, type ProgramForTests } from './a-program.ts';

let browser: Browser;
let program: ProgramForTests;
let opened: WatchedPage[];

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser?.close());
beforeEach(async () => {
  program = await aProgram();
  opened = [];
});
afterEach(async () => {
  for (const { page, wrong } of opened) {
    expect(wrong).toEqual([]);
    await page.context().close();
  }
  await program.stop();
});

async function visit(options: Parameters<typeof openPage>[2] = {}) {
  const watched = await openPage(browser, program.address, options);
  opened.push(watched);
  await watched.page.goto(program.address);
  return watched.page;
}

async function lastAnswer(conversation: string) {
  const answers = await program.store.listConversationAnswers('web', conversation);
  return answers.at(-1)!;
}

describe('with its script', () => {
  it('sends without leaving the page, empties the form and keeps the focus there', async () => {
    const page = await visit();
    let loads = 0;
    page.on('framenavigated', () => {
      loads += 1;
    });
    await page.fill('#text', 'rough idle, P0171');
    await page.click('#write button');
    await page.waitForSelector('.entry.reply');
    expect(await page.locator('.entry').count()).toBe(2);
    expect(await page.inputValue('#text')).toBe('');
    expect(await page.evaluate('document.activeElement.id')).toBe('text');
    expect(await page.locator('#opening').isVisible()).toBe(false);
    expect(loads).toBe(0);
  });

  it('shows progress and takes no second press while it sends', async () => {
    const page = await visit();
    await page.route('**/chat/posts', async (route) => {
      await new Promise((resolve) => setTimeout(resolve, 300));
      await route.continue();
    });
    await page.fill('#text', 'slow one');
    await page.click('#write button');
    expect(await page.textContent('#status')).toContain('Reading your post');
    expect(await page.isDisabled('#write button')).toBe(true);
    expect(await page.getAttribute('#log', 'aria-busy')).toBe('true');
    expect(await page.textContent('.entry.post .words')).toBe('slow one');
    await page.waitForSelector('.entry.reply');
    expect(await page.textContent('#status')).toBe('');
    expect(await page.locator('.entry').count()).toBe(2);
  });

  it('is used by keyboard alone', async () => {
    const page = await visit();
    await page.keyboard.press('Tab');
    expect(await page.evaluate('document.activeElement.className')).toBe('skip');
    for (let press = 0; press < 10 && (await page.evaluate('document.activeElement.id')) !== 'text'; press += 1)
      await page.keyboard.press('Tab');
    await page.keyboard.type('typed by hand');
    await page.keyboard.press('Control+Enter');
    await page.waitForSelector('.entry.reply');
    await page.keyboard.press('Shift+Tab');
    await page.keyboard.press('Enter');
    await page.locator('.entry.reply').nth(1).waitFor();
  });

  it('answers the question by one press, and asks the next', async () => {
    const page = await visit();
    await page.fill('#text', 'one');
    await page.click('#write button');
    await page.click('#quick button:has-text("Yes")');
    await page.locator('.entry.reply').nth(1).waitFor();
    expect(await page.locator('.entry.post').nth(1).textContent()).toContain('Yes');
    expect(await page.locator('#quick form').count()).toBe(1);
  });

  it('brings the conversation back on reload and continues it', async () => {
    const page = await visit();
    await page.fill('#text', 'one');
    await page.click('#write button');
    await page.waitForSelector('.entry.reply');
    await page.reload();
    expect(await page.locator('.entry').count()).toBe(2);
    await page.fill('#text', 'two');
    await page.click('#write button');
    await page.waitForSelector('.entry.reply:has-text("Answer to post 2")');
  });

  it('shows a correction without a reload and marks the answer it is about', async () => {
    const page = await visit();
    await page.fill('#text', 'UNSURE');
    await page.click('#write button');
    await page.waitForSelector('.entry.reply');
    const { channel, conversation } = (await program.store.listPosts('answered', 5))[0]!;
    const answer = await lastAnswer(conversation);
    const words = 'It is the **purge valve**.';
    await program.store.reviewAnswer({
      answerId: answer.answerId,
      version: 0,
      state: 'corrected',
      by: 'Ada',
      reason: '',
      message: {
        channel,
        conversation,
        postId: answer.postId,
        kind: 'correction',
        text: words,
        markdown: words,
        marker: 'm',
      },
      now: Date.now(),
    });
    // The page looks when it is shown again; otherwise every few seconds.
    await page.evaluate('document.dispatchEvent(new Event("visibilitychange"))');
    await page.waitForSelector('.entry.correction strong:has-text("purge valve")');
    expect(await page.locator('.entry.reply .standing').textContent()).toContain('was corrected');
  });

  it('keeps the words when the connection is lost, and the second sending counts once', async () => {
    const page = await visit();
    let lost = 0;
    await page.route('**/chat/posts', async (route) => {
      // The post arrives, the answer does not.
      if (lost === 0) await route.fetch();
      lost += 1;
      return lost === 1 ? route.abort() : route.continue();
    });
    await page.fill('#text', 'through a tunnel');
    await page.click('#write button');
    await page.waitForSelector('#status:has-text("No connection")');
    expect(await page.inputValue('#text')).toBe('through a tunnel');
    await page.click('#write button');
    await page.waitForSelector('.entry.reply');
    await page.reload();
    expect(await page.locator('.entry.post').count()).toBe(1);
  });

  it('forgets the conversation here and in another window when it is erased', async () => {
    const page = await visit();
    await page.fill('#text', 'rough idle');
    await page.click('#write button');
    await page.waitForSelector('.entry.reply');
    const other = await page.context().newPage();
    await other.goto(program.address);
    expect(await other.locator('.entry').count()).toBe(2);
    await page.click('#erase summary');
    await page.click('#erase form[action="/chat/erase"] button');
    await page.waitForSelector('#opening');
    await other.evaluate('document.dispatchEvent(new Event("visibilitychange"))');
    await other.waitForSelector('#opening');
    expect(await program.store.counts()).toMatchObject({ answers: 0 });
  });

  it('sends a log with progress, and refuses what is none or too large before or after sending', async () => {
    const page = await visit();
    const file = (name: string, content: Buffer) =>
      page.setInputFiles('#file', { name, mimeType: 'text/csv', buffer: content });
    await page.fill('#text', 'Here is my log.');
    await file('huge.csv', Buffer.alloc(5 * 1024 * 1024 + 1, 'x'));
    await page.click('#write button');
    await page.waitForSelector('#status.failed:has-text("over 5 MiB")');
    await file('picture.png', Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 0, 0]));
    await page.click('#write button');
    await page.waitForSelector('#status.failed:has-text("is not a text file")');
    expect(await page.inputValue('#text')).toBe('Here is my log.');
    const said: string[] = [];
    await page.exposeFunction('keepStatus', (words: string) => said.push(words));
    await page.evaluate(
      'new MutationObserver(() => keepStatus(document.getElementById("status").textContent)).observe(document.getElementById("status"), { childList: true, characterData: true, subtree: true })',
    );
    const rows = Array.from({ length: 60_000 }, (_, row) => `${row};22;${(row % 2) * 0.8}`).join('\n');
    await file('idle.csv', Buffer.from(`time;LTFT;O2B1S1\n${rows}\n`));
    await page.click('#write button');
    await page.waitForSelector('.entry.post:has-text("With a log.")');
    await page.waitForSelector('.entry.reply');
    expect(said).toContain('Reading the log...');
    expect(await page.locator('#progress').isVisible()).toBe(false);
    expect(await page.inputValue('#file')).toBe('');
  });

  it('takes a log without its script too', async () => {
    const page = await visit({ javaScriptEnabled: false });
    await page.fill('#text', 'my log');
    await page.setInputFiles('#file', {
      name: 'idle.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from('time;LTFT\n0;22\n'),
    });
    await page.click('#write button');
    await page.waitForSelector('.entry.post:has-text("With a log.")');
  });

  it('writes times in the reader’s own zone', async () => {
    const page = await visit({ timezoneId: 'Asia/Kolkata', locale: 'en-GB' });
    await page.fill('#text', 'one');
    await page.click('#write button');
    await page.waitForSelector('.entry.reply');
    const time = page.locator('.entry time').first();
    const [stamp, shown] = [(await time.getAttribute('datetime'))!, (await time.textContent())!];
    // From: IANA time zones: Asia/Kolkata is UTC+05:30 the whole year.
    const local = new Date(Date.parse(stamp) + 5.5 * 3_600_000);
    expect(shown).toContain(
      `${String(local.getUTCHours()).padStart(2, '0')}:${String(local.getUTCMinutes()).padStart(2, '0')}`,
    );
  });
});

describe('without a script', () => {
  it('sends, answers by a press, begins anew and erases', async () => {
    const page = await visit({ javaScriptEnabled: false });
    await page.fill('#text', 'plain form');
    await page.click('#write button');
    expect(await page.locator('.entry').count()).toBe(2);
    await page.click('#quick button:has-text("No")');
    expect(await page.locator('.entry').count()).toBe(4);
    await page.click('header button');
    expect(await page.locator('.entry').count()).toBe(0);
    await page.fill('#text', 'another');
    await page.click('#write button');
    await page.click('#erase summary');
    await page.click('#erase form[action="/chat/erase"] button');
    expect(await page.locator('.entry').count()).toBe(0);
  });
});

describe('hostile words', () => {
  const all = [...hostileTexts, ...combinedTexts].filter((text) => text.trim() !== '');

  it('stay words: 300 of them, none live, no request out', async () => {
    expect(all.length).toBeGreaterThan(300);
    const page = await visit();
    // Two roads: sent by the page's own script, and loaded with the page.
    for (const text of all.slice(0, 20)) {
      await page.fill('#text', text);
      const before = await page.locator('.entry.reply').count();
      await page.click('#write button');
      await page.locator('.entry.reply').nth(before).waitFor();
    }
    const tags = new Set('ARTICLE HEADER H2 TIME DIV P STRONG UL OL LI BR DETAILS SUMMARY IMG'.split(' '));
    // A conversation for every sixty: nobody may write more at once.
    for (let at = 0; at < all.length; at += 60) {
      const other = await visit();
      await other.fill('#text', `batch from ${at}`);
      await other.click('#write button');
      await other.waitForSelector('.entry.reply');
      const posts = await program.store.listPosts('answered', 1000);
      const { conversation } = posts.find(({ text }) => text === `batch from ${at}`)!;
      for (const [index, text] of all.slice(at, at + 60).entries())
        await program.submit({
          eventId: `h${at + index}`,
          channel: 'web',
          conversation,
          author: conversation,
          text,
          callerId: null,
        });
      await other.reload();
      expect(await other.locator('.entry.post').count()).toBe(1 + Math.min(60, all.length - at));
      const strange: string[] = await other.evaluate(
        '[...new Set([...document.querySelectorAll("#log *")].map((element) => element.tagName))]',
      );
      expect(strange.filter((tag) => !tags.has(tag))).toEqual([]);
      // The only images are our own pictures, below a reply.
      expect(await other.locator('#log img:not(.reply .pictures > .picture[src^="/pictures/"])').count()).toBe(0);
      expect(await other.evaluate('window.hacked')).toBeUndefined();
      expect(await other.evaluate('document.documentElement.scrollWidth <= window.innerWidth')).toBe(true);
    }
  }, 120_000);
});
