// The other end of a web socket on loopback (RFC 6455), as far as Slack's Socket Mode needs it: text frames both ways, pings.
import { createHash } from 'node:crypto';
import { createServer } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';

export interface FakeSocket {
  readonly address: string;
  /** Sends to the newest connection. */
  readonly send: (message: unknown) => void;
  /** Resolves with what came back for an envelope. */
  readonly acknowledged: (envelopeId: string) => Promise<Record<string, unknown>>;
  readonly acknowledgements: () => string[];
  /** Resolves when so many connections have been made. */
  readonly connected: (count: number) => Promise<void>;
  readonly stop: () => Promise<void>;
}

// From: RFC 6455, section 1.3.
const magic = '258EAFA5-E914-47DA-95CA-C5AB0DC85B11';

export async function fakeSocket(): Promise<FakeSocket> {
  const sockets: Socket[] = [];
  const received: Array<Record<string, unknown>> = [];
  const server = createServer();
  server.on('upgrade', (request, stream) => {
    const socket = stream as Socket;
    const accept = createHash('sha1').update(`${request.headers['sec-websocket-key']}${magic}`).digest('base64');
    socket.write(
      `HTTP/1.1 101 Switching Protocols\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Accept: ${accept}\r\n\r\n`,
    );
    sockets.push(socket);
    socket.on('error', () => undefined);
    let kept = Buffer.alloc(0);
    socket.on('data', (chunk: Buffer) => {
      kept = Buffer.concat([kept, chunk]);
      for (;;) {
        const frame = readFrame(kept);
        if (frame === null) break;
        kept = kept.subarray(frame.length);
        if (frame.opcode === 1) received.push(JSON.parse(frame.text) as Record<string, unknown>);
        if (frame.opcode === 8) socket.end();
        if (frame.opcode === 9) socket.write(frameOf(frame.text, 10));
      }
    });
    socket.write(frameOf(JSON.stringify({ type: 'hello', num_connections: 1 }), 1));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const wait = async <Found>(look: () => Found | undefined): Promise<Found> => {
    const deadline = Date.now() + 8_000;
    for (;;) {
      const found = look();
      if (found !== undefined) return found;
      if (Date.now() > deadline) throw new Error('it did not come');
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
  };
  return {
    address: `ws://127.0.0.1:${(server.address() as AddressInfo).port}/socket`,
    send: (message) => void sockets.at(-1)!.write(frameOf(JSON.stringify(message), 1)),
    acknowledged: (id) => wait(() => received.find((one) => one.envelope_id === id)),
    acknowledgements: () => received.map((one) => String(one.envelope_id)),
    connected: (count) => wait(() => (sockets.length >= count ? true : undefined)).then(() => undefined),
    async stop() {
      for (const socket of sockets) socket.destroy();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

function frameOf(text: string, opcode: number): Buffer {
  const payload = Buffer.from(text);
  const head =
    payload.length < 126
      ? Buffer.from([0x80 | opcode, payload.length])
      : Buffer.from([0x80 | opcode, 126, payload.length >> 8, payload.length & 0xff]);
  return Buffer.concat([head, payload]);
}

/** One masked frame of a client; null while it is not complete. */
function readFrame(bytes: Buffer): { opcode: number; text: string; length: number } | null {
  if (bytes.length < 6) return null;
  let size = bytes[1]! & 0x7f;
  let at = 2;
  if (size === 126) {
    size = bytes.readUInt16BE(2);
    at = 4;
  }
  const mask = bytes.subarray(at, at + 4);
  const end = at + 4 + size;
  if (bytes.length < end) return null;
  const payload = Buffer.from(bytes.subarray(at + 4, end).map((byte, index) => byte ^ mask[index % 4]!));
  return { opcode: bytes[0]! & 0x0f, text: payload.toString('utf8'), length: end };
}
