// A program for browser tests: the real routes and a real store on loopback, with an answer function of the tests, and sign-in
// links for the bay.
import { serve } from '@hono/node-server';
import { createApp } from '../../src/app.ts';
import { fetchedChannel } from '../../src/channels/channel.ts';
import { webChat } from '../../src/channels/web/web-chat.tsx';
import { resvgOnNode } from '../../src/imaging/resvg-on-node.ts';
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
  /** A fresh one-time link. */
  readonly signInLink: (name: string, role: Role) => Promise<string>;
  readonly stop: () => Promise<void>;
}

export async function aProgram(answer = exampleAnswer): Promise<ProgramForTests> {
  const { store, remove } = await aStore();
  const log = { info: () => {}, warn: () => {}, error: () => {} };
  const app = createApp({
    store,
    knowledge: smallKnowledge,
    answer,
    clock: Date.now,
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
  return {
    address,
    store,
    submit: app.submit,
    async signInLink(name, role) {
      const token = newToken();
      await store.addSignInLink({
        tokenHash: await hashToken(token),
        name,
        role,
        communities: null,
        expiresAt: Date.now() + 60_000,
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
