// The web chat without a browser: posts by form and by script, the conversation and its cookie, corrections, erasure, foreign
// forms, hostile words.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { chatTextLimit, webChat } from '../../../src/channels/web/web-chat.tsx';
import type { WebDeps } from '../../../src/channels/web/web-deps.ts';
import type { Store } from '../../../src/store/store.ts';
import { submitPost } from '../../../src/turn.ts';
import type { Post } from '../../../src/vocabulary/post.ts';
import { Problem } from '../../../src/vocabulary/problems.ts';
import { aStore } from '../../a-store.ts';
import { aVisitor, mounted, origin, type Visitor } from '../../a-visitor.ts';
import { smallKnowledge } from '../../an-answer.ts';
import { exampleAnswer } from '../../example-answer.ts';
import { combinedTexts, hostileTexts } from '../../hostile-texts.ts';

let store: Store;
let remove: () => Promise<void>;
let now: number;
let taken: Post[];
let visitor: Visitor;

const deps = (parts: Partial<WebDeps> = {}): WebDeps => ({
  store,
  knowledge: smallKnowledge,
  clock: () => now,
  submit: (post) => {
    taken.push(post);
    return submitPost(
      {
        store,
        knowledge: smallKnowledge,
        answer: exampleAnswer,
        clock: () => now,
        newId: () => crypto.randomUUID(),
        sleep: async () => {},
        log: { info: () => {}, warn: () => {}, error: () => {} },
      },
      post,
    );
  },
  secureCookies: false,
  ...parts,
});
const newVisitor = (parts: Partial<WebDeps> = {}) => aVisitor(mounted('/', webChat, deps(parts)));

interface News {
  entries: { key: string; html: string }[];
  standing: Record<string, string>;
  quick: string;
  question: string;
  waiting: boolean;
  cursor: string;
  event: string;
  gone?: boolean;
}
const script = { Accept: 'application/json' };
const news = async (answer: Promise<{ text: string }>) => JSON.parse((await answer).text) as News;
const conversationOf = (post: Post) => post.conversation;

beforeEach(async () => {
  ({ store, remove } = await aStore());
  now = 1_800_000_000_000;
  taken = [];
  visitor = newVisitor();
});
afterEach(() => remove());

describe('the chat page', () => {
  it('opens without a cookie, says what helps, and is not kept by caches', async () => {
    const page = await visitor.get('/');
    expect(page.status).toBe(200);
    expect(page.headers.get('cache-control')).toBe('no-store');
    expect(page.headers.get('set-cookie')).toBeNull();
    expect(page.text).toMatch(/^<!doctype html><html lang="en">/);
    expect(page.text).toContain('What helps most');
  });

  it('loads a stylesheet, a script and an icon from here that caches may keep for ever, and nothing else', async () => {
    const page = await visitor.get('/');
    const loaded = [...page.text.matchAll(/(?:href|src)="([^"#]+)"/g)].map((match) => match[1]!);
    const files = loaded.filter((path) => path !== '/');
    expect(files).toHaveLength(3);
    for (const path of files) {
      const file = await visitor.get(path);
      expect([path, file.status]).toEqual([path, 200]);
      expect(file.headers.get('cache-control')).toContain('immutable');
      expect(file.headers.get('content-type')).toContain('charset=utf-8');
      expect(file.text).not.toMatch(/https?:\/\/(?!www\.w3\.org\/2000\/svg)/);
    }
    expect(page.text).not.toMatch(/<style|\sstyle=|\son[a-z]+=|<script(?! src)/);
    expect((await visitor.get('/assets/pages-00000000.css')).status).toBe(404);
  });

  it('has a script that is a script', async () => {
    const path = /src="([^"]+\.js)"/.exec((await visitor.get('/')).text)![1]!;
    const { text } = await visitor.get(path);
    expect(() => new Function(text)).not.toThrow();
  });
});

