// Bolt's way in: hands events to its listeners and tells what to answer, whatever brought them (a request or a socket). Events
// of the Events API are acknowledged only when their listeners have ended, that is when the post is stored: bolt itself would
// acknowledge them first.
import type { App } from '@slack/bolt';
import { z } from 'zod';
import { Problem } from '../../vocabulary/problems.ts';
import { slackEnvelope } from './read-slack.ts';

/** Slack waits 3 s; what takes longer is better tried again [ms]. Source: slack-events-api */
const acknowledgeWithinMs = 2_800;

export interface SlackRequest {
  readonly body: Readonly<Record<string, unknown>>;
  readonly retryNum?: number;
  readonly retryReason?: string;
}

interface SlackProcessing {
  /** What to acknowledge with: text, an object, or nothing. @throws Problem when it could not be taken in */
  readonly answer: Promise<string | Readonly<Record<string, unknown>> | undefined>;
  /** Ends with the work that goes on after the acknowledgement; never rejects. */
  readonly done: Promise<void>;
}

export interface SlackReceiver {
  init(app: App): void;
  start(): Promise<void>;
  stop(): Promise<void>;
  process(request: SlackRequest): SlackProcessing;
}

const actor = { user: z.object({ id: z.string() }), team: z.object({ id: z.string() }).nullish() };
/** What bolt can dispatch without stumbling; the rest is acknowledged and left. */
const dispatched = z.union([
  slackEnvelope.extend({ type: z.literal('event_callback') }),
  z.object({ command: z.string(), user_id: z.string(), team_id: z.string() }),
  z.object({
    type: z.literal('block_actions'),
    ...actor,
    actions: z.array(z.object({ action_id: z.string() })).min(1),
  }),
  z.object({ type: z.literal('message_action'), ...actor, callback_id: z.string() }),
  z.object({ type: z.literal('view_submission'), ...actor, view: z.object({ callback_id: z.string() }) }),
]);

export function slackReceiver(): SlackReceiver {
  let app: App | null = null;
  return {
    init(made) {
      app = made;
    },
    start: async () => undefined,
    stop: async () => undefined,
    process({ body, retryNum, retryReason }) {
      const running = app;
      if (running === null) throw new Error('the receiver is not connected');
      if (!dispatched.safeParse(body).success) return { answer: Promise.resolve(undefined), done: Promise.resolve() };
      const isEvent = body.type === 'event_callback';
      let done: Promise<void> = Promise.resolve();
      const answer = new Promise<string | Record<string, unknown> | undefined>((resolve, reject) => {
        const timer = setTimeout(
          () => reject(new Problem('unavailable', 'It could not be stored in time; send it again.')),
          acknowledgeWithinMs,
        );
        const settled = () => clearTimeout(timer);
        done = running
          .processEvent({
            body,
            ...(retryNum === undefined ? {} : { retryNum }),
            ...(retryReason === undefined ? {} : { retryReason }),
            ack: async (given) => {
              if (isEvent) return;
              settled();
              resolve(given === undefined || given === '' ? undefined : given);
            },
          })
          .then(
            () => resolve(undefined),
            (error: unknown) => reject(problemIn(error) ?? error),
          )
          .finally(settled);
      });
      return { answer, done };
    },
  };
}

/** Bolt wraps what a listener throws. */
function problemIn(error: unknown): Problem | null {
  let inner = error;
  for (let depth = 0; depth < 4 && inner instanceof Error; depth += 1) {
    if (inner instanceof Problem) return inner;
    inner = 'original' in inner ? inner.original : inner.cause;
  }
  return null;
}
