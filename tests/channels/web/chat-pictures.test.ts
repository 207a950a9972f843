// Pictures in the chat: shown with words below the reply that they belong to, drawn at their address, and gone with a withdrawn answer.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { drawPicture } from '../../../src/advice/pictures/picture.ts';
import { answerPost } from '../../../src/answer.ts';
import { webChat } from '../../../src/channels/web/web-chat.tsx';
import { loadKnowledgeFolder } from '../../../src/knowledge/load-folder.ts';
import type { Store } from '../../../src/store/store.ts';
import { submitPost } from '../../../src/turn.ts';
import { aStore } from '../../a-store.ts';
import { aVisitor, mounted, type Visitor } from '../../a-visitor.ts';

const knowledge = loadKnowledgeFolder();
let store: Store;
let remove: () => Promise<void>;
let visitor: Visitor;

beforeEach(async () => {
  ({ store, remove } = await aStore());
  const clock = () => 1_800_000_000_000;
  const log = { info: () => {}, warn: () => {}, error: () => {} };
  const turn = {
    store,
    knowledge,
    answer: answerPost,
    clock,
    newId: () => crypto.randomUUID(),
    sleep: async () => {},
    log,
  };
  visitor = aVisitor(
    mounted('/', webChat, { store, knowledge, clock, submit: (post) => submitPost(turn, post), secureCookies: false }),
  );
});
afterEach(() => remove());

const images = (html: string) => [...html.matchAll(/<img class="picture" ([^>]*)>/g)].map((match) => match[1]!);

describe('pictures in the chat', () => {
  it('stand open below a reply about a place, each with words, size and an address that is drawn', async () => {
    await visitor.post('/chat/posts', { text: 'Where is bank 1 sensor 2 on a 2004 Toyota Camry V6?', event: 'e1' });
    const { text } = await visitor.get('/');
    expect(text).toMatch(/<details class="pictures" open(?:="")?>/);
    const [first, ...others] = images(text);
    expect(others).toEqual([]);
    expect(first).toMatch(/alt="[^"]*bank 1 sensor 2 marked on the cabin side[^"]*"/);
    expect(first).toMatch(/width="400" height="440" loading="lazy"/);
    const file = /src="\/pictures\/([^"]+)"/.exec(first!)![1]!;
    expect(drawPicture(file)).toMatch(/^<svg /);
  });

  it('are a press away where figures were given, and the reply says the same in words', async () => {
    await visitor.post('/chat/posts', {
      text: 'P0171. Idle: short term trim +12 %, long term trim +14 %. 2500 rpm: short term trim +2 %, long term trim +4 %.',
      event: 'e1',
    });
    const { text } = await visitor.get('/');
    expect(text).toMatch(/<details class="pictures"><summary>Pictures: fuel trims, likely causes<\/summary>/);
    expect(images(text)).toHaveLength(2);
    expect(text.split('<details class="pictures"')[0]).toMatch(/adds about 26 %/);
  });

  it('are not there for a post that gives nothing to look at', async () => {
    await visitor.post('/chat/posts', { text: 'hello', event: 'e1' });
    expect(images((await visitor.get('/')).text)).toEqual([]);
  });
});
