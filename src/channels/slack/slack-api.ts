// Calls to Slack's Web API: one request each, no retries of its own (the outbox does that), and an outcome for every way in which
// it can end. The sender, the drafts and the token keeper call it.

/** Slack waits long for nobody, and neither do we [ms]. */
const callPatienceMs = 8_000;

/** How a call ended. `rejected` carries Slack's error word, `unknown` means that it may have taken effect. */
export type SlackResult =
  | { readonly kind: 'ok'; readonly body: Readonly<Record<string, unknown>> }
  | { readonly kind: 'rejected'; readonly error: string }
  | { readonly kind: 'wait'; readonly afterMs: number | null; readonly because: string }
  | { readonly kind: 'unreached'; readonly because: string }
  | { readonly kind: 'unknown'; readonly because: string };

export type Fetch = (address: string, init: RequestInit) => Promise<Response>;

export interface SlackApi {
  /** Calls a method with JSON; `token` null for methods that prove themselves otherwise. */
  call(method: string, token: string | null, input: Readonly<Record<string, unknown>>): Promise<SlackResult>;
  /** Calls a method with a form, as the methods for installation and files want it. */
  callForm(method: string, authorization: string | null, input: Readonly<Record<string, string>>): Promise<SlackResult>;
  /** Posts to an address that Slack gave for one purpose (response_url, upload_url). */
  post(address: string, body: BodyInit, type: string): Promise<SlackResult>;
}

/** @param address of the Web API, `https://slack.com/api` unless tests say otherwise */
export function slackApi(address: string, fetch: Fetch): SlackApi {
  const base = address.replace(/\/{1,9}$/, '');
  const bearer = (token: string | null) => (token === null ? {} : { Authorization: `Bearer ${token}` });
  return {
    call: (method, token, input) =>
      send(fetch, `${base}/${method}`, JSON.stringify(input), {
        'Content-Type': 'application/json; charset=utf-8',
        ...bearer(token),
      }),
    callForm: (method, authorization, input) =>
      send(fetch, `${base}/${method}`, new URLSearchParams(input).toString(), {
        'Content-Type': 'application/x-www-form-urlencoded',
        ...(authorization === null ? {} : { Authorization: authorization }),
      }),
    post: (target, body, type) => send(fetch, target, body, { 'Content-Type': type }, true),
  };
}

async function send(
  fetch: Fetch,
  address: string,
  body: BodyInit,
  headers: Readonly<Record<string, string>>,
  isPlain = false,
): Promise<SlackResult> {
  let response: Response;
  try {
    response = await fetch(address, {
      method: 'POST',
      headers,
      body,
      // A redirect would carry the token elsewhere; `error` is not known to the Workers runtime.
      redirect: 'manual',
      signal: AbortSignal.timeout(callPatienceMs),
    });
  } catch (error) {
    return neverSent(error)
      ? { kind: 'unreached', because: 'Slack cannot be reached' }
      : { kind: 'unknown', because: 'the connection to Slack broke' };
  }
  if (response.status === 429)
    return { kind: 'wait', afterMs: retryAfterMs(response), because: 'Slack asks for patience' };
  let text: string;
  try {
    text = await response.text();
  } catch {
    return { kind: 'unknown', because: "Slack's answer broke off" };
  }
  if (response.status >= 500) return { kind: 'unknown', because: `Slack answered ${response.status}` };
  return isPlain ? readPlain(response, text) : readBody(response, text);
}

function readBody(response: Response, text: string): SlackResult {
  let body: unknown;
  try {
    body = JSON.parse(text);
  } catch {
    return { kind: 'unknown', because: `Slack answered ${response.status} and no JSON` };
  }
  if (typeof body !== 'object' || body === null) return { kind: 'unknown', because: 'Slack answered with no object' };
  const fields = body as Record<string, unknown>;
  if (fields.ok === true && response.ok) return { kind: 'ok', body: fields };
  if (typeof fields.error !== 'string') return { kind: 'unknown', because: 'Slack named neither success nor error' };
  const error = fields.error.slice(0, 80);
  if (error === 'ratelimited') return { kind: 'wait', afterMs: retryAfterMs(response), because: error };
  return passing.test(error) ? { kind: 'unknown', because: error } : { kind: 'rejected', error };
}

/** Addresses for one purpose answer with a status, and with a word where they refuse. */
function readPlain(response: Response, text: string): SlackResult {
  if (response.ok && !/^\s{0,9}\{"ok":\s?false/.test(text)) return { kind: 'ok', body: {} };
  const word = /(?:"error":\s?")?([a-z_]{3,60})/.exec(text)?.[1] ?? `status_${response.status}`;
  return { kind: 'rejected', error: word };
}

/** Errors that pass by themselves; the call may have taken effect. Source: slack-api-specs (errors of chat.postMessage) */
const passing =
  /^(?:internal_error|fatal_error|request_timeout|service_unavailable|team_added_to_org|upgrade_in_progress|accesslimited)$/;

/** Seconds of Retry-After; nonsense is null. */
function retryAfterMs(response: Response): number | null {
  const given = response.headers.get('Retry-After') ?? '';
  return /^\d{1,9}(?:\.\d{1,6})?$/.test(given) ? Number(given) * 1000 : null;
}

/** Whether a failed request never left: the name did not resolve or nobody listened. */
function neverSent(error: unknown): boolean {
  const cause = error instanceof Error ? error.cause : null;
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : '';
  return ['ECONNREFUSED', 'ENOTFOUND', 'EAI_AGAIN', 'EHOSTUNREACH', 'ENETUNREACH', 'UND_ERR_CONNECT_TIMEOUT'].includes(
    code,
  );
}
