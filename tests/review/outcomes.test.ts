// What it was in the end: recorded in the bay and behind the owner's link, asked for once, counted on the calibration page.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { askAfterMs, askOutcomes } from '../../src/review/ask-outcomes.ts';
import { outcomePages } from '../../src/review/outcome-acts.tsx';
import { aVisitor, hiddenFields, mounted } from '../a-visitor.ts';
import { exampleAnswer } from '../example-answer.ts';
import { hostileTexts } from '../hostile-texts.ts';
import { aBay, type BayForTests } from './a-bay.ts';

let bay: BayForTests;
beforeEach(async () => {
  bay = await aBay(exampleAnswer, loadKnowledgeFolder());
});
afterEach(() => bay.remove());

const [fault, other] = ['vacuum-leak', 'wrong-fuel'];
const outcome = (conversation = 'c1') => bay.store.readOutcome('web', conversation);
const record = async (by: Awaited<ReturnType<BayForTests['person']>>, id: number, typed: Record<string, string>) =>
  bay.press(by, `/bay/answers/${id}`, `/bay/answers/${id}/outcome`, typed);

describe('recording it in the bay', () => {
  it('is for helpers and moderators, and a moderator’s word stands', async () => {
    const id = await bay.post('UNSURE');
    const [imogen, ada] = [await bay.person('helper', 'Imogen'), await bay.person('moderator', 'Ada')];
    const sent = await record(imogen, id, { result: 'fixed', fault, note: 'said on the telephone' });
    expect([sent.status, sent.headers.get('location')]).toEqual([303, `/bay/answers/${id}#outcome`]);
    expect(await outcome()).toMatchObject({ source: 'helper', who: 'Imogen', fault, note: 'said on the telephone' });
    expect((await record(ada, id, { result: 'fixed', fault: other })).status).toBe(303);
    expect(await outcome()).toMatchObject({ source: 'moderator', fault: other, version: 2 });
    const page = await imogen.get(`/bay/answers/${id}`);
    expect(page.text).not.toContain('Record it');
    const { form } = hiddenFields(page.text, `/bay/answers/${id}/take`);
    const late = { form: form!, version: '2', result: 'fixed', fault };
    expect((await imogen.post(`/bay/answers/${id}/outcome`, late)).status).toBe(409);
  });

  it.each([
    [{}, 'Choose how it ended'],
    [{ result: 'fixed', fault: '' }, 'Choose what it was'],
    [{ result: 'fixed', fault: 'constructor' }, 'Choose what it was'],
    [{ result: 'sold' }, 'Choose how it ended'],
  ])('takes no half a word: %j', async (typed, says) => {
    const id = await bay.post('UNSURE');
    const page = await record(await bay.person('moderator', 'Ada'), id, typed);
    expect([page.status, page.text.includes(says)]).toEqual([400, true]);
    expect(await outcome()).toBeNull();
  });

  it('is refused to the second of two who looked at the same page', async () => {
    const id = await bay.post('calm');
    const [ada, bela] = [await bay.person('moderator', 'Ada'), await bay.person('moderator', 'Bela')];
    const theirs = hiddenFields((await bela.get(`/bay/answers/${id}`)).text, `/bay/answers/${id}/outcome`);
    await record(ada, id, { result: 'fixed', fault });
    const late = await bela.post(`/bay/answers/${id}/outcome`, { ...theirs, result: 'not-fixed' });
    expect(late.status).toBe(409);
    expect(late.text).toContain('Nothing of yours was recorded');
    expect(await outcome()).toMatchObject({ result: 'fixed', who: 'Ada' });
  });
});

