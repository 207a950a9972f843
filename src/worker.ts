// The front door on the Workers runtime: the same routes with D1. wrangler.toml declares it; the sweep runs every minute.
import pictureFont from '@expo-google-fonts/inter/500Medium/Inter_500Medium.ttf';
import pictureEngine from '@resvg/resvg-wasm/index_bg.wasm';
import bundle from 'knowledge-bundle';
import { answerPost } from './answer.ts';
import { type App, createApp } from './app.ts';
import { apiChannelName } from './channels/api/api.ts';
import { fetchedChannel } from './channels/channel.ts';
import { webChat } from './channels/web/web-chat.tsx';
import { resvgOnWorkers } from './imaging/resvg-on-workers.ts';
import { assembleKnowledge, type KnowledgeEntries } from './knowledge/knowledge.ts';
import { bay } from './review/bay.tsx';
import { setUpIssuer } from './review/set-up-issuer.ts';
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
}

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
  return createApp({
    store: await openSqlStore(openD1(environment.DB), vault),
    knowledge,
    answer: answerPost,
    clock: () => Date.now() + settings.clockOffsetMs,
    newId: () => crypto.randomUUID(),
    random: Math.random,
    sleep: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
    log,
    channels: [
      fetchedChannel('web'),
      fetchedChannel(apiChannelName),
      ...Object.entries(settings.channelsOff).map(([name, offBecause]) => ({ ...fetchedChannel(name), offBecause })),
    ],
    pages: { chat: webChat, bay },
    bay: { trial: null, issuer: setUpIssuer(settings.values, Date.now), address: () => settings.address },
    secureCookies: settings.secureCookies,
    renderPng: resvgOnWorkers(pictureEngine, pictureFont),
    isStopping: () => false,
  });
}

export default {
  async fetch(request, environment): Promise<Response> {
    try {
      return await (await appFor(environment)).fetch(request);
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
} satisfies ExportedHandler<Environment>;