describe('a post by form', () => {
  it('is answered and stands on the page after the redirect', async () => {
    const sent = await visitor.post('/chat/posts', { text: 'rough idle\r\nP0171', event: 'e1' });
    expect([sent.status, sent.headers.get('location')]).toEqual([303, '/#text']);
    const cookie = sent.headers.get('set-cookie')!;
    expect(cookie).toMatch(/^conversation=[A-Za-z0-9_-]{43}; Max-Age=\d+; Path=\/; HttpOnly; SameSite=Lax$/);
    const page = await visitor.get('/');
    expect(page.text).toContain('rough idle\nP0171');
    expect(page.text).toContain('<strong>Answer to post 1:</strong>');
    expect(page.text).not.toContain('What helps most');
  });

  it('keeps the conversation: the second post builds on the first', async () => {
    await visitor.post('/chat/posts', { text: 'one', event: 'e1' });
    now += 1000;
    await visitor.post('/chat/posts', { text: 'two', event: 'e2' });
    expect((await visitor.get('/')).text).toContain('Answer to post 2:');
    expect(new Set(taken.map(conversationOf)).size).toBe(1);
  });

  it('is one post however often the same form comes', async () => {
    for (let copy = 0; copy < 3; copy += 1) await visitor.post('/chat/posts', { text: 'one\r\ntwo', event: 'e1' });
    await visitor.post('/chat/posts', { text: 'one\ntwo', event: 'e1' }, script);
    expect(await store.counts()).toMatchObject({ answers: 1 });
  });

  it('takes a log along, with words or without, and says so on the page', async () => {
    const log = new File(['time;LTFT\n0;22\n'], 'idle.csv', { type: 'text/csv' });
    await visitor.post('/chat/posts', { text: 'my log', event: 'e1', log });
    await visitor.post('/chat/posts', { text: '', event: 'e2', log });
    expect(taken.map((post) => post.attachments)).toEqual(
      Array(2).fill([{ name: 'idle.csv', type: 'text/csv', text: 'time;LTFT\n0;22\n' }]),
    );
    expect((await visitor.get('/')).text.match(/With a log\./g)).toHaveLength(2);
  });

  it.each([
    ['no text', new File([new Uint8Array([0x89, 0x50, 0, 0])], 'picture.png'), 400, 'is not a text file'],
    ['over 5 MiB', new File(['x'.repeat(5 * 1024 * 1024 + 1)], 'huge.csv'), 413, 'is over 5 MiB'],
  ])('refuses a file that is %s and keeps the words in the form', async (_what, log, status, says) => {
    const page = await visitor.post('/chat/posts', { text: 'look at this', event: 'e1', log });
    expect(page.status).toBe(status);
    expect(page.text).toContain(says);
    expect(page.text).toContain('look at this');
    expect(taken).toEqual([]);
  });

  it('takes a log of exactly 5 MiB', async () => {
    const log = new File(['x'.repeat(5 * 1024 * 1024)], 'large.csv');
    expect((await visitor.post('/chat/posts', { text: 'large', event: 'e1', log })).status).toBe(303);
  });

  it('loses nothing when an old page sends other words under its old event', async () => {
    await visitor.post('/chat/posts', { text: 'one', event: 'e1' });
    await visitor.post('/chat/posts', { text: 'other words', event: 'e1' });
    expect(await store.counts()).toMatchObject({ answers: 2 });
  });

  it.each([
    ['empty', '', 400],
    ['blank', ' \n\t ', 400],
    ['over the limit', 'x'.repeat(chatTextLimit + 1), 413],
  ])('that is %s is refused with the words still in the form', async (_, text, status) => {
    const refused = await visitor.post('/chat/posts', { text, event: 'e1' });
    expect(refused.status).toBe(status);
    expect(refused.text).toContain('class="status failed"');
    expect(refused.text).toContain(`>\n${text.slice(0, 100)}`);
    expect(taken).toEqual([]);
  });

  it('of exactly the limit is taken', async () => {
    expect((await visitor.post('/chat/posts', { text: 'x'.repeat(chatTextLimit), event: 'e1' })).status).toBe(303);
  });

  it('that could not be stored says so and keeps the words', async () => {
    const unlucky = newVisitor({
      submit: async () => {
        throw new Problem('unavailable', 'the database cannot be used just now');
      },
    });
    const refused = await unlucky.post('/chat/posts', { text: 'my long story', event: 'e1' });
    expect(refused.status).toBe(503);
    expect(refused.text).toContain('the database cannot be used just now');
    expect(refused.text).toContain('\nmy long story</textarea>');
  });

  it('that is kept but not answered yet shows as waiting', async () => {
    const slow = newVisitor({
      submit: async (post) => {
        await store.acceptPost(post, now, 0);
        throw new Problem('unavailable', 'not answered yet');
      },
    });
    expect((await slow.post('/chat/posts', { text: 'hard one', event: 'e1' })).status).toBe(303);
    const page = await slow.get('/');
    expect(page.text).toContain('data-waiting="yes"');
    expect(page.text).toContain('hard one');
    expect(await news(slow.get('/chat/entries?after=0.0'))).toMatchObject({ waiting: true });
  });

  it.each([
    ['no field', {}],
    ['an unknown field', { x: 'y' }],
  ])('with %s is refused, not broken', async (_, fields) => {
    expect((await visitor.post('/chat/posts', fields)).status).toBe(400);
  });
});