describe('asking the owner', () => {
  const ask = () =>
    askOutcomes({ store: bay.store, clock: bay.deps.clock, address: 'https://bay.test', channels: ['web', 'slack'] });
  const owner = () => aVisitor(mounted('/outcome', outcomePages, bay.deps));
  /** The link of the question that was sent. */
  const linkIn = async (conversation = 'c1') => {
    const entries = await bay.store.readConversation('web', conversation, 20);
    const text = entries.findLast(({ text: words }) => words.includes('https://bay.test/outcome'))!.text;
    return /https:\/\/bay\.test(\/outcome\?token=([\w-]{43}))/.exec(text)!;
  };

  it('happens once, some days after the last answer, and not on channels that nobody reads later', async () => {
    await bay.post('calm');
    await bay.post('calm', { channel: 'api', conversation: 'c2' });
    bay.now += askAfterMs - 1;
    expect(await ask()).toBe(0);
    await bay.post('and another thing');
    bay.now += 2;
    expect(await ask()).toBe(0);
    bay.now += askAfterMs;
    expect(await ask()).toBe(1);
    expect(await ask()).toBe(0);
    bay.now += 30 * askAfterMs;
    expect(await ask()).toBe(0);
    expect(await bay.store.readConversation('web', 'c1', 20)).toHaveLength(5);
  });

  it('does not happen when nobody knows where the page is', async () => {
    await bay.post('calm');
    bay.now += askAfterMs + 1;
    const deps = { store: bay.store, clock: bay.deps.clock, channels: ['web'] };
    expect(await askOutcomes({ ...deps, address: null })).toBe(0);
    expect(await askOutcomes({ ...deps, address: 'https://bay.test' })).toBe(1);
  });

  it('leads to a page that takes the answer once; opening it spends nothing', async () => {
    await bay.post('calm');
    bay.now += askAfterMs + 1;
    await ask();
    const [, path, token] = await linkIn();
    const visitor = owner();
    await visitor.get(path!);
    const page = await visitor.get(path!);
    expect(page.status).toBe(200);
    expect(page.headers.get('cache-control')).toBe('no-store');
    expect((await visitor.post('/outcome', { token: token!, result: 'fixed', fault: '' })).status).toBe(400);
    expect((await visitor.post('/outcome', { token: token!, result: 'fixed', fault })).status).toBe(200);
    expect(await outcome()).toMatchObject({ source: 'owner', fault, result: 'fixed' });
    expect((await visitor.get(path!)).status).toBe(404);
    expect((await visitor.post('/outcome', { token: token!, result: 'not-fixed' })).status).toBe(404);
  });

  it('takes the wish not to be asked again, for other conversations too', async () => {
    await bay.post('calm');
    bay.now += askAfterMs + 1;
    await ask();
    const [, , token] = await linkIn();
    const page = await owner().post('/outcome', { token: token!, step: 'decline' });
    expect(page.text).toContain('not asked again');
    expect(await outcome()).toBeNull();
    await bay.post('calm', { conversation: 'c2' });
    await bay.post('calm', { conversation: 'c3', author: 'o2' });
    bay.now += askAfterMs + 1;
    expect(await ask()).toBe(1);
  });

  it('takes no form from another site and no token of somebody else’s making', async () => {
    await bay.post('calm');
    bay.now += askAfterMs + 1;
    await ask();
    const [, , token] = await linkIn();
    const foreign = await owner().post(
      '/outcome',
      { token: token!, result: 'not-fixed' },
      { Origin: 'https://evil.test' },
    );
    expect(foreign.status).toBe(403);
    for (const wrong of ['', 'x', 'A'.repeat(43), ...hostileTexts.slice(0, 20)]) {
      expect((await owner().post('/outcome', { token: wrong, result: 'not-fixed' })).status).toBe(404);
      expect((await owner().get(`/outcome?token=${encodeURIComponent(wrong)}`)).status).toBe(404);
    }
    expect(await outcome()).toBeNull();
  });
});

describe('the calibration page', () => {
  it('says nothing of nothing', async () => {
    const page = await (await bay.person('helper', 'Imogen')).get('/bay/calibration');
    expect(page.text).toContain('No outcome is known yet');
  });

  it('counts hits with intervals, for the person’s communities', async () => {
    const ada = await bay.person('moderator', 'Ada');
    for (let index = 0; index < 4; index += 1) {
      const id = await bay.post('calm', { conversation: `c${index}`, channel: index === 3 ? 'forum' : 'web' });
      const first = (await bay.store.readAnswer(id))!.document.causes[0]!.fault;
      await record(ada, id, { result: 'fixed', fault: index === 1 ? other : first });
    }
    const page = await ada.get('/bay/calibration');
    // 3 of 4: Wilson 0.301 to 0.954. From: the formula in Newcombe 1998, Statistics in Medicine 17, 857, method 3
    expect(page.text).toContain('75 % (30 to 95)');
    expect(page.text).toContain('4 case(s)');
    expect(page.text).toContain('class="plot"');
    const own = await (await bay.person('helper', 'Imogen', ['forum'])).get('/bay/calibration');
    expect(own.text).toContain('1 case(s)');
    expect(own.text).toContain('(21 to 100)');
  });

  it('shows similar settled cases beside a new one', async () => {
    const ada = await bay.person('moderator', 'Ada');
    const { examplePost } = await import('../example-answer.ts');
    const old = await bay.post(examplePost, { conversation: 'old' });
    await record(ada, old, { result: 'fixed', fault });
    const fresh = await bay.post(examplePost, { conversation: 'new' });
    const page = await ada.get(`/bay/answers/${fresh}`);
    expect(page.text).toContain('Settled cases like this one');
    expect(page.text).toContain(`href="/bay/answers/${old}"`);
    expect((await ada.get(`/bay/answers/${old}`)).text).not.toContain('Settled cases like this one');
  });
});
