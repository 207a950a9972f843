// The store suite on D1, in its real local runtime, with the same migration files.
import { Miniflare } from 'miniflare';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeCourier } from '../../src/delivery.ts';
import { makeLog } from '../../src/serving/log.ts';
import { openD1 } from '../../src/store/d1/d1-connection.ts';
import type { SqlConnection } from '../../src/store/sql/connection.ts';
import { openSqlStore } from '../../src/store/sql/sql-store.ts';
import type { OutboxMessage } from '../../src/store/store.ts';
import { openVault } from '../../src/store/vault.ts';
import { acceptPost, submitPost, workWaiting } from '../../src/turn.ts';
import { anAnswer, smallKnowledge } from '../an-answer.ts';
import { baySuite } from './bay-suite.ts';
import { changesSuite } from './changes-suite.ts';
import { channelRecordsSuite } from './channel-records-suite.ts';
import { migrateD1 } from './migrate-d1.ts';
import { storeSuite } from './store-suite.ts';

const tables = [
  'rerun_results',
  'reruns',
  'grants',
  'outcome_requests',
  'revisions',
  'outcomes',
  'past_outcomes',
  'answer_search',
  'settled_search',
  'settings',
  'body_keys',
  'posts',
  'cases',
  'answers',
  'messages',
  'sign_in_links',
  'sessions',
  'tombstones',
  'channel_records',
  'attachments',
  'deliveries',
];

let runtime: Miniflare;
let database: D1Database;

beforeAll(async () => {
  runtime = new Miniflare({
    modules: true,
    script: 'export default { fetch() { return new Response("") } }',
    compatibilityDate: '2026-04-26',
    d1Databases: { DB: 'store-suite' },
    cf: false,
  });
  database = (await runtime.getD1Database('DB')) as unknown as D1Database;
  await migrateD1(database);
});
afterAll(() => runtime.dispose());

const openForSuite = async () => {
  await database.batch(tables.map((table) => database.prepare(`DELETE FROM ${table}`)));
  const store = await openSqlStore(openD1(database), await openVault(new Uint8Array(32).fill(7)));
  return {
    store,
    allText: async () => {
      const all = await database.batch(tables.map((table) => database.prepare(`SELECT * FROM ${table}`)));
      return JSON.stringify(all.map((result) => result.results));
    },
    close: () => store.close(),
  };
};

storeSuite('D1', openForSuite);
changesSuite('D1', openForSuite);
channelRecordsSuite('D1', openForSuite);
baySuite('D1', openForSuite);

describe('the D1 connection', () => {
  it('answers a post with far fewer statements than an invocation may make', async () => {
    let statements = 0;
    const counting = openD1(database);
    const counted: SqlConnection = {
      ...counting,
      run: (statement) => {
        statements += 1;
        return counting.run(statement);
      },
      batch: (all) => {
        statements += all.length;
        return counting.batch(all);
      },
    };
    const store = await openSqlStore(counted, await openVault(new Uint8Array(32).fill(7)));
    const post = { eventId: 'count', channel: 'api', conversation: 'count', author: 'a', text: 'x', callerId: null };
    const postId = await submitPost(
      {
        store,
        knowledge: smallKnowledge,
        answer: anAnswer,
        clock: Date.now,
        newId: () => crypto.randomUUID(),
        sleep: async () => undefined,
        log: makeLog('silent'),
      },
      post,
    );
    expect(await store.readAnswerOfPost(postId)).not.toBeNull();
    // From: Cloudflare documentation, D1 limits: 50 queries an invocation on the free plan. Half of it leaves room for pages.
    expect(statements).toBeLessThanOrEqual(25);
  });

  it('calls its passing troubles `unavailable` and throws what is our own mistake', async () => {
    const failing = (message: string) =>
      openD1({
        prepare: () => ({
          bind: () => ({
            all: async () => {
              throw new Error(message);
            },
          }),
        }),
      } as unknown as D1Database).run({ sql: 'SELECT 1', parameters: [] });
    // From: Cloudflare documentation, D1, "Debug D1", list of errors that may be retried.
    for (const message of [
      'D1_ERROR: Network connection lost.',
      'D1 DB storage caused object to be reset.',
      'D1 DB reset because its code was updated.',
      'Cannot resolve D1 DB due to transient issue on remote node.',
      'D1 DB is overloaded. Requests queued for too long.',
    ])
      await expect(failing(message)).rejects.toMatchObject({ name: 'Problem', code: 'unavailable' });
    await expect(failing('D1_ERROR: near "SELEKT": syntax error')).rejects.toThrow('syntax error');
  });

  // From: Cloudflare documentation, D1, "Debug D1", errors that may be retried.
  it.each([
    ['before it took effect', 'D1_ERROR: Network connection lost.', false],
    ['after it took effect', 'D1 DB reset because its code was updated.', true],
  ])(
    'takes in, answers and delivers a post once when the n-th call is lost %s (%s)',
    async (_, message, applied) => {
      for (let n = 1; n <= 14; n += 1) {
        let calls = 0;
        const lose = async <Result>(work: () => Promise<Result>): Promise<Result> => {
          calls += 1;
          if (calls !== n) return work();
          if (applied) await work();
          throw new Error(message);
        };
        const wrapped = {
          prepare: (text: string) => ({
            bind: (...values: unknown[]) => {
              const bound = database.prepare(text).bind(...values);
              const run = bound.all.bind(bound);
              bound.all = ((): unknown => lose(run)) as never;
              return bound;
            },
          }),
          batch: (statements: D1PreparedStatement[]) => lose(() => database.batch(statements)),
        } as unknown as D1Database;
        const store = await openSqlStore(openD1(database), await openVault(new Uint8Array(32).fill(7)));
        const shaky = await openSqlStore(openD1(wrapped), await openVault(new Uint8Array(32).fill(7)));
        let now = Date.now();
        const deps = {
          store: shaky,
          knowledge: smallKnowledge,
          answer: anAnswer,
          clock: () => now,
          newId: () => crypto.randomUUID(),
          sleep: async () => undefined,
          log: makeLog('silent'),
        };
        const post = { ...lostPost, eventId: `${message} ${applied} ${n}`, conversation: `${message} ${applied} ${n}` };
        await acceptPost(deps, post).catch(() => acceptPost(deps, post));
        let sent = 0;
        const channel = {
          name: 'api',
          offBecause: null,
          send: async ({ conversation }: OutboxMessage) => {
            if (conversation === post.conversation) sent += 1;
            return { kind: 'sent' as const };
          },
          find: async () => (sent > 0 ? { kind: 'found' as const, platformId: null } : { kind: 'absent' as const }),
        };
        const courier = makeCourier({ ...deps, channels: [channel], random: () => 0 });
        for (let minute = 0; minute < 3; minute += 1) {
          await workWaiting(deps, 5).catch(() => undefined);
          await courier.deliver(5).catch(() => undefined);
          now += 60_000;
        }
        const { waiting, due, failed } = await store.counts();
        expect({ n, waiting, due, failed, sent }).toEqual({ n, waiting: 0, due: 0, failed: 0, sent: 1 });
      }
    },
    120_000,
  );
});

const lostPost = { channel: 'api', author: 'a', text: 'x', callerId: null };
