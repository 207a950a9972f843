// Discord on loopback: the endpoints that the program calls, with Discord's limits and error numbers, and messages that stand in
// channels. From: Discord's published documentation (resources/message, components/reference, interactions, opcodes and status
// codes), read in its public repository.
import { generateKeyPairSync, type KeyObject, sign } from 'node:crypto';
import { type PlatformAnswer, type PlatformCall, type PlatformServer, platformServer } from './platform-server.ts';

interface DiscordStanding {
  readonly id: string;
  readonly channel: string;
  body: Record<string, unknown>;
  readonly byInteraction: string | null;
  readonly nonce: string | null;
  files: number;
  edits: number;
}

export interface DiscordPlatform extends PlatformServer {
  readonly messages: DiscordStanding[];
  /** Tokens of interactions whose time is over. */
  readonly overTokens: Set<string>;
  readonly closedChannels: Set<string>;
  readonly commands: Map<string, unknown>;
  /** The key that signs interactions here. */
  readonly publicKey: string;
  readonly headersFor: (body: string | Buffer, at: number) => Record<string, string>;
  /** An interaction was answered with a place to be filled later. */
  readonly defer: (token: string, channel: string) => void;
}

export const applicationId = '111111111111111111';

export async function discordPlatform(): Promise<DiscordPlatform> {
  let count = 0;
  const { publicKey, privateKey } = generateKeyPairSync('ed25519');
  const state = {
    messages: [] as DiscordStanding[],
    overTokens: new Set<string>(),
    closedChannels: new Set<string>(),
    commands: new Map<string, unknown>(),
    publicKey: rawKey(publicKey),
  };
  const places = new Map<string, { channel: string; message: string | null }>();
  const no = (status: number, code: number): PlatformAnswer => ({ status, body: { code, message: 'refused' } });
  const newId = () => {
    count += 1;
    return String((BigInt(Date.now() - 1_420_070_400_000) << 22n) + BigInt(count));
  };
  const shown = (one: DiscordStanding) => ({
    ...one.body,
    id: one.id,
    channel_id: one.channel,
    author: { id: applicationId, bot: true },
  });

  function create(channel: string, call: PlatformCall, byInteraction: string | null): PlatformAnswer {
    const { body, files } = readMessage(call);
    const mistake = mistakeIn(body, byInteraction === null);
    if (mistake) return no(400, 50_035);
    const nonce = typeof body.nonce === 'string' && body.enforce_nonce === true ? body.nonce : null;
    const first = nonce === null ? undefined : state.messages.find((one) => one.nonce === nonce);
    if (first) return { status: 200, body: shown(first) };
    const message = { id: newId(), channel, body, byInteraction, nonce, files, edits: 0 };
    state.messages.push(message);
    return { status: 200, body: shown(message) };
  }

  function change(message: DiscordStanding, call: PlatformCall): PlatformAnswer {
    if (call.method === 'DELETE') {
      state.messages.splice(state.messages.indexOf(message), 1);
      return { status: 204 };
    }
    const { body, files } = readMessage(call);
    const next = { ...message.body, ...body };
    if (mistakeIn(next, false)) return no(400, 50_035);
    message.body = next;
    message.files = files;
    message.edits += 1;
    return { status: 200, body: shown(message) };
  }

  function ofInteraction(token: string, end: string, call: PlatformCall): PlatformAnswer {
    const place = places.get(token);
    if (!place || state.overTokens.has(token)) return no(401, 50_027);
    if (end === '') return create(place.channel, call, token);
    const id = end === '@original' ? place.message : end;
    const message = state.messages.find((one) => one.id === id);
    if (message) return change(message, call);
    if (end !== '@original') return no(404, 10_008);
    const made = create(place.channel, call, token);
    if (made.status === 200) place.message = (made.body as { id: string }).id;
    return made;
  }

  function handle(call: PlatformCall): PlatformAnswer {
    const webhook = new RegExp(`^/webhooks/${applicationId}/([^/]+)(?:/messages/(.+))?$`).exec(call.path);
    if (webhook) return ofInteraction(webhook[1]!, webhook[2] ?? '', call);
    if (call.path.startsWith('/files/')) return { status: 200, body: 'time,rpm\n0,800\n' };
    if (call.headers.authorization !== 'Bot good-bot-token-of-tests') return no(401, 0);
    const inChannel = /^\/channels\/(\d+)\/messages(?:\/(\d+))?$/.exec(call.path);
    if (inChannel) {
      const [, channel, id] = inChannel;
      if (state.closedChannels.has(channel!)) return no(403, 50_001);
      if (call.method === 'GET')
        return { status: 200, body: state.messages.filter((one) => one.channel === channel).map(shown) };
      if (id === undefined) return create(channel!, call, null);
      const message = state.messages.find((one) => one.id === id && one.channel === channel);
      return message ? change(message, call) : no(404, 10_008);
    }
    if (call.path === '/users/@me/channels')
      return { status: 200, body: { id: `99${String((readMessage(call).body.recipient_id as string).slice(2))}` } };
    if (/^\/applications\/\d+(?:\/guilds\/\d+)?\/commands$/.test(call.path) && call.method === 'PUT') {
      const list = JSON.parse(call.body.toString()) as Array<Record<string, unknown>>;
      if (!list.every(isValidCommand)) return no(400, 50_035);
      state.commands.set(call.path, list);
      return { status: 200, body: list.map((command) => ({ ...command, id: newId() })) };
    }
    return no(404, 0);
  }

  const platform = await platformServer(handle);
  return Object.assign(platform, state, {
    headersFor(body: string | Buffer, at: number) {
      const timestamp = String(Math.floor(at / 1000));
      return {
        'Content-Type': 'application/json',
        'X-Signature-Timestamp': timestamp,
        'X-Signature-Ed25519': signed(privateKey, Buffer.concat([Buffer.from(timestamp), Buffer.from(body)])),
      };
    },
    defer: (token: string, channel: string) => void places.set(token, { channel, message: null }),
  });
}