describe('a post by script', () => {
  it('gets what is new: its own words, the reply, the quick answers, the next event', async () => {
    const first = await news(visitor.post('/chat/posts', { text: 'one', event: 'e1', after: '0.0' }, script));
    expect(first.entries.map((entry) => entry.key)).toEqual(['p1', 'm1']);
    expect(first.quick).toContain('value="Yes"');
    expect(first.waiting).toBe(false);
    now += 1000;
    const second = await news(
      visitor.post('/chat/posts', { text: 'Yes', event: first.event, after: first.cursor }, script),
    );
    expect(second.entries.map((entry) => entry.key)).toEqual(['p2', 'm2']);
    expect(second.question).not.toBe(first.question);
    expect((await news(visitor.get(`/chat/entries?after=${second.cursor}`))).entries).toEqual([]);
  });

  it.each(['', 'x', '-1.-1', '1', '1.1.1', '9999999999999999.0', "1' OR '1"])(
    'with the cursor %j of nobody gets everything',
    async (cursor) => {
      await visitor.post('/chat/posts', { text: 'one', event: 'e1' });
      const all = await news(visitor.get(`/chat/entries?after=${encodeURIComponent(cursor)}`));
      expect(all.entries).toHaveLength(2);
    },
  );

  it('offers no quick answer when the reply did not put the question', async () => {
    const other = newVisitor({
      submit: (post) =>
        submitPost(
          {
            store,
            knowledge: smallKnowledge,
            answer: (given, previous) => {
              const { answer, next } = exampleAnswer(given, previous);
              return { answer: { ...answer, reply: { text: 'no question here', markdown: 'none' } }, next };
            },
            clock: () => now,
            newId: () => crypto.randomUUID(),
            sleep: async () => {},
            log: { info: () => {}, warn: () => {}, error: () => {} },
          },
          post,
        ),
    });
    expect((await news(other.post('/chat/posts', { text: 'one', event: 'e1' }, script))).quick).toBe('');
  });
});

describe('what people say in a conversation', () => {
  const answerIdOf = async (post: number) => (await store.readAnswerOfPost(post))!.answerId;
  const message = (kind: 'helper-reply' | 'correction' | 'withdrawal', words: string) => ({
    channel: 'web',
    conversation: taken[0]!.conversation,
    postId: 1,
    kind,
    text: words,
    markdown: words,
    marker: crypto.randomUUID(),
  });

  beforeEach(async () => {
    await visitor.post('/chat/posts', { text: 'UNSURE', event: 'e1' });
    now += 1000;
  });

  it('reaches the chat as a helper’s', async () => {
    const id = await answerIdOf(1);
    await store.moveHelperState(id, 'wanted', 'taken', 'Imogen', now);
    await store.sendHelperReply(id, 'Imogen', message('helper-reply', 'Look at the **hoses**.'), now);
    const { entries, quick } = await news(visitor.get('/chat/entries?after=1.1'));
    expect(entries).toHaveLength(1);
    expect(entries[0]!.html).toContain('A helper');
    expect(entries[0]!.html).toContain('<strong>hoses</strong>');
    // The bot's own question is not pressed after a person has spoken.
    expect(quick).toBe('');
  });

  it.each([
    ['correction', 'corrected', 'Correction'],
    ['withdrawal', 'withdrawn', 'Withdrawn'],
  ] as const)('reaches the chat as a %s and marks the answer as %s', async (kind, standing, heading) => {
    const review = { version: 0, state: standing, by: 'Imogen', reason: 'r', now } as const;
    await store.reviewAnswer({ ...review, answerId: await answerIdOf(1), message: message(kind, 'New words.') });
    const got = await news(visitor.get('/chat/entries?after=1.1'));
    expect(got.entries[0]!.html).toContain(heading);
    expect(got.standing).toEqual({ m1: standing });
    const page = (await visitor.get('/')).text;
    expect(page).toMatch(new RegExp(`<article id="m1"[^>]*data-standing="${standing}"`));
    expect(page).toContain(`This answer was ${standing}`);
  });
});

