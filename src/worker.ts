// The front door on the Workers runtime: the same routes with D1, queues for what was accepted, and a sweep every minute that would
// do without them. wrangler.toml declares it.
import pictureFont from '@expo-google-fonts/inter/500Medium/Inter_500Medium.ttf';
import pictureEngine from '@resvg/resvg-wasm/index_bg.wasm';
import bundle from 'knowledge-bundle';
import { answerPost } from './answer.ts';
import { type App, createApp } from './app.ts';
import { apiChannelName } from './channels/api/api.ts';
import { fetchedChannel } from './channels/channel.ts';
import { webChat } from './channels/web/web-chat.tsx';
import { resvgOnWorkers } from './imaging/resvg-on-workers.ts';
import type { ConversationPlace } from './inbox.ts';
import { assembleKnowledge, type KnowledgeEntries } from './knowledge/knowledge.ts';
import { platforms } from './platforms.ts';
import { bay } from './review/bay.tsx';
import { setUpIssuer } from './review/set-up-issuer.ts';
import { clientAddress } from './serving/client-address.ts';
import { describeError, makeLog } from './serving/log.ts';
import { problemResponse } from './serving/problem-response.ts';
import { readSettings } from './settings.ts';
import { openD1 } from './store/d1/d1-connection.ts';
import { openSqlStore } from './store/sql/sql-store.ts';
import { openVault } from './store/vault.ts';
import { fromBase64 } from './vocabulary/base64.ts';
import { Problem } from './vocabulary/problems.ts';

interface Environment extends Record<string, unknown> {
  readonly DB: D1Database;
  /** Which conversations have work; left out, the sweep sees to them. */
  readonly POSTS?: Queue<ConversationPlace>;
}

/** The queue whose messages were tried in vain. */
const deadQueue = 'crosscount-dead';

const log = makeLog();
const knowledge = assembleKnowledge(bundle.entries as KnowledgeEntries, bundle.version);

/** One app an isolate; made again when making it failed. */
let made: Promise<App> | null = null;

function appFor(environment: Environment): Promise<App> {
  made ??= makeApp(environment).catch((error: unknown) => {
    made = null;
    throw error;
  });
  return made;
}

async function makeApp(environment: Environment): Promise<App> {
  const read = readSettings(environment);
  if ('mistakes' in read) throw new Problem('unavailable', `settings: ${read.mistakes.join(' ')}`);
  const { settings } = read;
  if (settings.key === null)
    throw new Problem('unavailable', 'settings: CROSSCOUNT_KEY is missing (wrangler secret put CROSSCOUNT_KEY).');
  const vault = await openVault(fromBase64(settings.key));
  const parts = {
    store: await openSqlStore(openD1(environment.DB), vault),
    knowledge,
    answer: answerPost,
    clock: () => Date.now() + settings.clockOffsetMs,
    newId: () => crypto.randomUUID(),
    sleep: (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms)),
    log,
    renderPng: resvgOnWorkers(pictureEngine, pictureFont),
  };
  const chat = platforms({ ...parts, settings });
  return createApp({
    ...parts,
    random: Math.random,
    channels: [fetchedChannel('web'), fetchedChannel(apiChannelName), ...chat.channels],
    platforms: chat.routes,
    // Work may not outlive the request that began it; the queue's consumer does it, or the sweep.
    handOn: {
      claims: () => false,
      async handOn({ channel, conversation }) {
        try {
          await environment.POSTS?.send({ channel, conversation });
        } catch (error) {
          log.warn('queue out of reach; the sweep will see to it', describeError(error));
        }
      },
    },
    // Whoever has not said where the program is reached has not said either that it is this machine alone.
    apiGuard:
      settings.isPublic || settings.address === null ? { key: settings.values.CROSSCOUNT_API_KEY ?? null } : null,
    pages: { chat: webChat, bay },
    bay: { trial: null, issuer: setUpIssuer(settings.values, Date.now), address: () => settings.address },
    secureCookies: settings.secureCookies,
    isStopping: () => false,
  });
}

export default {
  async fetch(request, environment, execution): Promise<Response> {
    try {
      const from = clientAddress(request.headers, request.headers.get('cf-connecting-ip') ?? undefined, 0);
      return await (await appFor(environment)).fetch(request, { from, execution });
    } catch (error) {
      const requestId = crypto.randomUUID();
      log.error('cannot serve', { requestId, ...describeError(error) });
      // What is wrong with the settings goes to the log; the outside learns that it is not its fault.
      return problemResponse(
        new Problem('unavailable', 'The program is not set up or its database is out of reach.'),
        requestId,
      );
    }
  },
  async scheduled(_event, environment): Promise<void> {
    await (await appFor(environment)).sweep();
  },
  async queue(batch, environment): Promise<void> {
    if (batch.queue === deadQueue) {
      log.error('queue messages given up; their posts wait for the sweep', { messages: batch.messages.length });
      return batch.ackAll();
    }
    const app = await appFor(environment);
    const worked = new Map<string, Promise<boolean>>();
    for (const message of batch.messages) {
      const name = JSON.stringify([message.body.channel, message.body.conversation]);
      const work =
        worked.get(name) ??
        app.work(message.body).then(
          () => true,
          (error: unknown) => {
            log.error('queued work failed', describeError(error));
            return false;
          },
        );
      worked.set(name, work);
      if (await work) message.ack();
      else message.retry();
    }
  },
} satisfies ExportedHandler<Environment, ConversationPlace>;
