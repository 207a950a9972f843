// How long the bay's pages take with few and with many stored cases: server time of each page, median of repeated requests, and
// the ratio between the two. Run with `npx tsx tests/bench/bay.bench.ts [few] [many]`; filling 100,000 cases takes minutes.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { hashToken, newToken } from '../../src/pages/tokens.ts';
import { bay } from '../../src/review/bay.tsx';
import { type BayDeps, plainBay } from '../../src/review/bay-deps.ts';
import type { BayStore } from '../../src/store/bay-store.ts';
import { openSqlStore } from '../../src/store/sql/sql-store.ts';
import { migrate } from '../../src/store/sqlite/migrate.ts';
import { openSqlite } from '../../src/store/sqlite/sqlite-connection.ts';
import { openVault } from '../../src/store/vault.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';
import { likenessTerms, searchTerms } from '../../src/vocabulary/search-terms.ts';
import { aVisitor, hiddenFields, mounted } from '../a-visitor.ts';
import { exampleDocument } from '../an-answer.ts';
import { exampleAnswer, examplePost } from '../example-answer.ts';

const knowledge = loadKnowledgeFolder();
const faults = knowledge.faults.map(({ id }) => id);
const shortDocument = {
  ...exampleDocument,
  findings: exampleDocument.findings.slice(0, 3),
  derived: [],
  plan: [],
  questions: [],
  where: [],
  cautions: [],
  explanations: [],
  together: [],
};
const atOnce = 250;
const rounds = 21;
const start = 1_800_000_000_000;

/** One case: every fiftieth waits for a person, every tenth was reviewed, every twentieth is settled. */
async function fillOne(store: BayStore, index: number): Promise<void> {
  const channel = ['web', 'slack', 'forum'][index % 3]!;
  const conversation = `c${index}`;
  const now = start + index * 1000;
  const post = { eventId: `e${index}`, channel, conversation, author: `a${index}`, text: examplePost, callerId: null };
  const { postId } = await store.acceptPost(post, now, 60_000);
  const first = exampleDocument.causes[0]!;
  // Most documents are short, so that filling takes minutes and not an hour; the case that is measured is a whole one.
  const document = {
    ...(index % 500 === 0 ? exampleDocument : shortDocument),
    driving: index % 97 === 0 ? ('stop' as const) : ('ok' as const),
    causes: [{ ...first, fault: faults[index % faults.length]! }, ...exampleDocument.causes.slice(1)],
  };
  const saved = await store.saveTurn({
    postId: postId!,
    revisedAt: 0,
    state: 'answered',
    caseVersion: 0,
    next: { ...emptyCase, posts: 1 },
    document,
    danger: index % 101,
    helperWanted: index % 50 === 0,
    message: { channel, conversation, postId, kind: 'reply', text: 'x', markdown: 'x', marker: `m${index}` },
    now,
  });
  const { answerId } = saved!;
  const review = { answerId, version: 0, state: 'standing', by: 'Ada', reason: '', message: null, now } as const;
  if (index % 10 === 0) await store.reviewAnswer(review);
  if (index % 20 === 0)
    await store.recordOutcome({
      answerId,
      source: 'moderator',
      who: 'Ada',
      result: 'fixed',
      fault: index % 40 === 0 ? document.causes[0]!.fault : faults[(index * 7) % faults.length]!,
      note: '',
      version: 0,
      terms: searchTerms(document),
      likeness: likenessTerms(document),
      now,
    });
}