describe('conversations', () => {
  it('of two browsers do not meet', async () => {
    const other = newVisitor();
    await visitor.post('/chat/posts', { text: 'mine alone', event: 'e1' });
    await other.post('/chat/posts', { text: 'theirs', event: 'e1' });
    expect((await other.get('/')).text).not.toContain('mine alone');
    expect((await news(other.get('/chat/entries?after=0.0'))).entries).toHaveLength(2);
    expect(await store.counts()).toMatchObject({ answers: 2 });
  });

  it('cannot be entered by what the store calls them', async () => {
    await visitor.post('/chat/posts', { text: 'mine alone', event: 'e1' });
    const { conversation } = taken[0]!;
    expect([...visitor.cookies.values()]).not.toContain(conversation);
    const thief = newVisitor();
    for (const guess of [conversation, conversation.slice(0, 43), '', 'x', '../../etc', `${'a'.repeat(43)}`]) {
      thief.cookies.set('conversation', guess);
      expect((await thief.get('/')).text).not.toContain('mine alone');
    }
  });

  it('begin anew on request; the old one stays as it was', async () => {
    await visitor.post('/chat/posts', { text: 'the first car', event: 'e1' });
    expect((await visitor.post('/chat/new', {})).status).toBe(303);
    expect((await visitor.get('/')).text).not.toContain('the first car');
    await visitor.post('/chat/posts', { text: 'another car', event: 'e1' });
    expect(new Set(taken.map(conversationOf)).size).toBe(2);
    expect(await store.counts()).toMatchObject({ answers: 2 });
  });

  it.each(['forget me', 'Forget me.', '/forget-me', ' FORGET ME \n'])(
    'are erased by the word %j, by form and by script',
    async (word) => {
      await visitor.post('/chat/posts', { text: 'rough idle', event: 'a' });
      const conversation = conversationOf(taken[0]!);
      const other = newVisitor();
      await other.post('/chat/posts', { text: 'stalls', event: 'b' });
      expect((await visitor.post('/chat/posts', { text: word, event: 'c' })).status).toBe(303);
      expect(await store.readConversation('web', conversation, 9)).toEqual([]);
      expect(visitor.cookies.size).toBe(0);
      expect(await news(other.post('/chat/posts', { text: word, event: 'd' }, script))).toMatchObject({
        gone: true,
        entries: [],
      });
      expect(taken).toHaveLength(2);
      expect((await store.counts()).answers).toBe(0);
    },
  );

  it.each(['please forget me', '> forget me', '"forget me"', 'forget me not', 'forget me\nP0171'])(
    'are not erased by %j, which is a post',
    async (text) => {
      await visitor.post('/chat/posts', { text: 'rough idle', event: 'a' });
      await visitor.post('/chat/posts', { text, event: 'b' });
      expect(taken).toHaveLength(2);
    },
  );

  it('are handed out as a file to their writer alone', async () => {
    const exportPerson = async (channel: string, author: string) => ({ channel, author });
    const own = newVisitor({ exportPerson });
    await own.post('/chat/posts', { text: 'rough idle', event: 'a' });
    const file = await own.post('/chat/export', {});
    expect(JSON.parse(file.text)).toEqual({ channel: 'web', author: taken[0]!.author });
    expect(file.headers.get('content-disposition')).toContain('attachment');
    expect(file.headers.get('cache-control')).toBe('no-store');
    expect((await newVisitor({ exportPerson }).post('/chat/export', {})).status).toBeGreaterThanOrEqual(400);
    expect((await visitor.post('/chat/export', {})).status).toBeGreaterThanOrEqual(400);
  });

  it('are erased on request, and a late copy of a post brings nothing back', async () => {
    await visitor.post('/chat/posts', { text: 'forget me', event: 'e1' });
    const before = new Map(visitor.cookies);
    expect((await visitor.post('/chat/erase', {})).status).toBe(303);
    expect(visitor.cookies.size).toBe(0);
    expect(await store.counts()).toMatchObject({ answers: 0 });
    // A window that was left open: it is told, and its resent form changes nothing.
    for (const [name, value] of before) visitor.cookies.set(name, value);
    expect((await news(visitor.get('/chat/entries?after=1.1'))).gone).toBe(true);
    const late = await visitor.post('/chat/posts', { text: 'forget me', event: 'e1' });
    expect(late.text).not.toContain('Answer to post');
    expect(await store.counts()).toMatchObject({ answers: 0 });
  });

  it('have a cookie that only https may carry where the address is https', async () => {
    const secure = newVisitor({ secureCookies: true });
    const sent = await secure.post('/chat/posts', { text: 'one', event: 'e1' });
    expect(sent.headers.get('set-cookie')).toMatch(/^__Host-conversation=.*; Path=\/; HttpOnly; Secure; SameSite=Lax$/);
    expect((await secure.get('/')).text).toContain('Answer to post 1');
  });
});

