// The HTTP routes of Slack: events, commands and interactions at one address, and the installation by a workspace. app.ts
// mounts them at /slack.
import { type Context, Hono } from 'hono';
import { isDeeperThan } from '../../serving/read-json.ts';
import { Problem } from '../../vocabulary/problems.ts';
import { slackApp } from './slack-app.ts';
import type { SlackRoutesDeps } from './slack-deps.ts';
import { installRoutes } from './slack-install.ts';
import { type SlackRequest, slackReceiver } from './slack-receiver.ts';
import { isFromSlack } from './verify-slack.ts';

const depthLimit = 64;

export function slackRoutes(deps: SlackRoutesDeps): Hono {
  const routes = new Hono();
  const receiver = slackReceiver();
  slackApp(deps, receiver);

  routes.post('/events', async (context) => {
    const body = new Uint8Array(await receive(context.req.raw));
    const isForm = (context.req.header('Content-Type') ?? '')
      .toLowerCase()
      .startsWith('application/x-www-form-urlencoded');
    // A check of the certificate comes unsigned now and then; it changes nothing and learns nothing.
    // Source: bolt-js issue 614
    if (isForm && body.length < 2_000 && /(?:^|&)ssl_check=1(?:&|$)/.test(new TextDecoder().decode(body)))
      return context.body('', 200);
    const proof = {
      body,
      timestamp: context.req.header('X-Slack-Request-Timestamp') ?? null,
      signature: context.req.header('X-Slack-Signature') ?? null,
    };
    if (!(await isFromSlack(proof, deps.settings.signingSecrets, deps.clock())))
      throw new Problem('unauthorised', 'The signature is missing, wrong or too old.');
    const read = isForm ? readForm(decode(body)) : readJsonText(decode(body));
    if (read.type === 'url_verification') return context.text(String(read.challenge ?? '').slice(0, 500));
    const processing = receiver.process({ body: read, ...retryOf(context) });
    keepAlive(context, processing.done);
    const answer = await processing.answer;
    if (answer === undefined) return context.body('', 200);
    return typeof answer === 'string' ? context.text(answer) : context.json(answer);
  });

  if (deps.settings.install !== null) routes.route('/', installRoutes(deps, deps.settings.install));
  return routes;
}

/** On Workers what runs after the response must be announced; on Node it goes on by itself. */
function keepAlive(context: Context, work: Promise<void>): void {
  const quiet = work.catch(() => undefined);
  let execution: Context['executionCtx'];
  try {
    execution = context.executionCtx;
  } catch {
    return;
  }
  execution.waitUntil(quiet);
}

async function receive(request: Request): Promise<ArrayBuffer> {
  try {
    return await request.arrayBuffer();
  } catch (error) {
    if (error instanceof Problem) throw error;
    throw new Problem('invalid', 'The body broke off.', { cause: error });
  }
}

function decode(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw new Problem('invalid', 'The body is not UTF-8 text.');
  }
}

function readJsonText(text: string): Record<string, unknown> {
  if (isDeeperThan(text, depthLimit)) throw new Problem('invalid', 'The body is nested too deep.');
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    throw new Problem('invalid', 'The body is not JSON.');
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw new Problem('invalid', 'The body is not an object.');
  return value as Record<string, unknown>;
}

/** Interactions carry JSON in one field; a command is its fields. */
function readForm(text: string): Record<string, unknown> {
  const fields = new URLSearchParams(text);
  const payload = fields.get('payload');
  return payload === null ? Object.fromEntries(fields) : readJsonText(payload);
}

function retryOf(context: Context): Pick<SlackRequest, 'retryNum' | 'retryReason'> {
  const number = context.req.header('X-Slack-Retry-Num');
  const reason = context.req.header('X-Slack-Retry-Reason');
  return {
    ...(number !== undefined && /^\d{1,3}$/.test(number) ? { retryNum: Number(number) } : {}),
    ...(reason === undefined ? {} : { retryReason: reason.slice(0, 60) }),
  };
}
