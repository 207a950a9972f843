// Slack on loopback: the methods that the program calls, with Slack's own limits and error words, and messages that stand in
// channels. From: what Slack publishes (node-slack-sdk block-kit types, bolt-js
// issues 2509 and 2867 for the hidden total, api.slack.com for the error words).
import { createHmac } from 'node:crypto';
import { type PlatformAnswer, type PlatformCall, type PlatformServer, platformServer } from './platform-server.ts';

interface SlackStanding {
  readonly channel: string;
  readonly ts: string;
  readonly threadTs: string | null;
  readonly token: string;
  text: string;
  blocks: ReadonlyArray<Record<string, unknown>>;
  readonly metadata: unknown;
  edits: number;
}

export interface SlackPlatform extends PlatformServer {
  /** Messages that stand, in order. */
  readonly messages: SlackStanding[];
  readonly privateReplies: Array<Record<string, unknown>>;
  readonly views: Array<{ id: string; view: Record<string, unknown> }>;
  readonly files: Map<string, Buffer>;
  /** Tokens that work; empty lets every token work. */
  readonly tokens: Set<string>;
  /** Channels that are gone. */
  readonly gone: Set<string>;
  readonly refreshes: string[];
  /** Where Socket Mode is told to connect. */
  readonly openSocket: (address: string) => void;
}

const pictureTypes = /\.(?:png|jpe?g|gif)$/;

export async function slackPlatform(): Promise<SlackPlatform> {
  let count = 0;
  let socketAddress = '';
  const state = {
    messages: [] as SlackStanding[],
    privateReplies: [] as Array<Record<string, unknown>>,
    views: [] as Array<{ id: string; view: Record<string, unknown> }>,
    files: new Map<string, Buffer>(),
    tokens: new Set<string>(),
    gone: new Set<string>(),
    refreshes: [] as string[],
  };
  const ok = (body: Record<string, unknown> = {}): PlatformAnswer => ({ status: 200, body: { ok: true, ...body } });
  const no = (error: string): PlatformAnswer => ({ status: 200, body: { ok: false, error } });

  function handle(call: PlatformCall): PlatformAnswer {
    if (call.path.startsWith('/response/')) {
      state.privateReplies.push(JSON.parse(call.body.toString('utf8')) as Record<string, unknown>);
      return { status: 200, body: 'ok' };
    }
    if (call.path.startsWith('/upload/')) {
      state.files.set(call.path.slice('/upload/'.length), call.body);
      return { status: 200, body: 'OK' };
    }
    if (call.path.startsWith('/files/')) {
      const file = state.files.get(call.path.slice('/files/'.length));
      if (!file || !call.headers.authorization) return { status: 404, body: 'gone' };
      return { status: 200, body: file.toString('utf8') };
    }
    const method = call.path.replace('/api/', '');
    const input = readInput(call);
    const token = call.headers.authorization ?? '';
    if (method === 'oauth.v2.access') return exchange(input, token);
    if (state.tokens.size > 0 && !state.tokens.has(token.replace('Bearer ', ''))) return no('invalid_auth');
    const channel = String(input.channel ?? '');
    if (state.gone.has(channel)) return no('channel_not_found');
    switch (method) {
      case 'chat.postMessage': {
        const mistake = mistakeIn(input);
        if (mistake) return no(mistake);
        count += 1;
        const ts = `1800000000.${String(count).padStart(6, '0')}`;
        state.messages.push({
          channel,
          ts,
          threadTs: typeof input.thread_ts === 'string' ? input.thread_ts : null,
          token,
          text: String(input.text),
          blocks: (input.blocks ?? []) as Array<Record<string, unknown>>,
          metadata: input.metadata,
          edits: 0,
        });
        return ok({ channel, ts });
      }
      case 'chat.update': {
        const mistake = mistakeIn(input);
        if (mistake) return no(mistake);
        const standing = state.messages.find((one) => one.channel === channel && one.ts === input.ts);
        if (!standing) return no('message_not_found');
        standing.text = String(input.text);
        standing.blocks = (input.blocks ?? []) as Array<Record<string, unknown>>;
        standing.edits += 1;
        return ok({ channel, ts: standing.ts });
      }
      case 'chat.delete': {
        const index = state.messages.findIndex((one) => one.channel === channel && one.ts === input.ts);
        if (index < 0) return no('message_not_found');
        state.messages.splice(index, 1);
        return ok();
      }
      case 'conversations.replies':
      case 'conversations.history':
        return ok({
          messages: state.messages
            .filter((one) => one.channel === channel)
            .filter((one) => method === 'conversations.history' || one.threadTs === input.ts)
            .map(({ ts, text, metadata }) => ({
              ts,
              text,
              ...(input.include_all_metadata === 'true' ? { metadata } : {}),
            })),
        });
      case 'views.open':
      case 'views.update': {
        const view = input.view as Record<string, unknown>;
        const mistake = mistakeInView(view);
        if (mistake) return no(mistake);
        count += 1;
        const id = method === 'views.open' ? `V${count}` : String(input.view_id);
        state.views.push({ id, view });
        return ok({ view: { id } });
      }
      case 'files.getUploadURLExternal': {
        count += 1;
        const file = `F${count}`;
        return ok({ upload_url: `${platform.address}/upload/${file}`, file_id: file });
      }
      case 'files.completeUploadExternal':
        return ok({ files: input.files });
      case 'apps.connections.open':
        return ok({ url: socketAddress });
      default:
        return no('unknown_method');
    }
  }

  function exchange(input: Record<string, unknown>, authorization: string): PlatformAnswer {
    if (!authorization.startsWith('Basic ')) return no('bad_client_secret');
    if (input.grant_type === 'refresh_token') {
      const given = String(input.refresh_token);
      // A refresh token works once. From: Slack's page on token rotation.
      if (state.refreshes.includes(given)) return no('invalid_refresh_token');
      state.refreshes.push(given);
      count += 1;
      return ok({
        access_token: `xoxe.xoxb-${count}`,
        refresh_token: `xoxe-${count}`,
        expires_in: 43_200,
        token_type: 'bot',
      });
    }
    if (input.code !== 'good-code') return no('invalid_code');
    return ok({
      access_token: 'xoxb-installed',
      token_type: 'bot',
      bot_user_id: 'UBOT2',
      team: { id: 'T2', name: 'Second' },
      refresh_token: 'xoxe-first',
      expires_in: 43_200,
    });
  }

  const platform = await platformServer(handle);
  return Object.assign(platform, state, {
    openSocket(address: string) {
      socketAddress = address;
    },
  });
}

