// A platform's server on loopback that does what a test tells it: answer, refuse, hang, break off, or take a call and drop the line.
// One file a platform beside this one says what a call means.
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';

/** What to do with a call. `accepted` says whether the platform takes what the call brings (a message becomes visible). */
export type Behaviour =
  | { readonly kind: 'answer' }
  | {
      readonly kind: 'status';
      readonly status: number;
      readonly headers?: Readonly<Record<string, string>>;
      readonly body?: string;
    }
  | { readonly kind: 'hang' }
  | { readonly kind: 'reset' }
  | { readonly kind: 'accept-then-drop' }
  | { readonly kind: 'accept-then-hang' }
  | { readonly kind: 'half-body' }
  | { readonly kind: 'wrong-json' };

export interface Call {
  readonly at: number;
  readonly method: string;
  readonly path: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string;
  readonly behaviour: Behaviour['kind'];
}

export interface FakeServer {
  readonly address: string;
  readonly calls: Call[];
  /** Chooses what happens to the next call; the platform's own answer when it gives nothing. */
  behave: (call: Omit<Call, 'behaviour'>, number: number) => Behaviour | undefined;
  stop(): Promise<void>;
}

export interface Reply {
  readonly status: number;
  readonly headers?: Readonly<Record<string, string>>;
  readonly body: string;
}

/** @param answer the platform: carries the call out and says what it answers; called only when the call is accepted */
export async function fakeServer(answer: (call: Omit<Call, 'behaviour'>) => Reply): Promise<FakeServer> {
  const calls: Call[] = [];
  const fake: FakeServer = { address: '', calls, behave: () => undefined, stop: async () => {} };
  const server: Server = createServer((request, response) => {
    void handle(request, response).catch(() => response.destroy());
  });

  async function handle(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const chunks: Buffer[] = [];
    for await (const chunk of request) chunks.push(chunk as Buffer);
    const call = {
      at: Date.now(),
      method: request.method ?? '',
      path: request.url ?? '',
      headers: Object.fromEntries(Object.entries(request.headers).map(([name, value]) => [name, String(value)])),
      body: Buffer.concat(chunks).toString('utf8'),
    };
    const behaviour = fake.behave(call, calls.length) ?? { kind: 'answer' };
    calls.push({ ...call, behaviour: behaviour.kind });
    switch (behaviour.kind) {
      case 'status':
        response.writeHead(behaviour.status, behaviour.headers).end(behaviour.body ?? '');
        return;
      case 'hang':
        return;
      case 'reset':
        request.socket.resetAndDestroy();
        return;
      case 'accept-then-drop':
        answer(call);
        request.socket.resetAndDestroy();
        return;
      case 'accept-then-hang':
        answer(call);
        return;
      case 'half-body':
        answer(call);
        response.writeHead(200, { 'Content-Type': 'application/json', 'Content-Length': '1000' });
        response.write('{"half":');
        setTimeout(() => request.socket.resetAndDestroy(), 20);
        return;
      case 'wrong-json':
        answer(call);
        response.writeHead(200, { 'Content-Type': 'application/json' }).end('{"half":');
        return;
      case 'answer': {
        const reply = answer(call);
        response.writeHead(reply.status, reply.headers).end(reply.body);
      }
    }
  }

  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return Object.assign(fake, {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    stop: () =>
      new Promise<void>((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  });
}
