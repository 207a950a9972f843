// Every act of the bay in a real browser on the started program with its own answers and knowledge: changing what was read,
// outcomes, reruns, search, handing out and erasing, the owner's question, the keyboard. No page may log an error or ask
// elsewhere for anything.
import { readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { answerPost } from '../../src/answer.ts';
import { assembleKnowledge } from '../../src/knowledge/knowledge.ts';
import { loadKnowledgeEntries } from '../../src/knowledge/load-folder.ts';
import { askAfterMs } from '../../src/review/ask-outcomes.ts';
import type { Role } from '../../src/store/store.ts';
import { openBrowser, openPage, type WatchedPage } from './a-browser.ts';
import { aProgram, type ProgramForTests } from './a-program.ts';

const { entries, version } = loadKnowledgeEntries();
const knowledge = assembleKnowledge(entries, version);
const trial = assembleKnowledge(
  {
    ...entries,
    faults: entries.faults.map((fault) =>
      fault.id === 'vacuum-leak' ? { ...fault, prior: { ...fault.prior, per1000: 1 } } : fault,
    ),
  },
  'trialtrial12',
);
const lean = 'P0171 on a 1.6 four cylinder. LTFT +22 at idle, +4 at 2500 rpm. Rough idle, no black smoke.';

let browser: Browser;
let program: ProgramForTests;
let opened: WatchedPage[];
let later: { ms: number };

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser?.close());
beforeEach(async () => {
  later = { ms: 0 };
  program = await aProgram({ answer: answerPost, knowledge, trial, later });
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
async function owner(text: string): Promise<Page> {
  const page = await open();
  await page.fill('#text', text);
  await page.click('#write button');
  await page.waitForSelector('.entry.reply', { timeout: 20_000 });
  return page;
}
const renew = (page: Page) => page.evaluate('document.dispatchEvent(new Event("visibilitychange"))');

describe('what was read', () => {
  it('is changed with the ranking beside it, and the owner reads the correction', async () => {
    const chat = await owner(lean);
    const page = await signedIn('moderator', 'Ada');
    await page.click('a.post');
    await page.click('a:has-text("Change what was read")');
    await page.click('summary:has-text("long-term fuel trim 22")');
    await page.fill('details[open] input[name^=value]', '-22');
    await page.click('button:has-text("Show what that changes")');
    const rows = await page.locator('table tbody tr').allInnerTexts();
    expect(rows.length).toBeGreaterThan(3);
    expect(rows.some((row) => / \d+ to \d+|\d+ to \d+$/.test(row))).toBe(true);
    expect(await page.inputValue('details[open] input[name^=value]')).toBe('-22');
    expect(await chat.locator('.entry').count()).toBe(2);
    await page.fill('#correction', 'The trim was minus 22: the engine runs rich.');
    await page.fill('#reason', 'a minus was lost');
    await page.click('button:has-text("Save and send")');
    await page.waitForURL(/#review$/);
    expect(await page.textContent('.note')).toContain('Ada changed 1 finding(s)');
    await renew(chat);
    await chat.waitForSelector('.entry.correction:has-text("runs rich")');
    await page.click('a:has-text("As it was sent")');
    expect(await page.textContent('.cause h3')).toContain('vacuum leak');
  }, 60_000);

  it('is not overwritten by the second of two moderators', async () => {
    await owner(lean);
    const [ada, bela] = [await signedIn('moderator', 'Ada'), await signedIn('moderator', 'Bela')];
    for (const [page, value] of [
      [ada, '10'],
      [bela, '12'],
    ] as const) {
      await page.click('a.post');
      await page.click('a:has-text("Change what was read")');
      await page.click('summary:has-text("long-term fuel trim 22")');
      await page.fill('details[open] input[name^=value]', value);
      await page.click('button:has-text("Show what that changes")');
    }
    await bela.fill('#correction', 'My careful words');
    await ada.click('button:has-text("Save and send")');
    await ada.waitForURL(/#review$/);
    await bela.click('button:has-text("Save and send")');
    expect(await bela.textContent('[role=alert]')).toMatch(/faster|wrote again/);
    expect(await bela.inputValue('#correction')).toBe('My careful words');
    expect(await program.store.listRevisions('web', (await program.store.readAnswer(1))!.conversation)).toHaveLength(1);
  }, 60_000);
});

describe('what it was in the end', () => {
  it('is recorded by a moderator, counted, and shown beside the next like it', async () => {
    await owner(lean);
    await owner(lean.replace('1.6', '1.8'));
    const page = await signedIn('moderator', 'Ada');
    await page.goto(`${program.address}/bay/answers/1`);
    await page.check('input[name=result][value=fixed]');
    await page.selectOption('#fault', 'vacuum-leak');
    await page.click('button:has-text("Record it")');
    expect(await page.textContent('#outcome + p')).toContain('a vacuum leak');
    await page.click('nav >> text=How often right');
    expect(await page.textContent('main')).toContain('1 case(s)');
    expect(await page.locator('svg.plot circle').count()).toBe(1);
    await page.goto(`${program.address}/bay/answers/2`);
    expect(await page.textContent('#settled + ul')).toContain('a vacuum leak');
  }, 60_000);

  it('is asked of the owner once, who answers behind the link in the chat', async () => {
    const chat = await owner(lean);
    later.ms = askAfterMs + 60_000;
    await program.sweep();
    await program.sweep();
    await renew(chat);
    await chat.click('a:has-text("say how it ended")');
    expect(chat.url()).toMatch(/\/outcome\?token=/);
    await chat.check('input[value=fixed]');
    await chat.selectOption('#fault', 'vacuum-leak');
    await chat.click('button:has-text("Tell it")');
    expect(await chat.textContent('main')).toContain('Thank you');
    const { conversation } = (await program.store.readAnswer(1))!;
    expect(await program.store.readOutcome('web', conversation)).toMatchObject({
      source: 'owner',
      fault: 'vacuum-leak',
    });
    await chat.goto(program.address);
    expect(await chat.locator('a:has-text("say how it ended")').count()).toBe(1);
  }, 60_000);
});

describe('a rerun', () => {
  it('goes over the reviewed cases with a bar, and shows one side by side', async () => {
    await owner(lean);
    const page = await signedIn('moderator', 'Ada');
    await page.click('a.post');
    await page.check('input[value=standing]');
    await page.click('#review ~ form button');
    await page.click('nav >> text=Reruns');
    await page.selectOption('#knowledge', 'trialtrial12');
    await page.click('button:has-text("Start")');
    expect(await page.getAttribute('progress', 'value')).toBe('0');
    await program.sweep();
    await page.waitForSelector('h2:has-text("1 of 1, done")', { timeout: 10_000 });
    await page.click('table a');
    expect(await page.textContent('#rankings ~ section table')).toContain('a vacuum leak');
    expect(await page.locator('.two .written').count()).toBe(2);
  }, 60_000);
});

describe('finding, records, people', () => {
  it('finds by terms and by words, goes through the list with the arrow keys, and shows who did what', async () => {
    await owner(lean);
    await owner('P0420 only, the car runs fine. The dog is called Bello.');
    const page = await signedIn('moderator', 'Ada');
    await page.fill('#words', 'p0171 rough');
    await page.press('#words', 'Enter');
    expect(await page.locator('a.post').count()).toBe(1);
    await page.fill('#words', 'called bello');
    await page.selectOption('#in', 'posts');
    await page.click('search button');
    expect(await page.locator('a.post').allInnerTexts()).toEqual([expect.stringContaining('P0420')]);
    await page.goto(`${program.address}/bay/answers`);
    await page.focus('a.post >> nth=0');
    await page.keyboard.press('ArrowDown');
    expect(await page.evaluate('document.activeElement.getAttribute("href")')).toBe('/bay/answers/1');
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('End');
    await page.keyboard.press('Enter');
    expect(await page.textContent('h1')).toBe('Answer 1');
    await page.click('nav >> text=Records');
    await page.click('text=Check the whole chain');
    expect(await page.textContent('[role=status]')).toContain('each following from the one before');
    expect(await page.textContent('table')).toContain('sign-in');
  }, 60_000);

  it('sends what is being written by Ctrl and Enter', async () => {
    await owner(lean);
    const page = await signedIn('moderator', 'Ada');
    await page.click('a.post');
    await page.click('button:has-text("Take it")');
    await page.fill('#reply', 'Leave it parked, please.');
    await page.press('#reply', 'Control+Enter');
    await page.waitForSelector('#helper + p:has-text("a person answered")');
  }, 60_000);

  it('hands out and erases everything of a writer, from the bay and from the chat', async () => {
    const chat = await owner(lean);
    const page = await signedIn('moderator', 'Ada');
    await page.click('a.post');
    await page.click('summary:has-text("Everything of this writer")');
    const [file] = await Promise.all([page.waitForEvent('download'), page.click('button:has-text("Hand it out")')]);
    const all = JSON.parse(readFileSync(await file.path(), 'utf8')) as { posts: Array<{ text: string }> };
    expect(all.posts.map(({ text }) => text)).toEqual([lean]);
    await chat.click('#erase summary');
    const [own] = await Promise.all([chat.waitForEvent('download'), chat.click('button:has-text("as a file")')]);
    expect(JSON.parse(readFileSync(await own.path(), 'utf8'))).toMatchObject({ posts: [{ text: lean }] });
    await page.check('form[action$=erase-writer] input[type=checkbox]');
    await page.click('button:has-text("Erase the writer")');
    expect(await page.textContent('main')).toContain('1 post(s)');
    await page.goto(`${program.address}/bay/answers`);
    expect(await page.locator('a.post').count()).toBe(0);
    const again = await owner(lean);
    await again.fill('#text', 'forget me');
    await Promise.all([again.waitForEvent('load'), again.click('#write button')]);
    expect(await again.locator('.entry').count()).toBe(0);
    expect((await program.store.counts()).answers).toBe(0);
  }, 60_000);
});
