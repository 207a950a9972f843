// Calls to Discord's HTTP API: one request each, no retries of its own, and an outcome for every way in which it can end. The
// sender, the drafts and the registration of commands call it.

/** Discord waits long for nobody, and neither do we [ms]. */
const callPatienceMs = 8_000;

export type DiscordResult =
  | { readonly kind: 'ok'; readonly body: Readonly<Record<string, unknown>> }
  /** `code` is Discord's own number, 0 when it named none. */
  | { readonly kind: 'rejected'; readonly status: number; readonly code: number }
  | { readonly kind: 'wait'; readonly afterMs: number | null }
  | { readonly kind: 'unreached' }
  | { readonly kind: 'unknown'; readonly because: string };

export type Fetch = (address: string, init: RequestInit) => Promise<Response>;

export interface DiscordCall {
  readonly method: 'GET' | 'POST' | 'PATCH' | 'PUT' | 'DELETE';
  /** Below the API's address: `/channels/...`. */
  readonly path: string;
  readonly body?: unknown;
  readonly png?: Uint8Array<ArrayBuffer> | null;
  /** The bot's token; null where the path itself is the proof. */
  readonly botToken: string | null;
}
export type DiscordApi = (call: DiscordCall) => Promise<DiscordResult>;

export function discordApi(address: string, fetch: Fetch): DiscordApi {
  return async ({ method, path, body, png, botToken }) => {
    let response: Response;
    try {
      response = await fetch(`${address}${path}`, {
        method,
        headers: {
          ...(botToken === null ? {} : { Authorization: `Bot ${botToken}` }),
          ...(body === undefined || png ? {} : { 'Content-Type': 'application/json' }),
        },
        ...(body === undefined ? {} : { body: png ? formOf(body, png) : JSON.stringify(body) }),
        redirect: 'manual',
        signal: AbortSignal.timeout(callPatienceMs),
      });
    } catch (error) {
      return neverSent(error) ? { kind: 'unreached' } : { kind: 'unknown', because: 'the connection to Discord broke' };
    }
    let text: string;
    try {
      text = await response.text();
    } catch {
      return { kind: 'unknown', because: "Discord's answer broke off" };
    }
    return read(response, text);
  };
}

function read(response: Response, text: string): DiscordResult {
  const fields = parse(text);
  if (response.status === 429) return { kind: 'wait', afterMs: waitOf(response, fields) };
  if (response.status >= 500) return { kind: 'unknown', because: `Discord answered ${response.status}` };
  if (response.status === 204) return { kind: 'ok', body: {} };
  if (!response.ok)
    return { kind: 'rejected', status: response.status, code: typeof fields?.code === 'number' ? fields.code : 0 };
  if (fields === null) return { kind: 'unknown', because: `Discord answered ${response.status} and no JSON` };
  return { kind: 'ok', body: fields };
}

/** Ids are texts in Discord's JSON; a list becomes the field `list`. */
function parse(text: string): Record<string, unknown> | null {
  try {
    const value: unknown = JSON.parse(text);
    if (Array.isArray(value)) return { list: value };
    return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : null;
  } catch {
    return null;
  }
}

/** The body's seconds (with a fraction), else the header's; nonsense is null. Source: discord-rate-limits */
function waitOf(response: Response, fields: Record<string, unknown> | null): number | null {
  if (typeof fields?.retry_after === 'number' && fields.retry_after > 0) return fields.retry_after * 1000;
  const given = response.headers.get('Retry-After') ?? '';
  return /^\d{1,9}(?:\.\d{1,6})?$/.test(given) ? Number(given) * 1000 : null;
}

function formOf(body: unknown, png: Uint8Array<ArrayBuffer>): FormData {
  const form = new FormData();
  form.set('payload_json', JSON.stringify(body));
  form.set('files[0]', new Blob([png], { type: 'image/png' }), 'picture.png');
  return form;
}

/** Whether a failed request never left: the name did not resolve or nobody listened. */
function neverSent(error: unknown): boolean {
  const cause = error instanceof Error ? error.cause : null;
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : '';
  return ['ECONNREFUSED', 'ENOTFOUND', 'EAI_AGAIN', 'EHOSTUNREACH', 'ENETUNREACH', 'UND_ERR_CONNECT_TIMEOUT'].includes(
    code,
  );
}