function readInput(call: PlatformCall): Record<string, unknown> {
  const text = call.body.toString('utf8');
  return (call.headers['content-type'] ?? '').startsWith('application/json')
    ? (JSON.parse(text) as Record<string, unknown>)
    : Object.fromEntries(new URLSearchParams(text));
}

/** Slack's limits on a message; null when it holds them. */
function mistakeIn(input: Record<string, unknown>): string | null {
  const blocks = (input.blocks ?? []) as ReadonlyArray<Record<string, unknown>>;
  if (!input.text && blocks.length === 0) return 'no_text';
  if (String(input.text ?? '').length > 40_000) return 'msg_too_long';
  if (blocks.length > 50) return 'invalid_blocks';
  for (const block of blocks) if (!isValidBlock(block)) return 'invalid_blocks';
  const total = blocks.reduce((sum, block) => sum + JSON.stringify(block).length, 0);
  return total > 15_561 ? 'msg_blocks_too_long' : null;
}

function isValidBlock(block: Record<string, unknown>): boolean {
  const textOf = (value: unknown) => String((value as { text?: unknown } | undefined)?.text ?? '');
  const within = (text: string, most: number) => text.length >= 1 && text.length <= most;
  if (String(block.block_id ?? '').length > 255) return false;
  switch (block.type) {
    case 'section':
      return within(textOf(block.text), 3_000);
    case 'context': {
      const elements = block.elements as unknown[];
      return elements.length <= 10 && elements.every((element) => within(textOf(element), 3_000));
    }
    case 'actions': {
      const elements = block.elements as Array<Record<string, unknown>>;
      return (
        elements.length <= 25 &&
        elements.every((one) => within(textOf(one.text), 75) && String(one.value ?? '').length <= 2_000) &&
        new Set(elements.map((one) => one.action_id)).size === elements.length
      );
    }
    case 'image':
      return (
        within(String(block.alt_text ?? ''), 2_000) &&
        (block.slack_file !== undefined || pictureTypes.test(String(block.image_url ?? '')))
      );
    case 'input':
      return within(textOf(block.label), 2_000);
    default:
      return false;
  }
}

function mistakeInView(view: Record<string, unknown>): string | null {
  const title = (view.title as { text: string }).text;
  const blocks = view.blocks as ReadonlyArray<Record<string, unknown>>;
  if (title.length > 24 || blocks.length > 100 || String(view.private_metadata ?? '').length > 3_000)
    return 'invalid_arguments';
  return blocks.every(isValidBlock) ? null : 'invalid_arguments';
}

export const slackSecret = '8f742231b10e8888abcd99yyyzzz85a5';

/** Headers that prove a body. From: Slack, "Verifying requests"; written here with Node's own HMAC. */
export function slackHeaders(body: string | Buffer, at: number, secret = slackSecret): Record<string, string> {
  const timestamp = String(Math.floor(at / 1000));
  return {
    'X-Slack-Request-Timestamp': timestamp,
    'X-Slack-Signature': `v0=${createHmac('sha256', secret).update(`v0:${timestamp}:`).update(body).digest('hex')}`,
  };
}

/** One event as Slack sends it. */
export function slackEvent(event: Record<string, unknown>, team = 'T1'): Record<string, unknown> {
  return {
    token: 'legacy',
    type: 'event_callback',
    team_id: team,
    api_app_id: 'A1',
    event_id: `Ev${Math.random().toString(36).slice(2)}`,
    event_time: 1_700_000_000,
    authorizations: [{ team_id: team, user_id: 'UBOT', is_bot: true }],
    event,
  };
}

export async function sendToSlackRoute(
  fetch: (request: Request) => Promise<Response>,
  address: string,
  body: Record<string, unknown> | URLSearchParams,
  options: { readonly at?: number; readonly headers?: Record<string, string>; readonly secret?: string } = {},
): Promise<Response> {
  const isForm = body instanceof URLSearchParams;
  const text = isForm ? body.toString() : JSON.stringify(body);
  return fetch(
    new Request(`${address}/slack/events`, {
      method: 'POST',
      body: text,
      headers: {
        'Content-Type': isForm ? 'application/x-www-form-urlencoded' : 'application/json',
        ...slackHeaders(text, options.at ?? Date.now(), options.secret),
        ...options.headers,
      },
    }),
  );
}
