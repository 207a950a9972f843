// Delivery: due messages of the outbox to their channels, at least once each, in order within a conversation. The front doors
// call it after a turn and in their sweep.
import type { Channel, SendOutcome } from './channels/channel.ts';
import { describeError, type Log } from './serving/log.ts';
import type { OutboxMessage, Store } from './store/store.ts';

export interface DeliveryDeps {
  readonly store: Store;
  readonly channels: readonly Channel[];
  /** Milliseconds since 1970. */
  readonly clock: () => number;
  /** Uniform in [0, 1). */
  readonly random: () => number;
  readonly log: Log;
}

/** Longer than a channel's own time-out for one request, so that a slow sending is not done twice [ms]. */
const messageLeaseMs = 20_000;
/** Attempts before a message goes to the undeliverable list: with the delays below about 70 minutes on average. */
export const mostSendAttempts = 30;
const firstDelayMs = 1_000;
const longestDelayMs = 5 * 60_000;
/** A platform that asks for more than this is taken to mean this [ms]. */
export const longestRetryAfterMs = 60 * 60_000;

/** Sends due messages until none is left or `most` were tried. @returns how many were tried */
export async function deliverDue(deps: DeliveryDeps, most: number): Promise<number> {
  let tried = 0;
  while (tried < most) {
    const messages = await deps.store.claimDueMessages(deps.clock(), messageLeaseMs, Math.min(20, most - tried));
    if (messages.length === 0) break;
    // Different conversations side by side: a slow platform delays nobody else.
    await Promise.all(messages.map((message) => deliver(deps, message)));
    tried += messages.length;
  }
  return tried;
}

async function deliver(deps: DeliveryDeps, message: OutboxMessage): Promise<void> {
  const { store, clock, log } = deps;
  const outcome = await send(deps, message);
  if (outcome.kind === 'sent') return store.markSent(message.messageId, clock());
  const about = {
    messageId: message.messageId,
    channel: message.channel,
    attempt: message.attempts,
    outcome: outcome.kind,
    because: outcome.because.slice(0, 200),
  };
  if (outcome.kind === 'refused' || message.attempts >= mostSendAttempts) {
    log.error('message undeliverable', about);
    return store.postponeMessage(message.messageId, null);
  }
  log.warn('message postponed', about);
  const asked = outcome.kind === 'retry' ? outcome.afterMs : null;
  return store.postponeMessage(message.messageId, clock() + retryDelayMs(message.attempts, asked, deps.random));
}

async function send(deps: DeliveryDeps, message: OutboxMessage): Promise<SendOutcome> {
  const channel = deps.channels.find((candidate) => candidate.name === message.channel);
  if (!channel) return { kind: 'refused', because: 'there is no such channel' };
  if (channel.offBecause !== null) return { kind: 'retry', afterMs: longestDelayMs, because: channel.offBecause };
  try {
    return await channel.send(message);
  } catch (error) {
    deps.log.error('channel failed', { channel: message.channel, ...describeError(error) });
    return { kind: 'unknown', because: 'the channel failed' };
  }
}

/**
 * How long to wait before the next attempt [ms]: full jitter, uniform between 0 and min(5 min, 1 s * 2^attempts), and never
 * less than the platform asked for, which counts up to an hour.
 *
 * @param attempts attempts made so far, 1 after the first
 * @param askedMs  the platform's Retry-After; null or nonsense (negative, not finite) when it gave none
 * Source: common practice (full jitter)
 */
export function retryDelayMs(attempts: number, askedMs: number | null, random: () => number): number {
  const jitter = random() * Math.min(longestDelayMs, firstDelayMs * 2 ** Math.min(attempts, 30));
  const asked =
    askedMs !== null && Number.isFinite(askedMs) && askedMs > 0 ? Math.min(askedMs, longestRetryAfterMs) : 0;
  return Math.round(Math.max(asked, jitter));
}
