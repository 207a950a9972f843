// Changing what was read, with the program's own answers: the preview moves the ranking and changes nothing, saving corrects the
// owner and the case, and the next post builds on it.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { answerPost } from '../../src/answer.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { comparedCauses } from '../../src/review/finding-forms.tsx';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { hiddenFields, type Visitor } from '../a-visitor.ts';
import { combinedTexts, hostileTexts } from '../hostile-texts.ts';
import { aBay, type BayForTests } from './a-bay.ts';

const knowledge = loadKnowledgeFolder();
const words = 'Code P0171 on my 1.6 four cylinder. LTFT +22 at idle, +4 at 2500 rpm. Rough idle. No black smoke.';

let bay: BayForTests;
let ada: Visitor;
let id: number;

beforeEach(async () => {
  bay = await aBay(answerPost, knowledge);
  ada = await bay.person('moderator', 'Ada');
  id = await bay.post(words);
});
afterEach(() => bay.remove());

const path = () => `/bay/answers/${id}/findings`;
const document = async () => (await bay.store.readAnswer(id))!.document;
const finding = async (is: (finding: Finding) => boolean) => (await document()).findings.find(is)!;
const trimAtIdle = () => finding((one) => one.kind === 'reading' && one.when === 'idle');
const change = (typed: Record<string, string>) => bay.press(ada, path(), path(), { step: 'preview', ...typed });
/** Presses save on the page that a preview gave. */
const save = async (typed: Record<string, string>) => {
  const preview = await change(typed);
  const hidden = hiddenFields(preview.text, path());
  const text = /<textarea[^>]*>\n?([^<]*)</.exec(preview.text)![1]!.trim();
  return ada.post(path(), { ...hidden, text, ...typed, step: 'save' });
};
const case_ = async () => (await bay.store.loadCase('web', 'c1')).state!;

describe('the preview', () => {
  it('shows both rankings as the program itself works them out, and stores nothing', async () => {
    const trim = await trimAtIdle();
    const before = await document();
    const page = await change({ [`value-${trim.id}`]: '-22' });
    expect(page.status).toBe(200);
    const after = answerPost({ id: 'x', text: words }, null, knowledge, (current) => ({
      ...current,
      findings: current.findings.map((one) =>
        one.id === trim.id ? { ...one, value: -22, range: null } : one,
      ) as Finding[],
    })).answer;
    const moved = comparedCauses(before, after).map(({ was, now }) =>
      Math.abs((was?.probability ?? 0) - (now?.probability ?? 0)),
    );
    expect(Math.max(...moved)).toBeGreaterThan(0.05);
    for (const { fault, was, now } of comparedCauses(before, after).slice(0, 6)) {
      const name = knowledge.faults.byId.get(fault)!.name.replaceAll("'", '&#39;');
      const row = page.text.split('<tr>').find((part) => part.includes(`<th scope="row">${name}</th>`));
      for (const side of [was, now])
        if (side && side.probability > 0.01 && side.probability < 0.99)
          expect([fault, row]).toEqual([fault, expect.stringContaining(`${Math.round(side.probability * 100)} %`)]);
    }
    expect(await document()).toEqual(before);
    expect((await bay.store.readAnswer(id))!.review.state).toBe('unreviewed');
    expect(await bay.store.readConversation('web', 'c1', 9)).toHaveLength(2);
    expect(await bay.store.listRevisions('web', 'c1')).toEqual([]);
  });

  it('keeps what was typed, and takes several changes at once', async () => {
    const trim = await trimAtIdle();
    const symptom = await finding((one) => one.kind === 'symptom' && one.symptom === 'rough-idle');
    const page = await change({ [`value-${trim.id}`]: '9', [`drop-${symptom.id}`]: 'yes', reason: 'so it is' });
    expect(page.text).toMatch(new RegExp(`name="value-${trim.id}"[^>]*value="9"`));
    expect(page.text).toMatch(new RegExp(`name="drop-${symptom.id}"[^>]*checked`));
    expect(page.text.match(/<del>/g)).toHaveLength(2);
  });

  it.each([
    ['a value that physics forbids', 'value', '900', 'must be a number from'],
    ['a value that is none', 'value', '1e', 'must be a number from'],
    ['a quantity that there is not', 'quantity', 'constructor', 'no such quantity'],
  ])('refuses %s', async (_, field, value, says) => {
    const trim = await trimAtIdle();
    const page = await change({ [`${field}-${trim.id}`]: value });
    expect([page.status, page.text.includes(says)]).toEqual([400, true]);
  });

  it('says when nothing differs', async () => {
    const trim = await trimAtIdle();
    const page = await change({ [`value-${trim.id}`]: '22', [`stated-${trim.id}`]: 'nonsense' });
    expect(page.status).toBe(400);
    expect(page.text).toContain('Nothing was changed');
  });

  it('is for moderators', async () => {
    const helper = await bay.person('helper', 'Imogen');
    expect((await helper.get(path())).status).toBe(403);
    expect((await helper.post(path(), { step: 'save' })).status).toBe(403);
  });
});

