// The bay in a real browser: a helper's and a moderator's whole way, two moderators at once, hostile words. No page may log an
// error, open a dialog or ask any other address for anything.
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Role } from '../../src/store/store.ts';
import { examplePost } from '../example-answer.ts';
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

async function open(path = '/'): Promise<Page> {
  const watched = await openPage(browser, program.address);
  opened.push(watched);
  await watched.page.goto(`${program.address}${path}`);
  return watched.page;
}

async function signedIn(role: Role, name: string): Promise<Page> {
  const page = await open();
  await page.goto(await program.signInLink(name, role));
  await page.click('main button');
  return page;
}

/** An owner's chat with one post. */
async function owner(text: string): Promise<Page> {
  const page = await open();
  await page.fill('#text', text);
  await page.click('#write button');
  await page.waitForSelector('.entry.reply');
  return page;
}

describe('a helper', () => {
  it('signs in, takes the most dangerous post, edits the draft, sends it, and the owner reads it', async () => {
    await owner('UNSURE what this is');
    const chat = await owner('STOP it smells of fuel');
    const page = await signedIn('helper', 'Imogen');
    expect(page.url()).toBe(`${program.address}/bay/queue`);
    expect(await page.locator('a.post').allInnerTexts()).toEqual(['STOP it smells of fuel', 'UNSURE what this is']);
    await page.click('a.post >> nth=0');
    await page.click('button:has-text("Take it")');
    await page.fill('#reply', 'Leave it parked; I will ring the workshop.');
    await page.click('button:has-text("Add it to the reply")');
    expect(await page.inputValue('#reply')).toMatch(
      /^Leave it parked; I will ring the workshop\.\n\nDo you hear a hiss/,
    );
    await page.click('button:has-text("Send this reply")');
    expect(await page.locator('#helper + p').textContent()).toContain('a person answered');
    await chat.evaluate('document.dispatchEvent(new Event("visibilitychange"))');
    await chat.waitForSelector('.entry.person:has-text("I will ring the workshop")');
    await page.click('button:has-text("Sign out")');
    await page.goto(`${program.address}/bay/queue`);
    expect(await page.textContent('h1')).toBe('Sign in first');
  });

  it('gives a post back', async () => {
    await owner('UNSURE');
    const page = await signedIn('helper', 'Imogen');
    await page.click('a.post');
    await page.click('button:has-text("Take it")');
    await page.click('button:has-text("Give it back")');
    expect(await page.textContent('h2#wanted')).toContain('(1)');
  });
});

describe('a moderator', () => {
  it('reads marked words and their evidence, corrects the answer, and the owner sees it', async () => {
    const chat = await owner(examplePost);
    const page = await signedIn('moderator', 'Ada');
    await page.click('a.post');
    expect(await page.locator('mark').allInnerTexts()).toContain('P0171');
    await page.click('a.read >> nth=1');
    expect(await page.evaluate('document.querySelector(":target").textContent')).toContain('P0171');
    await page.check('input[value=corrected]');
    await page.fill('#correction', 'It is the purge valve.');
    await page.fill('#reason', 'only after refuelling');
    await page.click('button:has-text("Save")');
    expect(await page.locator('#review + p').textContent()).toContain('corrected');
    await chat.evaluate('document.dispatchEvent(new Event("visibilitychange"))');
    await chat.waitForSelector('.entry.correction:has-text("purge valve")');
    expect(await chat.locator('.entry.reply .standing').isVisible()).toBe(true);
  });

  it('is told when another one was faster, and loses no word', async () => {
    await owner('calm');
    const [ada, bela] = [await signedIn('moderator', 'Ada'), await signedIn('moderator', 'Bela')];
    for (const page of [ada, bela]) await page.click('a.post');
    await ada.check('input[value=withdrawn]');
    await ada.fill('#reason', 'wrong car');
    await ada.click('button:has-text("Save")');
    await bela.check('input[value=corrected]');
    await bela.fill('#correction', 'My own careful words');
    await bela.click('button:has-text("Save")');
    expect(await bela.textContent('[role=alert]')).toContain('Ada was faster');
    expect(await bela.inputValue('#correction')).toBe('My own careful words');
    expect(await bela.isChecked('input[value=corrected]')).toBe(true);
  });

  it('filters the log by keyboard', async () => {
    for (const text of ['calm', 'UNSURE']) await owner(text);
    const page = await signedIn('moderator', 'Ada');
    expect(await page.locator('a.post').count()).toBe(2);
    await page.focus('#helper');
    await page.keyboard.type('waits');
    for (const _ of ['order', 'words', 'the button']) await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await page.waitForURL(/helper=wanted/);
    expect(await page.locator('a.post').allInnerTexts()).toEqual(['UNSURE']);
  });
});

describe('hostile words', () => {
  it('stay words in the lists, on the answer’s page and in the draft: none live, no request out', async () => {
    // Over 300 of them in the lists, and a third of those on pages of their own.
    const all = [...hostileTexts, ...combinedTexts].filter((_, index) => index < 99 || index % 2 === 0);
    expect(all.length).toBeGreaterThan(300);
    for (const [index, text] of all.entries())
      await program.submit({
        eventId: `h${index}`,
        channel: 'demo',
        conversation: `c${index}`,
        author: `x${index}`,
        text: `UNSURE ${text}`,
        callerId: null,
      });
    const page = await signedIn('moderator', '<img src=x onerror=window.hacked=1>');
    const calm = await program.submit({
      eventId: 'calm',
      channel: 'demo',
      conversation: 'calm',
      author: 'x',
      text: 'UNSURE',
      callerId: null,
    });
    const answer = async (postId: number) =>
      `${program.address}/bay/answers/${(await program.store.readAnswerOfPost(postId))!.answerId}`;
    const count = async (): Promise<number> => page.evaluate('document.querySelectorAll("*").length');
    await page.goto(await answer(calm));
    const expected = await count();
    for (let index = 0; index < all.length; index += 3) {
      await page.goto(await answer(index + 1));
      expect([all[index]!.slice(0, 60), await count()]).toEqual([all[index]!.slice(0, 60), expected]);
      expect(await page.evaluate('window.hacked')).toBeUndefined();
    }
    let listed = 0;
    for (const path of [
      '/bay/queue',
      '/bay/answers?order=danger',
      '/bay/answers?in=posts&words=unsure',
      '/bay/answers',
    ]) {
      await page.goto(`${program.address}${path}`);
      for (let more = true; more; ) {
        expect(await page.evaluate('window.hacked')).toBeUndefined();
        expect(await page.locator('main img, main script, main iframe, main style').count()).toBe(0);
        if (path === '/bay/answers') listed += await page.locator('a.post').count();
        more = (await page.locator('a[rel=next]').count()) > 0;
        if (more) await page.click('a[rel=next]');
      }
    }
    expect(listed).toBe(all.length + 1);
  }, 240_000);
});