describe('forms from elsewhere', () => {
  it.each(['/chat/posts', '/chat/new', '/chat/erase', '/chat/export'])('are refused at %s', async (path) => {
    await visitor.post('/chat/posts', { text: 'mine', event: 'e0' });
    for (const headers of [
      { Origin: 'https://other.invalid' },
      { Origin: 'null' },
      { Origin: `${origin}.other.invalid`, 'Sec-Fetch-Site': 'cross-site' },
    ])
      expect((await visitor.post(path, { text: 'x', event: 'e1' }, headers)).status).toBe(403);
    expect(await store.counts()).toMatchObject({ answers: 1 });
  });

  it('change nothing by GET', async () => {
    for (const path of ['/chat/posts', '/chat/new', '/chat/erase']) expect((await visitor.get(path)).status).toBe(404);
  });
});

describe('hostile words', () => {
  /** Tags that the page has by itself: everything beyond them would come from the words. */
  const tagsOf = (html: string) => [...html.matchAll(/<\/?[a-z!][^>]*>/gi)].map((match) => match[0]);

  it('come out as words, on the page, in the news and in the form', async () => {
    const plain = (await news(visitor.post('/chat/posts', { text: 'plain', event: 'p', after: '0.0' }, script)))
      .entries;
    let cursor = '1.1';
    let count = 0;
    for (const text of [...hostileTexts, ...combinedTexts.slice(0, 40)]) {
      if (text.trim() === '') continue;
      now += 10;
      const got = await news(visitor.post('/chat/posts', { text, event: `h${count}`, after: cursor }, script));
      cursor = got.cursor;
      count += 1;
      expect(got.entries).toHaveLength(2);
      // A fresh conversation now and then: reading a long one again and again would only take time.
      if (count % 10 === 0) {
        const page = (await visitor.get('/')).text;
        expect(page).not.toMatch(/<img(?! class="picture" src="\/pictures\/)/);
        expect(page.match(/<script/g)).toHaveLength(1);
        await visitor.post('/chat/new', {});
        cursor = '0.0';
      }
      expect(tagsOf(got.entries[0]!.html).map((tag) => tag.split(/[ >]/)[0])).toEqual(
        tagsOf(plain[0]!.html).map((tag) => tag.split(/[ >]/)[0]),
      );
    }
    expect(count).toBeGreaterThan(120);
    await visitor.post('/chat/new', {});
    for (const text of hostileTexts.filter((candidate) => candidate.length < 2000)) {
      const long = `${text}${' '.repeat(chatTextLimit)}`;
      const refused = await visitor.post('/chat/posts', { text: long, event: 'r' });
      expect(refused.status).toBe(text.trim() === '' ? 400 : 413);
      expect(refused.text.match(/<\/textarea>/g)).toHaveLength(1);
      expect(refused.text.match(/<script/g)).toHaveLength(1);
    }
  }, 60_000);
});