describe('saving', () => {
  it('corrects the owner in the thread, keeps the answer that was sent, and records who changed what', async () => {
    const trim = await trimAtIdle();
    const before = await document();
    const saved = await save({ [`value-${trim.id}`]: '-22', reason: 'the minus was lost' });
    expect([saved.status, saved.headers.get('location')]).toEqual([303, `/bay/answers/${id}#review`]);
    const [revision] = await bay.store.listRevisions('web', 'c1');
    expect(revision).toMatchObject({ who: 'Ada', changes: [{ was: { value: 22 }, becomes: { value: -22 } }] });
    expect((await bay.store.readAnswer(id))!.review).toMatchObject({
      state: 'corrected',
      reason: 'the minus was lost',
    });
    expect(await document()).toEqual(before);
    const last = (await bay.store.readConversation('web', 'c1', 9)).at(-1)!;
    expect(last.kind).toBe('correction');
    expect(last.text).toContain(revision!.document.reply.text.slice(0, 80));
    const page = await ada.get(`/bay/answers/${id}`);
    expect(page.text).toContain('changed 1 finding(s)');
    const name = (fault: string) => knowledge.faults.byId.get(fault)!.name;
    const firstOf = (text: string) => /<div class="cause"><h3><span>([^<]*)/.exec(text)![1];
    expect(firstOf(page.text)).toContain(name(revision!.document.causes[0]!.fault));
    const sent = await ada.get(`/bay/answers/${id}?as=sent`);
    expect(firstOf(sent.text)).toContain(name(before.causes[0]!.fault));
    const [entry] = await bay.store.listAudit({ before: null, about: `answer ${id}` }, 1);
    expect(entry).toMatchObject({ who: 'Ada', act: 'change-findings', details: { changes: 1 } });
  });

  it('lets the next post build on it', async () => {
    const trim = await trimAtIdle();
    await save({ [`value-${trim.id}`]: '-22' });
    expect((await case_()).findings.find((one) => one.id === trim.id)).toMatchObject({ value: -22 });
    expect((await case_()).replaced).toMatchObject([{ finding: { value: 22 }, by: 'moderator' }]);
    const second = await bay.post('It also smells of petrol after a cold start.');
    const { findings } = (await bay.store.readAnswer(second))!.document;
    expect(findings.find((one) => one.id === trim.id)).toMatchObject({ value: -22 });
  });

  it('outlives that the owner edits another post', async () => {
    const second = await bay.post('And it stalls when hot.');
    const trim = await trimAtIdle();
    await save({ [`value-${trim.id}`]: '-22' });
    const { postId } = (await bay.store.readAnswer(second))!;
    const { channel, eventId } = (await bay.store.readPost(postId))!;
    bay.now += 1000;
    const text = 'And it stalls when hot, and when cold.';
    const revised = await bay.store.revisePost({ channel, eventId, text, revisedAt: bay.now }, bay.now);
    expect(revised).toMatchObject({ outcome: 'revised' });
    await bay.post('Nothing else.');
    expect((await case_()).findings.find((one) => one.id === trim.id)).toMatchObject({ value: -22 });
  });

  it('works from what was changed before', async () => {
    const trim = await trimAtIdle();
    await save({ [`value-${trim.id}`]: '-22' });
    const page = await ada.get(path());
    expect(page.text).toMatch(new RegExp(`name="value-${trim.id}"[^>]*value="-22"`));
    const symptom = await finding((one) => one.kind === 'symptom' && one.symptom === 'rough-idle');
    expect((await save({ [`drop-${symptom.id}`]: 'yes' })).status).toBe(303);
    const { findings } = await case_();
    expect(findings.find((one) => one.id === trim.id)).toMatchObject({ value: -22 });
    expect(findings.some((one) => one.id === symptom.id)).toBe(false);
    expect(await bay.store.listRevisions('web', 'c1')).toHaveLength(2);
  });

  it('is refused to the second of two moderators, whose words stay', async () => {
    const bela = await bay.person('moderator', 'Bela');
    const trim = await trimAtIdle();
    const page = (await change({ [`value-${trim.id}`]: '5' })).text;
    const theirs = await bay.press(bela, path(), path(), { step: 'preview', [`value-${trim.id}`]: '6' });
    const hidden = hiddenFields(theirs.text, path());
    expect(
      (await ada.post(path(), { ...hiddenFields(page, path()), step: 'save', text: 'Mine', [`value-${trim.id}`]: '5' }))
        .status,
    ).toBe(303);
    const late = await bela.post(path(), {
      ...hidden,
      step: 'save',
      text: 'My careful words',
      [`value-${trim.id}`]: '6',
    });
    expect(late.status).toBe(409);
    expect(late.text).toContain('My careful words');
    expect(await bay.store.listRevisions('web', 'c1')).toHaveLength(1);
  });

  it('is refused when the owner wrote meanwhile', async () => {
    const trim = await trimAtIdle();
    const page = (await change({ [`value-${trim.id}`]: '5' })).text;
    await bay.post('And it stalls when hot.');
    const late = await ada.post(path(), {
      ...hiddenFields(page, path()),
      step: 'save',
      text: 'Mine',
      [`value-${trim.id}`]: '5',
    });
    expect(late.status).toBe(409);
    expect(late.text).toContain('wrote again');
    expect(late.text).toContain('1 later post(s)');
  });

  it.each([
    ['', 'Write the corrected answer'],
    ['x'.repeat(1801), 'at most 1800'],
  ])('asks for words that can go out', async (text, says) => {
    const trim = await trimAtIdle();
    const typed = { [`value-${trim.id}`]: '5' };
    const hidden = hiddenFields((await change(typed)).text, path());
    const page = await ada.post(path(), { ...hidden, ...typed, step: 'save', text });
    // An empty area comes back filled with the program's own words, to be sent as they are or changed.
    expect([page.status, page.text.includes(says)]).toEqual([400, true]);
  });
});

describe('hostile fields', () => {
  it('change nothing and come out as words', async () => {
    const { findings } = await document();
    const names = ['value', 'quantity', 'code', 'symptom', 'stated', 'bank', 'when', 'text', 'reason'];
    for (const [index, text] of [...hostileTexts, ...combinedTexts].slice(0, 120).entries()) {
      const one = findings[index % findings.length]!;
      const typed = Object.fromEntries(names.map((name) => [`${name}-${one.id}`, text]));
      const page = await change({ ...typed, text, reason: text });
      expect(page.status).toBeLessThan(500);
      expect(page.text.split('<main')[1]).not.toMatch(
        /<(?:script|img|svg|iframe|style|base|object|embed|link|meta)\b(?! class="(?:share|picture|plot)")/,
      );
    }
    expect(await bay.store.listRevisions('web', 'c1')).toEqual([]);
  }, 60_000);
});
