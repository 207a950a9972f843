// Starts the program as its users do, for the tests of this folder: the Node program as a child process, the worker in its real
// local runtime with D1. Both listen on a free port of this machine.
import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { Miniflare } from 'miniflare';
import { openD1 } from '../../src/store/d1/d1-connection.ts';
import { openSqlStore } from '../../src/store/sql/sql-store.ts';
import type { Store } from '../../src/store/store.ts';
import { openVault } from '../../src/store/vault.ts';
import { fromBase64 } from '../../src/vocabulary/base64.ts';
import { migrateD1 } from '../store/migrate-d1.ts';

export const projectFolder = fileURLToPath(new URL('../..', import.meta.url));
export const testKey = 'MDEyMzQ1Njc4OWFiY2RlZjAxMjM0NTY3ODlhYmNkZWY=';

export interface Program {
  readonly address: string;
  readonly stop: () => Promise<void>;
}

export interface NodeProgram extends Program {
  readonly process: ChildProcess;
  /** Everything it has printed. */
  readonly printed: () => string;
  /** Resolves with the exit code, null when it was killed. */
  readonly ended: Promise<number | null>;
}

/** A folder that is gone after the test. */
export function temporaryFolder(): { path: string; remove: () => void } {
  const path = mkdtempSync(join(tmpdir(), 'crosscount-runtime-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

/** Runs one of the programs of src/ with nothing in its environment but what is given. */
export function runNode(
  file: string,
  words: readonly string[],
  environment: Record<string, string>,
): Omit<NodeProgram, 'address' | 'stop'> {
  const child = spawn(process.execPath, ['--import', 'tsx', join(projectFolder, file), ...words], {
    cwd: projectFolder,
    env: { PATH: process.env.PATH ?? '', ...environment },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let printed = '';
  child.stdout.on('data', (chunk: Buffer) => {
    printed += chunk.toString('utf8');
  });
  child.stderr.on('data', (chunk: Buffer) => {
    printed += chunk.toString('utf8');
  });
  const ended = new Promise<number | null>((resolve) => child.once('close', (code) => resolve(code)));
  return { process: child, printed: () => printed, ended };
}

/** Starts src/node.ts on a free port. @throws with what it printed when it ends instead of listening */
export async function startNodeProgram(
  environment: Record<string, string>,
  words: readonly string[] = [],
): Promise<NodeProgram> {
  const program = runNode('src/node.ts', words, { PORT: '0', CROSSCOUNT_KEY: testKey, ...environment });
  let over = false;
  void program.ended.then(() => {
    over = true;
  });
  const deadline = Date.now() + 60_000;
  while (Date.now() < deadline && !over) {
    const address = /^crosscount is at (\S+)$/m.exec(program.printed())?.[1];
    if (address !== undefined)
      return {
        ...program,
        address,
        async stop() {
          program.process.kill('SIGTERM');
          await program.ended;
        },
      };
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  program.process.kill('SIGKILL');
  throw new Error(`the program does not listen:\n${program.printed()}`);
}

export interface WorkerProgram extends Program {
  /** Runs the scheduled handler once. */
  readonly runSchedule: () => Promise<string>;
  /** The store on the worker's own database, beside the worker. */
  readonly store: Store;
}

let bundled: Promise<ModuleDefinition[]> | null = null;

type ModuleDefinition = { type: 'ESModule' | 'CompiledWasm' | 'Data'; path: string; contents: string | Uint8Array };

/** Bundles the worker once, by the deploying tool without deploying: its script first, then the files that it imports. */
function bundleWorker(): Promise<ModuleDefinition[]> {
  bundled ??= (async () => {
    const { path, remove } = temporaryFolder();
    try {
      await promisify(execFile)(
        process.execPath,
        [join(projectFolder, 'node_modules/wrangler/bin/wrangler.js'), 'deploy', '--dry-run', '--outdir', path],
        {
          cwd: projectFolder,
          env: { ...process.env, CI: 'true', WRANGLER_SEND_METRICS: 'false' },
        },
      );
      const kinds = { wasm: 'CompiledWasm', ttf: 'Data' } as const;
      return [
        { type: 'ESModule', path: 'worker.js', contents: readFileSync(join(path, 'worker.js'), 'utf8') },
        ...readdirSync(path).flatMap((file): ModuleDefinition[] => {
          const type = kinds[file.split('.').at(-1) as keyof typeof kinds];
          return type ? [{ type, path: file, contents: readFileSync(join(path, file)) }] : [];
        }),
      ];
    } finally {
      remove();
    }
  })();
  return bundled;
}

export interface WorkerOptions {
  /** With the queues of wrangler.toml; without them the sweep alone works what was accepted. */
  readonly queues?: boolean;
  /** Answers what the worker fetches; nothing ever leaves the machine. */
  readonly outside?: (request: Request) => Promise<Response>;
}

export async function startWorker(
  bindings: Record<string, string> = {},
  { queues = false, outside }: WorkerOptions = {},
): Promise<WorkerProgram> {
  const runtime = new Miniflare({
    modules: await bundleWorker(),
    compatibilityDate: '2026-04-26',
    compatibilityFlags: ['nodejs_compat'],
    d1Databases: { DB: 'runtime' },
    ...(queues
      ? {
          queueProducers: { POSTS: 'crosscount-posts' },
          queueConsumers: {
            'crosscount-posts': {
              maxBatchSize: 10,
              maxBatchTimeout: 0,
              maxRetries: 2,
              retryDelay: 0,
              deadLetterQueue: 'crosscount-dead',
            },
            'crosscount-dead': { maxBatchSize: 10, maxBatchTimeout: 0 },
          },
        }
      : {}),
    bindings: { CROSSCOUNT_KEY: testKey, CROSSCOUNT_ADDRESS: 'http://127.0.0.1', ...bindings },
    host: '127.0.0.1',
    port: 0,
    cf: false,
    // Nothing may leave the machine.
    outboundService: (async (request: Request) =>
      outside ? outside(request) : new Response('no network in tests', { status: 599 })) as never,
  });
  const database = (await runtime.getD1Database('DB')) as unknown as D1Database;
  await migrateD1(database);
  const address = (await runtime.ready).href.replace(/\/$/, '');
  return {
    address,
    store: await openSqlStore(openD1(database), await openVault(fromBase64(testKey))),
    runSchedule: async () => (await (await runtime.getWorker()).scheduled({ cron: '* * * * *' })).outcome,
    stop: () => runtime.dispose(),
  };
}
