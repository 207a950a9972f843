// Reruns with the program's own answers: the same knowledge moves nothing, a changed prior moves the ranking, an interrupted run
// goes on, and nobody sees another community's.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { answerPost } from '../../src/answer.ts';
import { assembleKnowledge, type Knowledge } from '../../src/knowledge/knowledge.ts';
import { loadKnowledgeEntries, loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { continueRerun } from '../../src/review/rerun.ts';
import { hiddenFields } from '../a-visitor.ts';
import { aBay, type BayForTests } from './a-bay.ts';

const knowledge = loadKnowledgeFolder();
/** The same with vacuum leaks a hundred times rarer. */
const trial: Knowledge = (() => {
  const { entries } = loadKnowledgeEntries();
  const faults = entries.faults.map((fault) =>
    fault.id === 'vacuum-leak' ? { ...fault, prior: { ...fault.prior, per1000: fault.prior.per1000 / 100 } } : fault,
  );
  return assembleKnowledge({ ...entries, faults }, 'trialtrial12');
})();
const posts = [
  'P0171, LTFT +22 at idle, +4 at 2500 rpm, rough idle.',
  'P0420, car runs fine, no other codes.',
  'Black smoke, P0172, LTFT -20 at idle.',
];

let bay: BayForTests;
let ids: number[];
beforeEach(async () => {
  bay = await aBay(answerPost, knowledge, { trial });
  ids = [];
  for (const [index, text] of posts.entries()) {
    const id = await bay.post(text, { conversation: `c${index}` });
    ids.push(id);
    const review = { answerId: id, version: 0, state: 'standing', by: 'Ada', reason: '', message: null } as const;
    await bay.store.reviewAnswer({ ...review, now: bay.now });
  }
});
afterEach(() => bay.remove());

const deps = (knowledges = [knowledge, trial]) => ({
  store: bay.store,
  answer: answerPost,
  knowledges,
  clock: () => bay.now,
});
const start = (under: Knowledge, communities: string[] | null = null) =>
  bay.store.startRerun({ who: 'Ada', communities, knowledge: under.version, now: bay.now });

describe('a rerun', () => {
  it('under the same knowledge moves nothing', async () => {
    const { rerunId } = await start(knowledge);
    expect(await continueRerun(deps(), 60_000, 8)).toMatchObject({ state: 'done', done: 3 });
    expect(await bay.store.sumRerun(rerunId)).toMatchObject({ results: 3, moved: 0, driving: 0 });
    for (const result of await bay.store.listRerunResults(rerunId, 9, 0))
      expect(result.nowProbability).toBe(result.wasProbability);
  });

  it('under another one says what moved and whether it got better', async () => {
    await bay.store.recordOutcome({
      answerId: ids[0]!,
      source: 'moderator',
      who: 'Ada',
      result: 'fixed',
      fault: 'vacuum-leak',
      note: '',
      version: 0,
      terms: [],
      likeness: [],
      now: bay.now,
    });
    const { rerunId } = await start(trial);
    await continueRerun(deps(), 60_000, 8);
    const expected = answerPost({ id: 'x', text: posts[0]! }, null, trial).answer.causes;
    const result = (await bay.store.listRerunResults(rerunId, 9, 0)).find(({ answerId }) => answerId === ids[0])!;
    expect(result).toMatchObject({
      wasCause: 'vacuum-leak',
      nowCause: expected[0]!.fault,
      nowProbability: expected[0]!.probability,
      fault: 'vacuum-leak',
      wasPlace: 1,
      nowPlace: expected.findIndex(({ fault }) => fault === 'vacuum-leak') + 1,
    });
    expect(result.nowPlace).toBeGreaterThan(1);
    expect(await bay.store.sumRerun(rerunId)).toMatchObject({ settled: 1, wasFirst: 1, nowFirst: 0 });
    expect((await bay.store.readAnswer(ids[0]!))!.document.model.knowledge).toBe(knowledge.version);
  });

  it('goes on where an interruption left it, and waits for knowledge that is not at hand', async () => {
    for (let index = 3; index < 20; index += 1) {
      const id = await bay.post(posts[1]!, { conversation: `c${index}` });
      const review = { answerId: id, version: 0, state: 'standing', by: 'Ada', reason: '', message: null } as const;
      await bay.store.reviewAnswer({ ...review, now: bay.now });
    }
    const { rerunId, total } = await start(trial);
    expect(total).toBe(20);
    expect(await continueRerun(deps([knowledge]), 60_000, 8)).toBeNull();
    const first = await continueRerun(deps(), 0, 8);
    expect(first).toMatchObject({ state: 'running', done: 8 });
    expect(await continueRerun(deps(), 0, 8)).toMatchObject({ done: 16 });
    expect(await continueRerun(deps(), 0, 8)).toMatchObject({ state: 'done', done: 20 });
    expect(
      (await bay.store.listRerunResults(rerunId, 50, 0)).map(({ answerId }) => answerId).sort((a, b) => a - b),
    ).toHaveLength(20);
    expect(await continueRerun(deps(), 0, 8)).toBeNull();
  }, 60_000);

  it('is started, watched and stopped in the bay by moderators', async () => {
    const ada = await bay.person('moderator', 'Ada');
    const started = await bay.press(ada, '/bay/reruns', '/bay/reruns', { knowledge: trial.version });
    const page = started.headers.get('location')!;
    const running = await ada.get(page);
    expect(running.text).toContain('http-equiv="refresh"');
    expect(running.text).toContain('0 of 3');
    await continueRerun(deps(), 60_000, 8);
    const done = await ada.get(page);
    expect(done.text).not.toContain('http-equiv="refresh"');
    expect(done.text).toContain(`/bay/answers/${ids[0]}/rerun?knowledge=${trial.version}`);
    const side = await ada.get(`/bay/answers/${ids[0]}/rerun?knowledge=${trial.version}`);
    expect(side.text).toContain('As it would be');
    const again = (await bay.press(ada, '/bay/reruns', '/bay/reruns', { knowledge: trial.version })).headers.get(
      'location',
    )!;
    await bay.press(ada, again, `${again}/stop`);
    expect((await ada.get(again)).text).toContain('stopped');
    const { form } = hiddenFields((await ada.get('/bay/reruns')).text, '/bay/reruns');
    expect((await ada.post('/bay/reruns', { form: form!, knowledge: 'unknown' })).status).toBe(400);
    const helper = await bay.person('helper', 'Imogen');
    for (const path of ['/bay/reruns', page, `/bay/answers/${ids[0]}/rerun`])
      expect((await helper.get(path)).status).toBe(403);
  });

  it('is shown to those who may see all its communities', async () => {
    const { rerunId } = await start(knowledge);
    const own = await start(knowledge, ['web']);
    const bela = await bay.person('moderator', 'Bela', ['web', 'forum']);
    expect((await bela.get(`/bay/reruns/${rerunId}`)).status).toBe(404);
    expect((await bela.get(`/bay/reruns/${own.rerunId}`)).status).toBe(200);
    const other = await bay.person('moderator', 'Cai', ['forum']);
    expect((await other.get(`/bay/reruns/${own.rerunId}`)).status).toBe(404);
    expect((await other.get('/bay/reruns')).text).not.toContain(`/bay/reruns/${own.rerunId}"`);
  });
});
