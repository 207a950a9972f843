// The front door on one machine: `npm run start`, and `npm run demo` with the scenario. It chooses SQLite, the real clock and
// chance, and stops gracefully.
import { realpathSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { pathToFileURL } from 'node:url';
import { serve } from '@hono/node-server';
import { answerPost } from './answer.ts';
import { createApp } from './app.ts';
import { apiChannelName } from './channels/api/api.ts';
import { type Channel, fetchedChannel } from './channels/channel.ts';
import { webChat } from './channels/web/web-chat.tsx';
import { resvgOnNode } from './imaging/resvg-on-node.ts';
import { KnowledgeMistakes, loadKnowledgeFolder } from './knowledge/load-folder.ts';
import { bay } from './review/bay.tsx';
import { describeError, type Log, makeLog } from './serving/log.ts';
import { addSignInLink } from './serving/sign-in-link.ts';
import { readSettings, type Settings } from './settings.ts';
import { openStore } from './store/sqlite/open-store.ts';
import type { Role } from './store/store.ts';
import type { Post } from './vocabulary/post.ts';
import { Problem } from './vocabulary/problems.ts';

export interface RunningProgram {
  /** Where it listens. */
  readonly address: string;
  readonly submit: (post: Post) => Promise<number>;
  /** Address with which a person comes into the bay once, within an hour. */
  readonly signInLink: (name: string, role: Role) => Promise<string>;
  /** Stops taking requests, ends those that run, closes the database. */
  readonly stop: () => Promise<void>;
}

const sweepEveryMs = 1000;
/** How long running requests may take to end when the program stops [ms]. */
const stopPatienceMs = 8000;

/** Starts the program. @throws Problem or KnowledgeMistakes with what the person who starts it must change */
export async function startNode(settings: Settings, log: Log): Promise<RunningProgram> {
  const knowledge = loadKnowledgeFolder();
  const { store, applied, copy, developmentKey } = await openStore(settings.database, settings.key);
  if (applied.length > 0) log.info('database migrated', { applied, copy });
  if (developmentKey !== null) log.warn('development key in use: set CROSSCOUNT_KEY before real people write');
  const clock = () => Date.now() + settings.clockOffsetMs;
  let stopping = false;
  const app = createApp({
    store,
    knowledge,
    answer: answerPost,
    clock,
    newId: () => crypto.randomUUID(),
    random: Math.random,
    sleep: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
    log,
    channels: channelsOf(settings),
    pages: { chat: webChat, bay },
    secureCookies: settings.secureCookies,
    renderPng: resvgOnNode(),
    isStopping: () => stopping,
  });

  let sweep: Promise<void> = Promise.resolve();
  let sweeping = false;
  const sweeper = setInterval(() => {
    if (sweeping) return;
    sweeping = true;
    sweep = app
      .sweep()
      .catch((error: unknown) => log.error('sweep failed', describeError(error)))
      .finally(() => {
        sweeping = false;
      });
  }, sweepEveryMs);

  const { server, port } = await listen(app.fetch, settings);
  const host = settings.host.includes(':') ? `[${settings.host}]` : settings.host;
  const address = settings.address ?? `http://${host}:${port}`;
  log.info('listening', { address, knowledge: knowledge.version });

  return {
    address,
    submit: app.submit,
    signInLink: (name, role) => addSignInLink(store, name, role, address, clock()),
    async stop() {
      if (stopping) return;
      stopping = true;
      clearInterval(sweeper);
      const closed = new Promise<void>((resolve) => server.close(() => resolve()));
      // A connection that served a request meanwhile has gone idle since: again and again, until none is left.
      const idle = setInterval(() => 'closeIdleConnections' in server && server.closeIdleConnections(), 50);
      const impatient = setTimeout(
        () => 'closeAllConnections' in server && server.closeAllConnections(),
        stopPatienceMs,
      );
      await closed;
      clearInterval(idle);
      clearTimeout(impatient);
      await sweep;
      await app.stop();
      await store.close();
      log.info('stopped');
    },
  };
}

function channelsOf(settings: Settings): Channel[] {
  return [
    fetchedChannel('web'),
    fetchedChannel(apiChannelName),
    fetchedChannel('demo'),
    ...Object.entries(settings.channelsOff).map(([name, offBecause]) => ({ ...fetchedChannel(name), offBecause })),
  ];
}

function listen(fetch: (request: Request) => Promise<Response>, settings: Settings) {
  return new Promise<{ server: ReturnType<typeof serve>; port: number }>((resolve, reject) => {
    const server = serve(
      {
        async fetch(request) {
          const response = await fetch(request);
          // The rest of a body that was not read would be taken for the next request of the connection.
          if (response.status === 413) response.headers.set('Connection', 'close');
          return response;
        },
        hostname: settings.host,
        port: settings.port,
        // A body that drips in, or headers that never end, are cut within 15 s.
        serverOptions: {
          requestTimeout: 12_000,
          headersTimeout: 8_000,
          connectionsCheckingInterval: 2_000,
          keepAliveTimeout: 5_000,
        },
      },
      (info: AddressInfo) => resolve({ server, port: info.port }),
    );
    server.once('error', (error: NodeJS.ErrnoException) =>
      reject(
        new Problem(
          'unavailable',
          `cannot listen on ${settings.host}:${settings.port} (${error.code ?? 'refused'}): set HOST and PORT`,
          {
            cause: error,
          },
        ),
      ),
    );
  });
}

async function main(): Promise<void> {
  const read = readSettings(process.env);
  if ('mistakes' in read) {
    process.stderr.write(`${read.mistakes.join('\n')}\n`);
    process.exitCode = 2;
    return;
  }
  const log = makeLog();
  const program = await startNode(read.settings, log);
  process.stdout.write(`crosscount is at ${program.address}\n`);
  let asked = false;
  const stop = () => {
    // A second signal does not wait.
    if (asked) process.exit(1);
    asked = true;
    void program.stop().catch((error: unknown) => log.error('stopping failed', describeError(error)));
  };
  process.once('SIGTERM', stop);
  process.on('SIGINT', stop);
  if (process.argv.includes('--demo')) {
    const { seedDemo } = await import('../demo/seed.ts');
    const conversations = await seedDemo(program.submit);
    process.stdout.write(`the demo scenario is in: ${conversations} conversations\n`);
    for (const [name, role] of [
      ['Demo helper', 'helper'],
      ['Demo moderator', 'moderator'],
    ] as const)
      process.stdout.write(`sign in once as ${role}: ${await program.signInLink(name, role)}\n`);
  }
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(realpathSync(process.argv[1])).href) {
  try {
    await main();
  } catch (error) {
    const known = error instanceof Problem || error instanceof KnowledgeMistakes;
    process.stderr.write(`crosscount cannot start: ${known ? error.message : JSON.stringify(describeError(error))}\n`);
    process.exit(1);
  }
}
