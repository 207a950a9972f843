// The program with its Slack channel against Slack on loopback, inside the test's own process: real store, real routes, the answer
// function of the tests. The test moves the clock.
import { Hono } from 'hono';
import { type App, type AppDeps, createApp } from '../../../src/app.ts';
import type { Inbox } from '../../../src/channels/channel.ts';
import { slack } from '../../../src/channels/slack/slack.ts';
import type { SlackDeps, SlackRoutesDeps } from '../../../src/channels/slack/slack-deps.ts';
import type { SlackSettings } from '../../../src/channels/slack/slack-settings.ts';
import { draftAnswer } from '../../../src/draft.ts';
import type { BayStore } from '../../../src/store/bay-store.ts';
import { aStore } from '../../a-store.ts';
import { anAnswer, exampleDocument, smallKnowledge } from '../../an-answer.ts';
import {
  type SlackPlatform,
  sendToSlackRoute,
  slackEvent,
  slackPlatform,
  slackSecret,
} from '../../fake-platform/slack-platform.ts';

export interface SlackUnderTest {
  readonly app: App;
  readonly store: BayStore;
  readonly platform: SlackPlatform;
  readonly logged: string[];
  /** Moves the program's clock [ms]. */
  readonly wait: (ms: number) => void;
  readonly now: () => number;
  readonly send: (
    body: Record<string, unknown> | URLSearchParams,
    headers?: Record<string, string>,
  ) => Promise<Response>;
  /** An event of the Events API. */
  readonly event: (event: Record<string, unknown>, team?: string) => Promise<Response>;
  /** Works and delivers until nothing is left that may go now. */
  readonly settle: () => Promise<void>;
  /** What Socket Mode takes in place of the routes. */
  readonly routesDeps: () => SlackRoutesDeps;
  readonly stop: () => Promise<void>;
}

export async function aSlack(
  parts: { settings?: Partial<SlackSettings>; app?: Partial<AppDeps>; deps?: Partial<SlackDeps> } = {},
): Promise<SlackUnderTest> {
  const { store, remove } = await aStore();
  const platform = await slackPlatform();
  const logged: string[] = [];
  let offset = 0;
  const clock = () => Date.now() + offset;
  const line = (event: string, fields = {}) => void logged.push(JSON.stringify({ event, ...fields }));
  const log = { info: line, warn: line, error: line };
  const shared = {
    store,
    knowledge: smallKnowledge,
    answer: anAnswer,
    clock,
    newId: () => crypto.randomUUID(),
    sleep: (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms)),
    log,
  };
  const channel = slack({
    ...shared,
    fetch: (address, init) => fetch(address, init),
    renderPicture: async () => new TextEncoder().encode('a png'),
    draft: (post) => draftAnswer(shared, post),
    settings: {
      signingSecrets: [slackSecret],
      botToken: 'xoxb-one',
      install: null,
      appToken: null,
      apiUrl: `${platform.address}/api`,
      address: null,
      ...parts.settings,
    },
    ...parts.deps,
  });
  let given: Inbox | null = null;
  const app = createApp({
    ...shared,
    random: Math.random,
    channels: [channel.channel],
    platforms(inbox) {
      given = inbox;
      return [{ path: '/slack', routes: channel.routes(inbox) }];
    },
    pages: { chat: () => new Hono(), bay: () => new Hono() },
    secureCookies: false,
    renderPng: async () => new TextEncoder().encode('a png'),
    isStopping: () => false,
    ...parts.app,
  });
  const send = (body: Record<string, unknown> | URLSearchParams, headers: Record<string, string> = {}) =>
    sendToSlackRoute((request) => app.fetch(request), 'http://localhost', body, { at: clock(), headers });
  return {
    app,
    store,
    platform,
    logged,
    wait: (ms) => {
      offset += ms;
    },
    now: clock,
    routesDeps: () => channel.routesDeps(given!),
    send,
    event: (event, team = 'T1') => send(slackEvent(event, team)),
    async settle() {
      for (let round = 0; round < 200; round += 1) {
        await app.sweep();
        const { waiting, due } = await store.counts();
        if (waiting === 0 && due === 0) return;
        await new Promise((resolve) => setTimeout(resolve, 10));
      }
    },
    async stop() {
      await app.stop();
      await platform.stop();
      await remove();
    },
  };
}

/** An answer with a question that can be pressed and a picture. */
export function aFullAnswer(post: { id: string; text: string }, previous: Parameters<typeof anAnswer>[1]) {
  const { answer, next } = anAnswer(post, previous);
  const question = {
    ...exampleDocument.questions[0]!,
    text: 'Does it smoke?',
    answers: [
      { id: 'yes', text: 'Yes, black smoke' },
      { id: 'no', text: 'No smoke at all' },
    ],
  };
  const where = [
    {
      item: 'bank-1-sensor-1',
      text: 'Behind the engine, above the catalyst.',
      certainty: 'likely' as const,
      picture: '/pictures/bay.a.12345678.svg',
      source: 'common practice',
    },
  ];
  const text = `${answer.reply.text}. Does it smoke?`;
  return { answer: { ...answer, questions: [question], where, reply: { text, markdown: text } }, next };
}

let seconds = 0;
/** A `ts` that no other message has, close to now. */
export function newTs(): string {
  seconds += 1;
  return `${Math.floor(Date.now() / 1000)}.${String(seconds).padStart(6, '0')}`;
}

export const mention = (text: string, parts: Record<string, unknown> = {}) => ({
  type: 'app_mention',
  user: 'U1',
  channel: 'C1',
  text: `<@UBOT> ${text}`,
  ts: newTs(),
  ...parts,
});

export const direct = (text: string, parts: Record<string, unknown> = {}) => ({
  type: 'message',
  channel_type: 'im',
  user: 'U1',
  channel: 'D1',
  text,
  ts: newTs(),
  ...parts,
});
