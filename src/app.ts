// The HTTP routes, the same for both runtimes. node.ts and worker.ts build it with their own store, clock and log; the tests
// with theirs. It holds what every request meets (ids, limits, headers, errors) and no rule of the trade.
import { Hono } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { secureHeaders } from 'hono/secure-headers';
import { drawPicture } from './advice/pictures/picture.ts';
import { makeBackground } from './background.ts';
import { api } from './channels/api/api.ts';
import type { Channel, Inbox } from './channels/channel.ts';
import type { WebDeps } from './channels/web/web-deps.ts';
import { type Courier, type DeliveryDeps, makeCourier } from './delivery.ts';
import type { RenderPng } from './imaging/render-png.ts';
import { admit, type ConversationPlace, type HandOn, makeInbox } from './inbox.ts';
import { type BayDeps, type BaySetUp, plainBay } from './review/bay-deps.ts';
import { bayHeaders } from './review/bay-headers.ts';
import { makeHousekeeper } from './review/housekeeping.ts';
import { outcomePages } from './review/outcome-acts.tsx';
import { describeError } from './serving/log.ts';
import { makeMetrics } from './serving/metrics.ts';
import { isOurMistake, problemResponse } from './serving/problem-response.ts';
import { makeRateLimits } from './serving/rate-limits.ts';
import type { BayStore } from './store/bay-store.ts';
import { submitPost, type TurnDeps, workConversation, workWaiting } from './turn.ts';
import type { Post } from './vocabulary/post.ts';
import { Problem } from './vocabulary/problems.ts';
import { programVersion } from './vocabulary/version.ts';

export interface AppDeps extends TurnDeps {
  readonly answer: BayDeps['answer'];
  /** The same job elsewhere, for posts, so that requests are not held up; left out, `answer` does it. */
  readonly answerApart?: TurnDeps['answer'];
  readonly store: BayStore;
  /** All channels, those that are off included: /readyz says why. */
  readonly channels: readonly Channel[];
  /** Uniform in [0, 1). */
  readonly random: () => number;
  /** The pages: the chat at / and the bay at /bay. */
  readonly pages: { readonly chat: (deps: WebDeps) => Hono; readonly bay: (deps: BayDeps) => Hono };
  readonly secureCookies: boolean;
  /** Draws a picture as PNG; each runtime has its own. */
  readonly renderPng: RenderPng;
  /** True while the program is stopping: /readyz says so and no new traffic should come. */
  readonly isStopping: () => boolean;
  /** Who may go on with a conversation of the API; null lets everybody who knows its name. */
  readonly apiGuard?: { readonly key: string | null } | null;
  /** Hands accepted posts on to what works them; left out, the app works them itself after the acknowledgement. */
  readonly handOn?: HandOn;
  /** What is set up for the bay; left out: no trial of knowledge, no issuer, and owners are not asked how it ended. */
  readonly bay?: BaySetUp;
  /** Routes of chat platforms and forums, made with the program's inbox. */
  readonly platforms?: (inbox: Inbox) => readonly PlatformRoutes[];
}

export interface PlatformRoutes {
  /** Where they are mounted: `/slack`, ... */
  readonly path: string;
  readonly routes: Hono;
  /** Paths under which larger bodies are taken. */
  readonly uploads?: readonly string[];
  /** Paths for the description of the API. */
  readonly describes?: Readonly<Record<string, unknown>>;
}

export interface AroundRequest {
  /** The address that it came from, for limits; left out where it is not known. */
  readonly from?: string | undefined;
  /** The Workers runtime's, for work that goes on after the response. */
  readonly execution?: ExecutionContext;
}

export interface App {
  readonly fetch: (request: Request, around?: AroundRequest) => Promise<Response>;
  /** Takes a post in and works it, as any route does; the demo's seed calls it. */
  readonly submit: (post: Post) => Promise<number>;
  /** Works what was left waiting and delivers what is due; the front doors call it every second or minute. */
  readonly sweep: () => Promise<void>;
  /** Works one conversation's waiting posts and delivers what is due; the queue's consumer calls it. */
  readonly work: (place: ConversationPlace) => Promise<void>;
  /** Ends the work that runs after acknowledgements. */
  readonly stop: () => Promise<void>;
}

