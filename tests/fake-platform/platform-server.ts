// A platform on loopback, for tests from outside and inside: it records every call and can be told to fail in the ways platforms
// fail. slack-platform.ts and discord-platform.ts put their rules on it.
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';

export interface PlatformCall {
  readonly method: string;
  readonly path: string;
  readonly query: URLSearchParams;
  readonly headers: Readonly<Record<string, string | undefined>>;
  readonly body: Buffer;
  readonly at: number;
}

export interface PlatformAnswer {
  readonly status: number;
  readonly headers?: Readonly<Record<string, string>>;
  readonly body?: unknown;
}

/** How a call goes wrong. `accept-then-...` takes effect, and then breaks the connection or never answers. */
export type Trouble =
  | PlatformAnswer
  | { readonly kind: 'hang' | 'reset' | 'accept-then-drop' | 'accept-then-hang' | 'half-body' | 'wrong-json' };

export interface PlatformServer {
  readonly address: string;
  readonly calls: PlatformCall[];
  /** What befalls the next calls whose path ends so, in order; the rest goes well. */
  readonly trouble: (pathEnd: string, ...troubles: readonly Trouble[]) => void;
  /** What befalls every call until told otherwise; null for nothing. */
  readonly alwaysTrouble: (trouble: Trouble | null) => void;
  readonly stop: () => Promise<void>;
}

export async function platformServer(handle: (call: PlatformCall) => PlatformAnswer): Promise<PlatformServer> {
  const calls: PlatformCall[] = [];
  const troubles: Array<{ pathEnd: string; trouble: Trouble }> = [];
  let always: Trouble | null = null;
  const server = createServer((request, response) => {
    void respond(request, response).catch(() => response.destroy());
  });

  async function respond(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const pieces: Buffer[] = [];
    for await (const piece of request) pieces.push(piece as Buffer);
    const url = new URL(request.url ?? '/', 'http://platform');
    const call: PlatformCall = {
      method: request.method ?? 'GET',
      path: url.pathname,
      query: url.searchParams,
      headers: request.headers as Record<string, string>,
      body: Buffer.concat(pieces),
      at: performance.now(),
    };
    calls.push(call);
    const index = troubles.findIndex(({ pathEnd }) => call.path.endsWith(pathEnd));
    const trouble = index < 0 ? always : troubles.splice(index, 1)[0]!.trouble;
    if (trouble === null) return write(response, handle(call));
    if ('status' in trouble) return write(response, trouble);
    switch (trouble.kind) {
      case 'hang':
        return;
      case 'reset':
        request.socket.resetAndDestroy();
        return;
      case 'accept-then-drop':
        handle(call);
        request.socket.destroy();
        return;
      case 'accept-then-hang':
        handle(call);
        return;
      case 'half-body':
        handle(call);
        response.writeHead(200, { 'Content-Type': 'application/json', 'Content-Length': '500' });
        response.write('{"ok":');
        setTimeout(() => request.socket.destroy(), 10);
        return;
      case 'wrong-json':
        return write(response, { status: 200, body: 'all is well' });
    }
  }

  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    address: `http://127.0.0.1:${port}`,
    calls,
    trouble: (pathEnd, ...given) => void troubles.push(...given.map((trouble) => ({ pathEnd, trouble }))),
    alwaysTrouble(trouble) {
      always = trouble;
    },
    stop: () =>
      new Promise((resolve) => {
        server.closeAllConnections();
        server.close(() => resolve());
      }),
  };
}

function write(response: ServerResponse, { status, headers = {}, body }: PlatformAnswer): void {
  const isText = typeof body === 'string';
  response.writeHead(status, { 'Content-Type': isText ? 'text/plain' : 'application/json', ...headers });
  response.end(body === undefined ? '' : isText ? body : JSON.stringify(body));
}
