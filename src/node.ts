// The front door on one machine: `npm run start`, and `npm run demo` with the scenario. It chooses SQLite, the real clock and
// chance, and stops gracefully.
import { realpathSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { pathToFileURL } from 'node:url';
import { serve } from '@hono/node-server';
import { answerPost } from './answer.ts';
import { answerApart } from './answer-apart.ts';
import { type App, createApp } from './app.ts';
import { apiChannelName } from './channels/api/api.ts';
import { type Channel, fetchedChannel } from './channels/channel.ts';
import type { SlackRoutesDeps } from './channels/slack/slack-deps.ts';
import { slackSocket } from './channels/slack/slack-socket.ts';
import { webChat } from './channels/web/web-chat.tsx';
import { resvgOnNode } from './imaging/resvg-on-node.ts';
import { KnowledgeMistakes, loadKnowledgeFolder } from './knowledge/load-folder.ts';
import { platforms } from './platforms.ts';
import { bay } from './review/bay.tsx';
import { setUpIssuer } from './review/set-up-issuer.ts';
import { clientAddress } from './serving/client-address.ts';
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

const warmUpPost = 'P0171, long-term trim +15 % at idle and +4 % at 2500 rpm, rough idle.';
const sweepEveryMs = 1000;
/** How long what was begun may take to end when the program stops [ms]. */
const stopPatienceMs = 8000;

/** Starts the program. @throws Problem or KnowledgeMistakes with what the person who starts it must change */
export async function startNode(settings: Settings, log: Log): Promise<RunningProgram> {
  const knowledge = loadKnowledgeFolder();
  const trialFolder = settings.values.CROSSCOUNT_TRIAL;
  const trial = trialFolder === undefined ? null : loadKnowledgeFolder(trialFolder);
  const { store, applied, copy, developmentKey } = await openStore(settings.database, settings.key);
  if (applied.length > 0) log.info('database migrated', { applied, copy });
  if (developmentKey !== null) log.warn('development key in use: set CROSSCOUNT_KEY before real people write');
  const clock = () => Date.now() + settings.clockOffsetMs;
  await store.releaseLeases();
  const apart = answerApart({ atOnce: (post, previous) => answerPost(post, previous, knowledge) });
  let stopping = false;
  const parts = {
    store,
    knowledge,
    answer: answerPost,
    clock,
    newId: () => crypto.randomUUID(),
    sleep: (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms)),
    log,
    renderPng: resvgOnNode(),
  };
  const chat = platforms({ ...parts, settings });
  let reachedAt = settings.address;
  let closeSocket = async () => {};
  const app = createApp({
    ...parts,
    answerApart: apart.answer,
    random: Math.random,
    channels: [...fetchedChannels(), ...chat.channels],
    platforms(inbox) {
      if (chat.socket) closeSocket = keepSocket(chat.socket(inbox));
      return chat.routes(inbox);
    },
    pages: { chat: webChat, bay },
    bay: { trial, issuer: setUpIssuer(settings.values, clock), address: () => reachedAt },
    secureCookies: settings.secureCookies,
    isStopping: () => stopping,
    apiGuard:
      settings.isPublic || settings.values.CROSSCOUNT_API_KEY !== undefined
        ? { key: settings.values.CROSSCOUNT_API_KEY ?? null }
        : null,
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

  const { server, port, idle } = await listen(app, settings);
  const host = settings.host.includes(':') ? `[${settings.host}]` : settings.host;
  const address = settings.address ?? `http://${host}:${port}`;
  reachedAt = address;
  // The first answer makes tables that all others use.
  void apart.answer({ id: 'warm-up', text: warmUpPost }, null).catch(() => undefined);
  log.info('listening', { address, knowledge: knowledge.version });

  return {
    address,
    submit: app.submit,
    signInLink: (name, role) => addSignInLink(store, name, role, address, clock()),
    async stop() {
      if (stopping) return;
      stopping = true;
      clearInterval(sweeper);
      const patience = new Promise<void>((resolve) => setTimeout(resolve, stopPatienceMs).unref());
      await closeSocket();
      // Still listening: /readyz says that it stops, and new posts are refused, while what was begun is ended.
      await Promise.race([Promise.all([app.stop(), idle()]), patience]);
      const closed = new Promise<void>((resolve) => server.close(() => resolve()));
      // A connection that served a request meanwhile has gone idle since: again and again, until none is left.
      const closing = setInterval(() => 'closeIdleConnections' in server && server.closeIdleConnections(), 50);
      await Promise.race([closed, patience]);
      if ('closeAllConnections' in server) server.closeAllConnections();
      await closed;
      clearInterval(closing);
      await Promise.race([sweep, patience]);
      await apart.stop();
      await store.close();
      log.info('stopped');
    },
  };
}

/** Opens Slack's socket, again and again until it stands. @returns closes it */
function keepSocket({ deps, appToken }: { deps: SlackRoutesDeps; appToken: string }): () => Promise<void> {
  let closed = false;
  const open = async (): Promise<(() => Promise<void>) | null> => {
    for (let attempt = 0; !closed; attempt += 1) {
      try {
        return await slackSocket(deps, appToken);
      } catch (error) {
        deps.log.warn('slack socket not open', { attempt, ...describeError(error) });
        await deps.sleep(Math.min(30_000, 1000 * 2 ** attempt));
      }
    }
    return null;
  };
  const opened = open();
  return async () => {
    closed = true;
    // A connection that is still being tried for is not waited for.
    const close = await Promise.race([opened, deps.sleep(2_000).then(() => null)]);
    await close?.();
  };
}

function fetchedChannels(): Channel[] {
  return [fetchedChannel('web'), fetchedChannel(apiChannelName), fetchedChannel('demo')];
}

function listen(app: App, settings: Settings) {
  let running = 0;
  let noneLeft = () => {};
  /** Resolves when no request runs. */
  const idle = () =>
    new Promise<void>((resolve) => {
      noneLeft = resolve;
      if (running === 0) resolve();
    });
  return new Promise<{ server: ReturnType<typeof serve>; port: number; idle: () => Promise<void> }>(
    (resolve, reject) => {
      const server = serve(
        {
          async fetch(request, { incoming }) {
            running += 1;
            try {
              const from = clientAddress(request.headers, incoming.socket.remoteAddress, settings.proxies);
              const response = await app.fetch(request, { from });
              // The rest of a body that was not read would be taken for the next request of the connection.
              if (response.status === 413) response.headers.set('Connection', 'close');
              return response;
            } finally {
              running -= 1;
              if (running === 0) noneLeft();
            }
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
        (info: AddressInfo) => resolve({ server, port: info.port, idle }),
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
    },
  );
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
    void program
      .stop()
      .catch((error: unknown) => log.error('stopping failed', describeError(error)))
      // A sending that hangs would hold the process; its message is in the store.
      .finally(() => setTimeout(() => process.exit(), 200).unref());
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