/** The 32 bytes of an Ed25519 key are the last of its SPKI form. From: RFC 8410. */
const rawKey = (key: KeyObject) => key.export({ format: 'der', type: 'spki' }).subarray(-32).toString('hex');
const signed = (key: KeyObject, bytes: Buffer) => sign(null, bytes, key).toString('hex');

function readMessage(call: PlatformCall): { body: Record<string, unknown>; files: number } {
  const type = call.headers['content-type'] ?? '';
  const text = call.body.toString('latin1');
  if (!type.startsWith('multipart/form-data'))
    return {
      body: (call.body.length === 0 ? {} : JSON.parse(call.body.toString('utf8'))) as Record<string, unknown>,
      files: 0,
    };
  const payload = /name="payload_json"\r\n\r\n([\s\S]*?)\r\n--/.exec(call.body.toString('utf8'))?.[1] ?? '{}';
  return {
    body: JSON.parse(payload) as Record<string, unknown>,
    files: [...text.matchAll(/name="files\[\d\]"/g)].length,
  };
}

function mistakeIn(body: Record<string, unknown>, isNew: boolean): boolean {
  const content = String(body.content ?? '');
  const embeds = (body.embeds ?? []) as Array<{ title?: string; description?: string }>;
  const rows = (body.components ?? []) as Array<{ components: Array<{ custom_id: string; label: string }> }>;
  const sum = embeds.reduce((total, one) => total + (one.title ?? '').length + (one.description ?? '').length, 0);
  const buttons = rows.flatMap((row) => row.components);
  return (
    content.length > 2_000 ||
    (content === '' && embeds.length === 0) ||
    embeds.length > 10 ||
    embeds.some((one) => (one.description ?? '').length > 4_096) ||
    sum > 6_000 ||
    rows.length > 5 ||
    rows.some((row) => row.components.length === 0 || row.components.length > 5) ||
    buttons.some((one) => one.label.length > 80 || one.label === '' || one.custom_id.length > 100) ||
    new Set(buttons.map((one) => one.custom_id)).size !== buttons.length ||
    (isNew && String(body.nonce ?? '').length > 25)
  );
}

function isValidCommand(command: Record<string, unknown>): boolean {
  const name = String(command.name);
  const options = (command.options ?? []) as Array<{ name: string; description: string; max_length?: number }>;
  const isChat = command.type === 1;
  return (
    name.length >= 1 &&
    name.length <= 32 &&
    (!isChat || /^[-_a-z0-9]+$/.test(name)) &&
    (isChat
      ? String(command.description).length >= 1 && String(command.description).length <= 100
      : !command.description) &&
    options.length <= 25 &&
    options.every((one) => one.name.length <= 32 && one.description.length <= 100 && (one.max_length ?? 0) <= 6_000) &&
    JSON.stringify(command).length <= 8_000
  );
}