async function measure(cases: number): Promise<Map<string, number>> {
  const folder = mkdtempSync(join(tmpdir(), 'crosscount-bench-'));
  const connection = openSqlite(join(folder, 'store.sqlite'));
  await migrate(connection.database, null);
  const store = await openSqlStore(connection, await openVault(new Uint8Array(32).fill(3)));
  // While filling, the disk need not keep up.
  connection.database.pragma('synchronous = OFF');
  const filled = performance.now();
  for (let at = 0; at < cases; at += atOnce)
    await Promise.all(
      Array.from({ length: Math.min(atOnce, cases - at) }, (_, index) => fillOne(store, at + index + 1)),
    );
  connection.database.pragma('synchronous = FULL');
  process.stderr.write(`${cases} cases filled in ${Math.round((performance.now() - filled) / 1000)} s\n`);
  const now = start + cases * 1000 + 60_000;
  const deps: BayDeps = {
    store,
    knowledge,
    clock: () => now,
    submit: async () => 0,
    secureCookies: false,
    answer: exampleAnswer,
    ...plainBay,
  };
  const visitor = aVisitor(mounted('/bay', bay, deps));
  const token = newToken();
  const link = { name: 'Ada', role: 'moderator', communities: null, expiresAt: now + 60_000 } as const;
  await store.addSignInLink({ ...link, tokenHash: await hashToken(token) });
  await visitor.post('/bay/sign-in', { token });
  const middle = Math.floor(cases / 2);
  const pages: Record<string, () => Promise<{ status: number }>> = {
    'waiting posts': () => visitor.get('/bay/queue'),
    'waiting posts of one community': () => visitor.get('/bay/queue?community=forum&driving=stop'),
    'log, newest first': () => visitor.get('/bay/answers'),
    'log, from the middle': () => visitor.get(`/bay/answers?from=${middle}`),
    'log, most dangerous first': () => visitor.get('/bay/answers?order=danger'),
    'log, to be looked at': () => visitor.get('/bay/answers?look=due'),
    'log, one community, corrected': () => visitor.get('/bay/answers?community=slack&review=corrected'),
    'search, a term of all': () => visitor.get('/bay/answers?words=p0171'),
    'search, a term of one in fifty': () => visitor.get(`/bay/answers?words=${faults[3]}`),
    'search, a settled outcome': () => visitor.get(`/bay/answers?words=outcome-${faults[5]}`),
    'search, a term of none': () => visitor.get('/bay/answers?words=p0171+zzz'),
    'words of posts, no hit': () => visitor.get('/bay/answers?in=posts&community=web&words=nowhere'),
    'one case': () => visitor.get(`/bay/answers/${Math.max(500, middle - (middle % 500))}`),
    'how often right': () => visitor.get('/bay/calibration'),
    records: () => visitor.get('/bay/records'),
    reruns: () => visitor.get('/bay/reruns'),
    'taking and giving back': async () => {
      const path = '/bay/answers/50';
      const page = await visitor.get(path);
      await visitor.post(`${path}/take`, hiddenFields(page.text, `${path}/take`));
      const taken = await visitor.get(path);
      return visitor.post(`${path}/give-back`, hiddenFields(taken.text, `${path}/give-back`));
    },
  };
  const times = new Map<string, number>();
  for (const [name, load] of Object.entries(pages)) {
    const taken: number[] = [];
    for (let round = 0; round < rounds; round += 1) {
      const before = performance.now();
      const { status } = await load();
      taken.push(performance.now() - before);
      if (status >= 400) throw new Error(`${name} answered ${status}`);
    }
    times.set(name, taken.sort((a, b) => a - b)[Math.floor(rounds / 2)]!);
  }
  await store.close();
  rmSync(folder, { recursive: true, force: true });
  return times;
}

const few = Number(process.argv[2] ?? 1000);
const many = Number(process.argv[3] ?? 100_000);
const withFew = await measure(few);
const withMany = await measure(many);
process.stdout.write(
  `${'page, median server time [ms]'.padEnd(36)} ${String(few).padStart(8)} ${String(many).padStart(8)}  ratio\n`,
);
for (const [name, time] of withFew) {
  const much = withMany.get(name)!;
  process.stdout.write(
    `${name.padEnd(36)} ${time.toFixed(1).padStart(8)} ${much.toFixed(1).padStart(8)}  ${(much / time).toFixed(2)}\n`,
  );
}
