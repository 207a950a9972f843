// A program for browser tests: the real routes and a real store on loopback, with an answer function of the tests, and sign-in
// links for the bay.
import { serve } from '@hono/node-server';
import { type AppDeps, createApp } from '../../src/app.ts';
import { fetchedChannel } from '../../src/channels/channel.ts';
import { webChat } from '../../src/channels/web/web-chat.tsx';
import { resvgOnNode } from '../../src/imaging/resvg-on-node.ts';
import type { Knowledge } from '../../src/knowledge/knowledge.ts';
import { hashToken, newToken } from '../../src/pages/tokens.ts';
import { bay } from '../../src/review/bay.tsx';
import type { BayStore } from '../../src/store/bay-store.ts';
import type { Role } from '../../src/store/store.ts';
import type { Post } from '../../src/vocabulary/post.ts';
import { aStore } from '../a-store.ts';
import { smallKnowledge } from '../an-answer.ts';
import { exampleAnswer } from '../example-answer.ts';

export interface ProgramForTests {
  readonly address: string;
  readonly store: BayStore;
  readonly submit: (post: Post) => Promise<number>;
  /** What goes on by itself; the tests' program does it when it is told to. */
  readonly sweep: () => Promise<void>;
  /** A fresh one-time link. */
  readonly signInLink: (name: string, role: Role) => Promise<string>;
  readonly stop: () => Promise<void>;
}

export interface ProgramParts {
  readonly answer?: AppDeps['answer'];
  readonly knowledge?: Knowledge;
  readonly trial?: Knowledge | null;
  /** Added to the clock [ms]; may be changed while the program runs. */
  readonly later?: { ms: number };
}

export async function aProgram(parts: ProgramParts = {}): Promise<ProgramForTests> {
  const { answer = exampleAnswer, knowledge = smallKnowledge, trial = null, later = { ms: 0 } } = parts;
  let reachedAt: string | null = null;
  const { store, remove } = await aStore();
  const log = { info: () => {}, warn: () => {}, error: () => {} };
  const app = createApp({
    store,
    knowledge,
    answer,
    clock: () => Date.now() + later.ms,
    bay: { trial, issuer: null, address: () => reachedAt },
    newId: () => crypto.randomUUID(),
    random: Math.random,
    sleep: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
    log,
    channels: [fetchedChannel('web'), fetchedChannel('demo')],
    pages: { chat: webChat, bay },
    secureCookies: false,
    renderPng: resvgOnNode(),
    isStopping: () => false,
  });
  const { server, port } = await new Promise<{ server: ReturnType<typeof serve>; port: number }>((resolve) => {
    const started = serve({ fetch: (request) => app.fetch(request), hostname: '127.0.0.1', port: 0 }, (info) =>
      resolve({ server: started, port: info.port }),
    );
  });
  const address = `http://127.0.0.1:${port}`;
  reachedAt = address;
  return {
    address,
    store,
    submit: app.submit,
    sweep: app.sweep,
    async signInLink(name, role) {
      const token = newToken();
      await store.addSignInLink({
        tokenHash: await hashToken(token),
        name,
        role,
        communities: null,
        expiresAt: Date.now() + later.ms + 60_000,
      });
      return `${address}/bay/sign-in?token=${token}`;
    },
    async stop() {
      if ('closeAllConnections' in server) server.closeAllConnections();
      await new Promise<void>((resolve) => server.close(() => resolve()));
      await remove();
    },
  };
}
