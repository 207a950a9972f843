// The program with its Discord channel against Discord on loopback, inside the test's own process: real store, real routes, the
// answer function of the tests. The test moves the clock.
import { Hono } from 'hono';
import { type App, type AppDeps, createApp } from '../../../src/app.ts';
import { discord } from '../../../src/channels/discord/discord.ts';
import { draftAnswer } from '../../../src/draft.ts';
import type { BayStore } from '../../../src/store/bay-store.ts';
import { aStore } from '../../a-store.ts';
import { anAnswer, smallKnowledge } from '../../an-answer.ts';
import { applicationId, type DiscordPlatform, discordPlatform } from '../../fake-platform/discord-platform.ts';

export interface DiscordUnderTest {
  readonly app: App;
  readonly store: BayStore;
  readonly platform: DiscordPlatform;
  readonly logged: string[];
  /** Moves the program's clock [ms]. */
  readonly wait: (ms: number) => void;
  readonly now: () => number;
  /** Sends an interaction as Discord does, and keeps the place open that the answer asks for. */
  readonly interact: (body: Record<string, unknown>) => Promise<{ status: number; body: Record<string, unknown> }>;
  readonly settle: () => Promise<void>;
  readonly stop: () => Promise<void>;
}

export const server = '222222222222222222';
export const channel = '333333333333333333';
const owner = '444444444444444444';
export const helper = '555555555555555555';

export async function aDiscord(parts: Partial<AppDeps> = {}): Promise<DiscordUnderTest> {
  const { store, remove } = await aStore();
  const platform = await discordPlatform();
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
  const made = discord({
    ...shared,
    fetch: (address, init) => fetch(address, init),
    renderPicture: async () => new TextEncoder().encode('a png'),
    draft: (post) => draftAnswer(shared, post),
    settings: {
      publicKey: platform.publicKey,
      applicationId,
      botToken: 'good-bot-token-of-tests',
      apiUrl: platform.address,
      address: 'https://cars.example',
    },
  });
  const app = createApp({
    ...shared,
    random: Math.random,
    channels: [made.channel],
    platforms: (inbox) => [{ path: '/discord', routes: made.routes(inbox) }],
    pages: { chat: () => new Hono(), bay: () => new Hono() },
    secureCookies: false,
    renderPng: async () => new TextEncoder().encode('a png'),
    isStopping: () => false,
    ...parts,
  });
  return {
    app,
    store,
    platform,
    logged,
    wait: (ms) => {
      offset += ms;
    },
    now: clock,
    async interact(body) {
      const text = JSON.stringify(body);
      const response = await app.fetch(
        new Request('http://localhost/discord/interactions', {
          method: 'POST',
          body: text,
          headers: platform.headersFor(text, clock()),
        }),
      );
      const answer = (await response.json()) as Record<string, unknown>;
      const where = (body.channel as { id?: string } | undefined)?.id ?? channel;
      if (answer.type === 5) platform.defer(String(body.token), where);
      return { status: response.status, body: answer };
    },
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

let made = 0;
export function newId(): string {
  made += 1;
  return String((BigInt(Date.now() - 1_420_070_400_000) << 22n) + BigInt(made));
}

const interaction = (parts: Record<string, unknown>) => ({
  id: newId(),
  application_id: applicationId,
  token: `token-${Math.random()}`,
  guild_id: server,
  channel: { id: channel, type: 0 },
  channel_id: channel,
  member: { user: { id: owner, username: 'owner' } },
  version: 1,
  ...parts,
});

export const ask = (text: string, parts: Record<string, unknown> = {}, options: Array<Record<string, unknown>> = []) =>
  interaction({
    type: 2,
    data: { id: newId(), type: 1, name: 'ask', options: [{ name: 'text', type: 3, value: text }, ...options] },
    ...parts,
  });

export const command = (name: string, parts: Record<string, unknown> = {}) =>
  interaction({ type: 2, data: { id: newId(), type: 1, name }, ...parts });

export const menu = (message: Record<string, unknown>, parts: Record<string, unknown> = {}) =>
  interaction({
    type: 2,
    member: { user: { id: helper, username: 'mara' } },
    data: {
      id: newId(),
      type: 3,
      name: 'Work out this post',
      target_id: message.id,
      resolved: { messages: { [String(message.id)]: message } },
    },
    ...parts,
  });

export const press = (customId: string, parts: Record<string, unknown> = {}) =>
  interaction({
    type: 3,
    message: { id: newId(), flags: 0 },
    data: { component_type: 2, custom_id: customId },
    ...parts,
  });

export const sendWindow = (customId: string, words: string, parts: Record<string, unknown> = {}) =>
  interaction({
    type: 5,
    message: { id: newId(), flags: 0 },
    data: {
      custom_id: customId,
      components: [{ type: 1, components: [{ type: 4, custom_id: 'words', value: words }] }],
    },
    ...parts,
  });