/** Largest request body [bytes]. */
export const bodyLimitBytes = 1024 * 1024;
/** The same where logs of 5 MiB may come along, as base64 or in JSON [bytes]. */
export const uploadLimitBytes = 8 * 1024 * 1024;
/** How long ids of webhook deliveries are remembered [ms]: 30 days, ten times as long as senders repeat. */
const deliveriesKeptMs = 30 * 24 * 60 * 60_000;
const mostPostsASweep = 50;
const mostMessagesASweep = 100;

type Variables = { Variables: { requestId: string }; Bindings: { from?: string } };

export function createApp(deps: AppDeps): App {
  const { store, knowledge, clock, log } = deps;
  const metrics = makeMetrics();
  // On Workers requests may not wait for each other, so there every delivery has a courier of its own.
  const delivery: DeliveryDeps = { ...deps, countDelivery: metrics.countDelivery };
  const courier: Courier = deps.handOn
    ? { deliver: (most) => makeCourier(delivery).deliver(most) }
    : makeCourier(delivery);
  const turns: TurnDeps = {
    ...deps,
    answer: deps.answerApart ?? deps.answer,
    observeAnswer: metrics.observeAnswer,
  };
  const background = makeBackground(turns, courier);
  const guarded = { ...turns, isStopping: deps.isStopping, limits: makeRateLimits() };
  const setUp = deps.bay ?? plainBay;
  const keepHouse = makeHousekeeper({
    store,
    answer: deps.answer,
    clock,
    knowledges: setUp.trial ? [knowledge, setUp.trial] : [knowledge],
    address: setUp.address,
    channels: deps.channels.flatMap(({ name, offBecause }) => (offBecause === null && isRead(name) ? [name] : [])),
  });
  const inbox = makeInbox(guarded, deps.handOn ?? background);

  async function submit(post: Post): Promise<number> {
    admit(guarded, post);
    return submitPost(turns, post);
  }

  const routes = new Hono<Variables>();

  routes.use('*', async (context, next) => {
    // Ours, never the caller's: it goes into the log.
    context.set('requestId', deps.newId());
    const started = clock();
    await next();
    context.header('X-Request-Id', context.get('requestId'));
    metrics.countRequest(context.req.method, context.res.status, Math.max(0, clock() - started) / 1000);
  });
  const headers = secureHeaders({
    contentSecurityPolicy: {
      defaultSrc: ["'self'"],
      objectSrc: ["'none'"],
      baseUri: ["'none'"],
      formAction: ["'self'"],
      frameAncestors: ["'none'"],
    },
    xFrameOptions: 'DENY',
    referrerPolicy: 'no-referrer',
    strictTransportSecurity: deps.secureCookies,
  });
  const ofBay = bayHeaders(deps.secureCookies);
  routes.use('*', (context, next) =>
    /^\/bay(?:\/|$)/.test(context.req.path) ? ofBay(context, next) : headers(context, next),
  );
  const platforms = deps.platforms?.(inbox) ?? [];
  const uploads = new Set(['/chat/posts', ...platforms.flatMap((platform) => platform.uploads ?? [])]);
  const [usual, upload] = [bodyLimitBytes, uploadLimitBytes].map((maxSize) =>
    bodyLimit({
      maxSize,
      onError: () => {
        throw new Problem('too-large', `The request body is over ${maxSize / 1024 / 1024} MiB: send less.`);
      },
    }),
  );
  routes.use('*', (context, next) => (uploads.has(context.req.path) ? upload! : usual!)(context, next));

  // Requests that nobody signed, by the address that they come from.
  const signed = platforms.map((platform) => `${platform.path}/`);
  routes.use('*', async (context, next) => {
    const { method, path } = context.req;
    const from = context.env?.from;
    if (method !== 'GET' && from !== undefined && !signed.some((start) => path.startsWith(start)))
      guarded.limits.take({ address: from }, clock());
    await next();
  });

  routes.get('/healthz', (context) => context.json({ status: 'ok', version: programVersion }));

  routes.get('/readyz', async (context) => {
    const database = await reachable(deps);
    const stopping = deps.isStopping();
    const ready = database && !stopping;
    return context.json(
      {
        status: ready ? 'ready' : 'not ready',
        stopping,
        database: database ? 'ok' : 'cannot be written',
        knowledge: knowledge.version,
        version: programVersion,
        channels: Object.fromEntries(
          deps.channels.map(({ name, offBecause }) => [name, offBecause === null ? 'on' : `off: ${offBecause}`]),
        ),
      },
      ready ? 200 : 503,
    );
  });

  routes.get('/metrics', async (context) =>
    context.body(await metrics.render(await store.counts()), 200, { 'Content-Type': metrics.contentType }),
  );

  // The address holds the whole picture and its hash, so it never changes and can be kept for good.
  routes.get('/pictures/:file', async (context) => {
    const file = context.req.param('file');
    const picture = drawPicture(file, (id) => knowledge.faults.byId.get(id)?.name ?? id);
    if (picture === null) throw new Problem('not-found', 'There is no picture at this address.');
    const isPng = file.endsWith('.png');
    return context.body(isPng ? await deps.renderPng(picture) : picture, 200, {
      'Content-Type': isPng ? 'image/png' : 'image/svg+xml; charset=utf-8',
      'Cache-Control': 'public, max-age=31536000, immutable',
    });
  });

  const web: WebDeps = {
    store,
    knowledge,
    clock,
    submit,
    secureCookies: deps.secureCookies,
    exportPerson: (channel, author) => store.exportPerson(channel, author, clock(), '(owner)'),
  };
  const bay: BayDeps = { ...web, store, answer: deps.answer, ...setUp };
  for (const platform of platforms) routes.route(platform.path, platform.routes);
  const describes = Object.assign({}, ...platforms.map((platform) => platform.describes ?? {}));
  routes.route('/api', api({ store, submit, newId: deps.newId, describes, guard: deps.apiGuard ?? null }));
  routes.route('/bay', deps.pages.bay(bay));
  routes.route('/outcome', outcomePages(bay));
  routes.route('/', deps.pages.chat(web));

  routes.notFound((context) =>
    problemResponse(new Problem('not-found', 'There is nothing at this address.'), context.get('requestId')),
  );
  routes.onError((error, context) => {
    const requestId = context.get('requestId');
    if (context.req.raw.signal.aborted) log.info('request broke off', { requestId });
    else if (isOurMistake(error)) log.error('request failed', { requestId, ...describeError(error) });
    else if (error instanceof Problem && error.code === 'unavailable')
      log.warn('request refused', { requestId, ...describeError(error) });
    return problemResponse(error, requestId);
  });

  return {
    fetch: async (request, { from, execution } = {}) =>
      routes.fetch(request, from === undefined ? {} : { from }, execution),
    submit,
    async sweep() {
      await workWaiting(turns, mostPostsASweep);
      await courier.deliver(mostMessagesASweep);
      const kept = await keepHouse();
      if (!kept) return;
      log.info('housekeeping', { ...kept });
      await store.forgetDeliveries(clock() - deliveriesKeptMs);
      await store.deleteExpiredRecords(clock());
    },
    async work({ channel, conversation }) {
      await workConversation(turns, channel, conversation, mostPostsASweep);
      await courier.deliver(mostMessagesASweep);
    },
    stop: () => background.stop(),
  };
}

/** Channels whose people see what is sent to them days later. */
const isRead = (channel: string) => channel !== 'api' && channel !== 'demo';

async function reachable({ store, clock, log }: AppDeps): Promise<boolean> {
  try {
    await store.ping(clock());
    return true;
  } catch (error) {
    log.warn('database not reachable', describeError(error));
    return false;
  }
}
