// What every store must do for the service bay, as one set of tests: sqlite-store.test.ts and d1-store.test.ts run it beside
// store-suite.ts, each on its own database.
import { describe, expect, it } from 'vitest';
import type { AuditRecord } from '../../src/store/audit-types.ts';
import type { BayStore, Communities, NewRevision, RerunResult } from '../../src/store/bay-store.ts';
import type { NewOutcome } from '../../src/store/outcome-types.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';
import type { Post } from '../../src/vocabulary/post.ts';
import { exampleDocument as document } from '../an-answer.ts';
import { answered, messageFor, newPost, type StoreUnderTest } from './store-suite.ts';

/** Entries that these tests made: on D1 the log, which cannot be emptied, goes on from test to test. */
async function entriesSince(store: BayStore, before: number) {
  const entries = await store.listAudit({ before: null, about: null }, 500);
  return entries.filter(({ entry }) => entry > before).reverse();
}
const lastEntry = async (store: BayStore) => (await store.verifyAudit(null)).last?.entry ?? 0;

const ids = async (store: BayStore, terms: string[], communities: Communities = null, before: number | null = null) =>
  (await store.searchAnswers({ terms, filter: { communities, before }, limit: 9 })).map(({ answerId }) => answerId);

export function baySuite(name: string, open: () => Promise<StoreUnderTest>): void {
  const withStore = (work: (tested: StoreUnderTest) => Promise<void>) => async () => {
    const tested = await open();
    try {
      await work(tested);
    } finally {
      await tested.close();
    }
  };
  const withStore1 = (work: (tested: StoreUnderTest, given: string) => Promise<void>) => async (given: string) => {
    const tested = await open();
    try {
      await work(tested, given);
    } finally {
      await tested.close();
    }
  };
  const record = (parts: Partial<AuditRecord> = {}): AuditRecord => ({
    who: 'Ana',
    act: 'export',
    about: 'answer 1',
    details: { posts: 2 },
    ...parts,
  });

  describe(`${name}: audit log`, () => {
    it(
      'keeps every act with who, when and on what, in one chain',
      withStore(async ({ store }) => {
        const before = await lastEntry(store);
        const post = newPost();
        const { answerId, postId } = await answered(store, post, 1, { helperWanted: true });
        const session = { name: 'Ana', role: 'helper', communities: null, tokenHash: `h${before}` } as const;
        await store.addSession({ ...session, expiresAt: 900 }, 2, 'link');
        await store.moveHelperState(answerId, 'wanted', 'taken', 'Ana', 3);
        await store.moveHelperState(answerId, 'taken', 'wanted', 'Ana', 4);
        await store.moveHelperState(answerId, 'wanted', 'taken', 'Ana', 5);
        await store.sendHelperReply(answerId, 'Ana', messageFor(post, postId, { kind: 'helper-reply' }), 6);
        const review = { answerId, version: 0, state: 'standing', by: 'Bea', reason: '', message: null } as const;
        await store.reviewAnswer({ ...review, now: 7 });
        await store.eraseConversation(post.channel, post.conversation, 8, 'Bea');
        await store.endSession(session.tokenHash, 9);
        const entries = await entriesSince(store, before);
        expect(entries.map(({ at, who, act }) => [at, who, act])).toEqual([
          [2, 'Ana', 'sign-in'],
          [3, 'Ana', 'take'],
          [4, 'Ana', 'hand-back'],
          [5, 'Ana', 'take'],
          [6, 'Ana', 'reply'],
          [7, 'Bea', 'review'],
          [8, 'Bea', 'erase'],
          [9, 'Ana', 'sign-out'],
        ]);
        expect(entries[1]).toMatchObject({ about: `answer ${answerId}`, details: { from: 'wanted', to: 'taken' } });
        expect(JSON.stringify(entries)).not.toContain(post.conversation);
        expect((await store.verifyAudit(null)).wrong).toBeNull();
        expect(await store.listAudit({ before: null, about: `answer ${answerId}` }, 2)).toHaveLength(2);
      }),
    );

    it(
      'has no entry for what did not happen',
      withStore(async ({ store }) => {
        const { answerId } = await answered(store, newPost(), 1, { helperWanted: true });
        await store.moveHelperState(answerId, 'wanted', 'taken', 'Ana', 3);
        const before = await lastEntry(store);
        expect(await store.moveHelperState(answerId, 'wanted', 'taken', 'Ben', 4)).toBe(false);
        expect(await store.moveHelperState(answerId, 'taken', 'wanted', 'Ben', 4)).toBe(false);
        const late = { answerId, version: 7, state: 'standing', by: 'Ben', reason: '', message: null } as const;
        expect(await store.reviewAnswer({ ...late, now: 5 })).toBe(false);
        expect(await entriesSince(store, before)).toEqual([]);
      }),
    );

    it(
      'gives acts of the same moment their places one after another',
      withStore(async ({ store }) => {
        const before = await lastEntry(store);
        const acts = Array.from({ length: 24 }, (_, index) => store.recordAct(record({ details: { index } }), index));
        await Promise.all(acts);
        const entries = await entriesSince(store, before);
        expect(entries.map(({ entry }) => entry - before)).toEqual(Array.from({ length: 24 }, (_, index) => index + 1));
        expect(new Set(entries.map(({ details }) => details.index)).size).toBe(24);
        expect((await store.verifyAudit(null)).wrong).toBeNull();
      }),
    );

    it(
      'knows an entry that was noted down, and misses one that never was',
      withStore(async ({ store }) => {
        await store.recordAct(record(), 1);
        const noted = (await store.verifyAudit(null)).last!;
        await store.recordAct(record(), 2);
        expect((await store.verifyAudit(noted)).wrong).toBeNull();
        expect((await store.verifyAudit({ ...noted, hash: 'x'.repeat(43) })).wrong).toContain('cut off');
        expect((await store.verifyAudit({ entry: noted.entry + 9, hash: noted.hash })).wrong).toContain('cut off');
      }),
    );
  });

  describe(`${name}: corrected findings`, () => {
    const changes = [{ was: document.findings[0]!, becomes: null }];
    const revisionOf = (
      post: Post,
      postId: number,
      answerId: number,
      parts: Partial<NewRevision> = {},
    ): NewRevision => ({
      answerId,
      version: 0,
      caseVersion: 1,
      by: 'Cai',
      reason: 'ZEBRAREASON',
      changes,
      document: { ...document, drivingBecause: 'ZEBRAWORD' },
      next: { ...emptyCase, posts: 1 },
      message: messageFor(post, postId, { kind: 'correction' }),
      terms: ['p0420'],
      now: 5,
      ...parts,
    });

    it(
      'go with the case, the word on the answer and the message, once',
      withStore(async ({ store, allText }) => {
        const post = newPost();
        const { answerId, postId } = await answered(store, post, 1);
        const both = await Promise.all([
          store.reviseAnswer(revisionOf(post, postId, answerId)),
          store.reviseAnswer(revisionOf(post, postId, answerId, { by: 'Dee', now: 6 })),
        ]);
        expect(both.filter(Boolean)).toHaveLength(1);
        const [kept, ...others] = await store.listRevisions(post.channel, post.conversation);
        expect(others).toEqual([]);
        expect(kept).toMatchObject({ answerId, changes, document: { drivingBecause: 'ZEBRAWORD' } });
        expect((await store.readAnswer(answerId))?.review).toMatchObject({ state: 'corrected', version: 1 });
        expect((await store.loadCase(post.channel, post.conversation)).version).toBe(2);
        const entries = await store.readConversation(post.channel, post.conversation, 9);
        expect(entries.filter(({ kind }) => kind === 'correction')).toHaveLength(1);
        expect((await store.readAnswer(answerId))?.document.drivingBecause).toBe(document.drivingBecause);
        expect(await allText()).not.toContain('ZEBRA');
        expect(await ids(store, ['p0420'])).toEqual([answerId]);
      }),
    );

    it(
      'change nothing when the case has moved, and go when the conversation is erased',
      withStore(async ({ store }) => {
        const post = newPost();
        const { answerId, postId } = await answered(store, post, 1);
        expect(await store.reviseAnswer(revisionOf(post, postId, answerId, { caseVersion: 0 }))).toBe(false);
        expect(await store.listRevisions(post.channel, post.conversation)).toEqual([]);
        expect((await store.readAnswer(answerId))?.review.state).toBe('unreviewed');
        expect(await store.reviseAnswer(revisionOf(post, postId, answerId))).toBe(true);
        await store.eraseConversation(post.channel, post.conversation, 9);
        const later = await answered(store, { ...newPost(), conversation: post.conversation }, 10);
        expect(later.answerId).not.toBe(answerId);
        expect(await store.listRevisions(post.channel, post.conversation)).toEqual([]);
      }),
    );
  });

  describe(`${name}: search`, () => {
    it(
      'finds answers by codes, ids and the beginnings of words, newest first, within communities',
      withStore(async ({ store }) => {
        const first = await answered(store, newPost(), 1);
        const second = await answered(store, newPost({ channel: 'forum' }), 2);
        const code = document.findings.find((finding) => finding.kind === 'code')!.code;
        const both = [second.answerId, first.answerId];
        expect(await ids(store, [code])).toEqual(both);
        expect(await ids(store, [code.slice(0, 3).toLowerCase()])).toEqual(both);
        expect(await ids(store, [document.causes[0]!.fault, code])).toEqual(both);
        expect(await ids(store, document.causes[0]!.fault.split('-'))).toEqual(both);
        expect(await ids(store, [code, 'p9999'])).toEqual([]);
        expect(await ids(store, [code], ['web'])).toEqual([first.answerId]);
        expect(await ids(store, [code], [])).toEqual([]);
        expect(await store.listCommunities()).toEqual(['forum', 'web']);
        const wanted = { terms: [code], filter: { helper: 'wanted' }, limit: 9 } as const;
        expect(await store.searchAnswers(wanted)).toEqual([]);
        expect(await ids(store, [code], null, second.answerId)).toEqual([first.answerId]);
      }),
    );

    it.each(['"', "' OR 1=1 --", '*', 'a AND (', 'NEAR(', 'terms:x', '^', '\u0000', '', ' ', 'ü'.repeat(5000)])(
      'takes %j as words, if that',
      withStore1(async ({ store }, text) => {
        await answered(store, newPost(), 1);
        expect(await ids(store, [text])).toEqual([]);
        expect(await ids(store, text.split(' '))).toEqual([]);
      }),
    );

    it(
      'knows no word of a post, and nothing of an answer that was erased',
      withStore(async ({ store, allText }) => {
        const post = newPost({ text: 'ZEBRAWORD hisses' });
        const { answerId } = await answered(store, post, 1);
        expect(await ids(store, ['zebraword'])).toEqual([]);
        expect((await store.listWholePosts('web', null, 5)).map(({ excerpt }) => excerpt)).toEqual([post.text]);
        expect(await store.listWholePosts('forum', null, 5)).toEqual([]);
        expect(await store.listWholePosts('web', answerId, 5)).toEqual([]);
        const code = document.findings.find((finding) => finding.kind === 'code')!.code;
        expect((await allText()).toLowerCase()).toContain(code.toLowerCase());
        await store.eraseConversation(post.channel, post.conversation, 2);
        expect(await ids(store, [code])).toEqual([]);
        expect((await allText()).toLowerCase()).not.toContain(code.toLowerCase());
      }),
    );
  });

  describe(`${name}: outcomes`, () => {
    const faults = document.causes.map(({ fault }) => fault);
    const outcomeOf = (answerId: number, parts: Partial<NewOutcome> = {}): NewOutcome => ({
      answerId,
      source: 'moderator',
      who: 'Cai',
      result: 'fixed',
      fault: faults[0]!,
      note: '',
      version: 0,
      terms: ['p0171'],
      likeness: ['p0171', 'rough-idle'],
      now: 7,
      ...parts,
    });

    it(
      'are held against the ranking, and a weightier word stands over a lighter one',
      withStore(async ({ store, allText }) => {
        const post = newPost();
        const { answerId } = await answered(store, post, 1);
        const read = () => store.readOutcome(post.channel, post.conversation);
        expect(await read()).toBeNull();
        const owner = { source: 'owner', who: '(owner)', fault: faults[1]!, note: 'ZEBRANOTE' } as const;
        expect(await store.recordOutcome(outcomeOf(answerId, owner))).toBe(true);
        expect(await read()).toMatchObject({
          place: 2,
          probability: document.causes[1]!.probability,
          note: 'ZEBRANOTE',
        });
        expect(await allText()).not.toContain('ZEBRA');
        expect(await store.recordOutcome(outcomeOf(answerId, { version: 1 }))).toBe(true);
        expect(await read()).toMatchObject({ place: 1, source: 'moderator', version: 2, note: '' });
        expect(await store.recordOutcome(outcomeOf(answerId, { ...owner, version: 2 }))).toBe(false);
        expect(await store.recordOutcome(outcomeOf(answerId, { version: 1, now: 8 }))).toBe(false);
        expect(await read()).toMatchObject({ fault: faults[0], version: 2, at: 7 });
        expect(await ids(store, [`outcome-${faults[0]}`])).toEqual([answerId]);
      }),
    );

    it(
      'are counted by probability, fault and community, also after their conversation was erased',
      withStore(async ({ store }) => {
        const before = await store.countByFault(null);
        const casesBefore = before.reduce((sum, { cases }) => sum + cases, 0);
        const posts = [newPost(), newPost(), newPost({ channel: 'forum' })];
        for (const [index, fault] of [faults[0]!, faults[1]!, 'never-ranked'].entries()) {
          const { answerId } = await answered(store, posts[index]!, 1);
          await store.recordOutcome(outcomeOf(answerId, { fault }));
        }
        const { answerId } = await answered(store, newPost(), 1);
        await store.recordOutcome(outcomeOf(answerId, { result: 'not-fixed', fault: null }));
        const check = async () => {
          const steps = await store.countByProbability(['web']);
          const stated = document.causes[0]!.probability;
          const step = steps.find((one) => one.step === Math.min(9, Math.floor(stated * 10)))!;
          expect(step).toMatchObject({ cases: 2, first: 1, three: 2 });
          expect(step.stated).toBeCloseTo(2 * stated, 9);
          expect((await store.countByFault(null)).reduce((sum, { cases }) => sum + cases, 0)).toBe(casesBefore + 3);
          expect(await store.countByFault(['forum'])).toMatchObject([{ fault: 'never-ranked', first: 0, three: 0 }]);
          expect(await store.countByCommunity(null)).toMatchObject([
            { community: 'forum', cases: 1, first: 0 },
            { community: 'web', cases: 2, first: 1, three: 2 },
          ]);
        };
        await check();
        for (const post of posts) await store.eraseConversation(post.channel, post.conversation, 9);
        await check();
        expect(await store.readOutcome('web', posts[0]!.conversation)).toBeNull();
      }),
    );

    it(
      'bring up settled cases of the same community that are like a new one',
      withStore(async ({ store }) => {
        const settle = async (likeness: string[], parts: Partial<Post> = {}, more: Partial<NewOutcome> = {}) => {
          const { answerId } = await answered(store, newPost(parts), 1);
          await store.recordOutcome(outcomeOf(answerId, { likeness, ...more }));
          return answerId;
        };
        const near = await settle(['p0171', 'rough-idle', 'v-6']);
        const far = await settle(['p0171', 'black-smoke', 'stall', 'hard-start']);
        await settle(['p0171', 'rough-idle', 'v-6'], { channel: 'forum' });
        await settle(['p0171', 'rough-idle', 'v-6'], {}, { result: 'unknown', fault: null });
        await settle(['p0300']);
        const own = newPost();
        const { answerId } = await answered(store, own, 2);
        await store.recordOutcome(outcomeOf(answerId, { likeness: ['p0171'] }));
        const like = {
          channel: 'web',
          conversation: own.conversation,
          terms: ['rough-idle', 'p0171', 'v-6'],
          limit: 5,
        };
        const found = await store.listSettled(like);
        expect(found.map((one) => one.answerId)).toEqual([near, far]);
        expect(found[0]!.shared.toSorted()).toEqual(['p0171', 'rough-idle', 'v-6']);
        expect(found[1]!.shared).toEqual(['p0171']);
        expect(await store.listSettled({ ...like, terms: [] })).toEqual([]);
      }),
    );
  });

  describe(`${name}: asking owners`, () => {
    it(
      'asks once, takes the answer or the wish not to be asked, and asks nobody again who wished that',
      withStore(async ({ store }) => {
        const post = newPost({ author: 'asked once' });
        const { answerId, postId } = await answered(store, post, 100);
        await answered(store, newPost({ channel: 'api' }), 100);
        const settledPost = newPost();
        const settled = await answered(store, settledPost, 100);
        await store.recordOutcome({
          answerId: settled.answerId,
          source: 'helper',
          who: 'Ana',
          result: 'not-fixed',
          fault: null,
          note: '',
          version: 0,
          terms: [],
          likeness: [],
          now: 101,
        });
        const due = () => store.listOutcomeCandidates(50, 150, ['web'], 10);
        const [candidate, ...others] = await due();
        expect([candidate?.answerId, others]).toEqual([answerId, []]);
        const question = messageFor(post, postId, { kind: 'reply', postId: null });
        expect(await store.askOutcome(candidate!, 'hash-1', question, 200)).toBe(true);
        expect(await store.askOutcome(candidate!, 'hash-2', { ...question, marker: 'm2' }, 201)).toBe(false);
        expect(await due()).toEqual([]);
        expect((await store.readOutcomeRequest('hash-1'))?.answer.answerId).toBe(answerId);
        expect(await store.readOutcomeRequest('hash-2')).toBeNull();
        const entries = await store.readConversation(post.channel, post.conversation, 9);
        expect(entries.filter(({ kind }) => kind === 'reply')).toHaveLength(2);
        expect(await store.closeOutcomeRequest('hash-1', 'declined', 300)).toBe(true);
        expect(await store.closeOutcomeRequest('hash-1', 'answered', 301)).toBe(false);
        expect(await store.readOutcomeRequest('hash-1')).toBeNull();
        await answered(store, newPost({ author: 'asked once' }), 120);
        expect(await due()).toEqual([]);
        await answered(store, newPost({ author: 'another' }), 130);
        expect(await due()).toHaveLength(1);
      }),
    );

    it(
      'waits for the last answer of a conversation, and asks nobody whose answer was withdrawn',
      withStore(async ({ store }) => {
        const post = newPost();
        await answered(store, post, 100);
        await answered(store, { ...newPost(), conversation: post.conversation, author: post.author }, 900);
        const wrong = newPost();
        const { answerId } = await answered(store, wrong, 100);
        const review = { answerId, version: 0, state: 'withdrawn', by: 'Cai', reason: 'x', message: null } as const;
        await store.reviewAnswer({ ...review, now: 101 });
        expect(await store.listOutcomeCandidates(0, 500, ['web'], 10)).toEqual([]);
        expect(await store.listOutcomeCandidates(0, 1000, ['web'], 10)).toHaveLength(1);
      }),
    );
  });

  describe(`${name}: reruns`, () => {
    const resultOf = (answerId: number, parts: Partial<RerunResult> = {}): RerunResult => ({
      answerId,
      wasCause: 'vacuum-leak',
      wasProbability: 0.6,
      nowCause: 'vacuum-leak',
      nowProbability: 0.5,
      fault: null,
      wasPlace: null,
      nowPlace: null,
      wasDriving: 'ok',
      nowDriving: 'ok',
      ...parts,
    });

    it(
      'go over the reviewed answers of their communities, piece by piece, from where they stopped',
      withStore(async ({ store }) => {
        const made: number[] = [];
        for (let at = 1; at <= 5; at += 1) {
          const { answerId } = await answered(store, newPost({ channel: at === 5 ? 'forum' : 'web' }), at);
          made.push(answerId);
          const review = { answerId, version: 0, state: 'standing', by: 'Cai', reason: '', message: null } as const;
          if (at !== 2) await store.reviewAnswer({ ...review, now: 9 });
        }
        const start = { who: 'Cai', communities: ['web'], knowledge: 'abc', now: 10 };
        const run = await store.startRerun(start);
        expect(run).toMatchObject({ state: 'running', total: 3, done: 0, communities: ['web'] });
        const piece = await store.nextOfRerun(run, 2);
        expect(piece.map(({ answerId }) => answerId)).toEqual([made[0], made[2]]);
        const results = [
          resultOf(made[0]!, { fault: 'vacuum-leak', wasPlace: 1, nowPlace: 4 }),
          resultOf(made[2]!, { nowCause: 'wrong-fuel', nowDriving: 'stop' }),
        ];
        expect(await store.saveRerunPiece(run, results, made[2]!, 2, 11)).toBe(true);
        expect(await store.saveRerunPiece(run, results, made[2]!, 2, 11)).toBe(false);
        const later = (await store.readRerun(run.rerunId))!;
        const rest = await store.nextOfRerun(later, 2);
        expect(rest.map(({ answerId }) => answerId)).toEqual([made[3]]);
        expect(await store.saveRerunPiece(later, [resultOf(made[3]!)], made[3]!, 3, 12)).toBe(true);
        expect(await store.readRerun(run.rerunId)).toMatchObject({ state: 'done', done: 3, finishedAt: 12 });
        expect((await store.listRerunResults(run.rerunId, 9, 0)).map(({ answerId }) => answerId)).toEqual([
          made[2],
          made[0],
          made[3],
        ]);
        expect(await store.sumRerun(run.rerunId)).toEqual({
          results: 3,
          moved: 1,
          driving: 1,
          settled: 1,
          wasFirst: 1,
          nowFirst: 0,
          wasThree: 1,
          nowThree: 0,
        });
        expect(await store.stopRerun(run.rerunId, 'Cai', 13)).toBe(false);
      }),
    );

    it(
      'can be stopped, and are done at once when there is nothing to do',
      withStore(async ({ store }) => {
        const start = { who: 'Cai', communities: null, knowledge: 'abc', now: 10 };
        expect(await store.startRerun(start)).toMatchObject({ state: 'done', total: 0 });
        const { answerId } = await answered(store, newPost(), 1);
        const review = { answerId, version: 0, state: 'standing', by: 'Cai', reason: '', message: null } as const;
        await store.reviewAnswer({ ...review, now: 9 });
        const run = await store.startRerun(start);
        expect(await store.stopRerun(run.rerunId, 'Dee', 20)).toBe(true);
        expect(await store.saveRerunPiece(run, [resultOf(answerId)], answerId, 1, 21)).toBe(false);
        expect(await store.listReruns(1)).toMatchObject([{ rerunId: run.rerunId, state: 'stopped' }]);
      }),
    );
  });

  describe(`${name}: people and periods`, () => {
    it(
      'lets people in by what the issuer calls them until that is taken back, sessions included',
      withStore(async ({ store }) => {
        const grant = {
          subject: 'https://issuer.test ida',
          name: 'Ida',
          role: 'moderator',
          communities: ['web'],
        } as const;
        await store.putGrant(grant, 1, '(command line)');
        expect(await store.readGrant(grant.subject)).toEqual({ name: 'Ida', role: 'moderator', communities: ['web'] });
        const { subject: _, ...session } = grant;
        await store.addSession({ ...session, tokenHash: 'ida', expiresAt: 999 }, 2, 'issuer');
        expect(await store.readSession('ida', 3, 100)).not.toBeNull();
        expect(await store.removeGrant(grant.subject, 4, '(command line)')).toBe(true);
        expect(await store.readSession('ida', 5, 100)).toBeNull();
        expect(await store.readGrant(grant.subject)).toBeNull();
        expect(await store.removeGrant(grant.subject, 6, '(command line)')).toBe(false);
        expect(await store.listGrants()).toEqual([]);
      }),
    );

    it(
      'hands out all of one writer and nothing of another',
      withStore(async ({ store }) => {
        const mine = [newPost({ author: 'me', text: 'my first' }), newPost({ author: 'me', text: 'my second' })];
        const shared = newPost({ author: 'someone else', conversation: mine[0]!.conversation, text: 'not mine' });
        const log = { name: 'drive.csv', type: 'text/csv', text: 'time,rpm' };
        for (const post of [{ ...mine[0]!, attachments: [log] }, mine[1]!, shared]) await answered(store, post, 5);
        const all = await store.exportPerson('web', 'me', 6, '(owner)');
        expect(all.posts.map(({ text }) => text)).toEqual(['my first', 'my second']);
        expect(all.posts.map(({ attachments }) => attachments)).toEqual([[log], []]);
        expect(all.answers).toHaveLength(2);
        expect(all.answers[0]!.document.causes).toEqual(document.causes);
        expect(all.messages).toHaveLength(2);
        expect(JSON.stringify(all)).not.toContain('not mine');
        const entries = await store.listAudit({ before: null, about: null }, 1);
        expect(entries[0]).toMatchObject({ act: 'export', who: '(owner)', details: { posts: 2 } });
        expect((await store.exportPerson('web', 'nobody', 6, 'Cai')).posts).toEqual([]);
      }),
    );

    it(
      'erases conversations without a word for too long, and what could not be delivered',
      withStore(async ({ store }) => {
        const [old, kept] = [newPost(), newPost()];
        await answered(store, old, 100);
        await answered(store, kept, 100);
        await answered(store, { ...newPost(), conversation: kept.conversation }, 500);
        const limits = { messagesBefore: 0, auditBefore: 0, tombstonesBefore: 0, most: 10, now: 1000 };
        const done = await store.eraseOld({ ...limits, conversationsBefore: 500 });
        expect(done).toMatchObject({ conversations: 1, messages: 0, audit: 0 });
        expect(await store.readConversation('web', old.conversation, 5)).toEqual([]);
        expect(await store.readConversation('web', kept.conversation, 9)).toHaveLength(4);
        expect((await store.acceptPost(old, 1001, 0)).postId).toBeNull();
        expect((await store.verifyAudit(null)).wrong).toBeNull();
      }),
    );

    it(
      'erases a conversation with all that the bay kept of it, down to the raw database',
      withStore(async ({ store, allText }) => {
        const post = newPost({ conversation: 'ZEBRACONVERSATION', author: 'ZEBRAAUTHOR' });
        const { answerId, postId } = await answered(store, post, 1);
        const { conversation } = post;
        await store.reviseAnswer({
          answerId,
          version: 0,
          caseVersion: 1,
          by: 'Cai',
          reason: 'ZEBRAREASON',
          changes: [{ was: document.findings[0]!, becomes: null }],
          document,
          next: { ...emptyCase, posts: 1 },
          message: messageFor(post, postId, { kind: 'correction' }),
          terms: ['zebraterm'],
          now: 2,
        });
        const [candidate] = await store.listOutcomeCandidates(0, 9, ['web'], 1);
        await store.askOutcome(candidate!, 'zebrahash', messageFor(post, postId, { kind: 'helper-reply' }), 3);
        await store.recordOutcome({
          answerId,
          source: 'moderator',
          who: 'Cai',
          result: 'fixed',
          fault: document.causes[0]!.fault,
          note: 'ZEBRANOTE',
          version: 0,
          terms: ['zebraterm'],
          likeness: ['zebralike'],
          now: 4,
        });
        const run = await store.startRerun({ who: 'Cai', communities: null, knowledge: 'abc', now: 5 });
        expect(run.total).toBe(1);
        expect(await allText()).toMatch(/ZEBRACONVERSATION/);
        expect(await allText()).toMatch(/zebraterm/);
        await store.eraseConversation('web', conversation, 6, 'Cai');
        expect(await allText()).not.toMatch(/zebra/i);
        expect((await store.verifyAudit(null)).wrong).toBeNull();
      }),
    );

    it(
      'does the housekeeping of an hour once',
      withStore(async ({ store }) => {
        const all = await Promise.all([1, 2, 3].map(() => store.claimHousekeeping(10_000_000, 1000)));
        expect(all.filter(Boolean)).toHaveLength(1);
        expect(await store.claimHousekeeping(10_000_999, 1000)).toBe(false);
        expect(await store.claimHousekeeping(10_001_000, 1000)).toBe(true);
        // The clock was set back: the mark lies ahead of it.
        expect(await store.claimHousekeeping(5_000_000, 1000)).toBe(true);
      }),
    );
  });
}
