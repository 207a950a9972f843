// Delivery: due messages of the outbox to their channels, at least once each, in order within a conversation. The front doors
// call it after a turn and in their sweep; one courier lives as long as the program.
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
  /** Told of every attempt's outcome, for /metrics. */
  readonly countDelivery?: (channel: string, outcome: SendOutcome['kind'] | 'given-up') => void;
}

export interface Courier {
  /**
   * Sends what is due until nothing is left that may go now, or `most` were tried. A call while another one runs makes that one
   * look again and ends with it.
   * @returns how many were tried
   */
  deliver(most: number): Promise<number>;
}

/** Longer than a channel's look-up and sending together, so that a slow sending is not done twice [ms]. */
const messageLeaseMs = 30_000;
/** How long a message is tried before it goes to the undeliverable list [ms]: a day. */
export const givenUpAfterMs = 24 * 60 * 60_000;
const firstDelayMs = 1_000;
const longestDelayMs = 5 * 60_000;
/** A platform that asks for more than this is taken to mean this [ms]. */
export const longestRetryAfterMs = 60 * 60_000;
/** Sendings at once on one channel, each of another conversation. */
export const sendingsAtOnce = 10;
/** Failures in a row after which a channel is taken to be down and only one message at a time finds out whether it is back. */
export const failuresUntilDown = 5;
/** Longest pause between two such attempts [ms]. */
const longestProbePauseMs = 30_000;

export function makeCourier(deps: DeliveryDeps): Courier {
  const lanes = new Map(deps.channels.map((channel) => [channel.name, makeLane(deps, channel)]));
  return {
    async deliver(most) {
      const on = [...lanes].filter(([name]) => isOn(deps, name));
      const tried = await Promise.all([...on.map(([, lane]) => lane(most)), refuseUnknown(deps, most)]);
      return tried.reduce((sum, count) => sum + count, 0);
    },
  };
}

/** Messages of a channel that is off wait: its settings may come back. */
function isOn(deps: DeliveryDeps, name: string): boolean {
  return deps.channels.some((channel) => channel.name === name && channel.offBecause === null);
}

/** What is addressed to a channel that this program does not have goes to the undeliverable list. */
async function refuseUnknown(deps: DeliveryDeps, most: number): Promise<number> {
  const { store, clock, log } = deps;
  const except = deps.channels.map((channel) => channel.name);
  const messages = await store.claimDueMessages(clock(), messageLeaseMs, Math.min(20, most), { except });
  for (const { messageId, channel } of messages) {
    const because = 'there is no such channel';
    log.error('message undeliverable', { messageId, channel, because });
    await store.postponeMessage(messageId, { retryAt: null, now: clock(), unsure: false, asked: false, because });
  }
  return messages.length;
}

/** One channel's sendings: side by side for different conversations, so that a slow one holds up nobody else. */
function makeLane(deps: DeliveryDeps, channel: Channel): (most: number) => Promise<number> {
  const { store, clock, random, log } = deps;
  let failures = 0;
  let probeAt = 0;
  let running: Promise<number> | null = null;
  let look = () => {};

  const isDown = () => failures >= failuresUntilDown;

  async function deliver(message: OutboxMessage): Promise<void> {
    const outcome = await send(deps, channel, message);
    if (outcome.kind === 'sent') {
      deps.countDelivery?.(channel.name, 'sent');
      const wasDown = isDown();
      failures = 0;
      await store.markSent(message.messageId, clock(), outcome.platformId ?? null);
      if (wasDown)
        log.info('channel is back', { channel: channel.name, due: await store.hastenMessages(channel.name, clock()) });
      return;
    }
    const asked = outcome.kind === 'retry' ? outcome.afterMs : null;
    if (outcome.kind === 'unknown' || (outcome.kind === 'retry' && asked === null)) {
      failures += 1;
      if (isDown()) {
        const pause = Math.min(longestProbePauseMs, firstDelayMs * 2 ** Math.min(failures - failuresUntilDown, 20));
        probeAt = clock() + pause / 2 + (random() * pause) / 2;
      }
    } else failures = 0;
    const now = clock();
    const givenUp = outcome.kind === 'refused' || now - message.createdAt >= givenUpAfterMs;
    deps.countDelivery?.(channel.name, givenUp ? 'given-up' : outcome.kind);
    const because = outcome.because.slice(0, 200);
    const about = {
      messageId: message.messageId,
      channel: message.channel,
      attempt: message.attempts,
      outcome: outcome.kind,
      because,
    };
    if (givenUp) log.error('message undeliverable', about);
    else log.warn('message postponed', about);
    await store.postponeMessage(message.messageId, {
      retryAt: givenUp ? null : now + retryDelayMs(message.attempts, asked, random),
      now,
      unsure: outcome.kind === 'unknown',
      asked: usable(asked) > 0,
      because,
    });
  }

  async function run(most: number): Promise<number> {
    const inFlight = new Set<Promise<void>>();
    let tried = 0;
    let broken: { readonly error: unknown } | null = null;
    for (;;) {
      const looked = new Promise<void>((resolve) => {
        look = resolve;
      });
      const slots = isDown() ? (clock() >= probeAt ? 1 : 0) : sendingsAtOnce;
      const room = Math.min(slots - inFlight.size, most - tried);
      const wasIdle = inFlight.size === 0;
      const messages =
        room > 0 && broken === null
          ? await store.claimDueMessages(clock(), messageLeaseMs, room, { only: channel.name })
          : [];
      tried += messages.length;
      for (const message of messages) {
        const sending: Promise<void> = deliver(message)
          .catch((error: unknown) => {
            broken ??= { error };
          })
          .finally(() => inFlight.delete(sending));
        inFlight.add(sending);
      }
      if (messages.length > 0 && inFlight.size < slots) continue;
      // One that ended while we looked may have let the next of its conversation go.
      if (wasIdle && inFlight.size === 0) break;
      if (inFlight.size > 0) await Promise.race([...inFlight, looked]);
    }
    if (broken !== null) throw (broken as { readonly error: unknown }).error;
    return tried;
  }

  return (most) => {
    if (running !== null) {
      look();
      return running.then(() => 0);
    }
    running = run(most).finally(() => {
      running = null;
    });
    return running;
  };
}

async function send(deps: DeliveryDeps, channel: Channel, message: OutboxMessage): Promise<SendOutcome> {
  try {
    if (message.unsure && channel.find) {
      const found = await channel.find(message);
      if (found.kind === 'found') return { kind: 'sent', platformId: found.platformId };
      if (found.kind === 'unsure') return { kind: 'unknown', because: `cannot look it up: ${found.because}` };
    }
    return await channel.send(message);
  } catch (error) {
    deps.log.error('channel failed', { channel: message.channel, ...describeError(error) });
    return { kind: 'unknown', because: 'the channel failed' };
  }
}

function usable(askedMs: number | null): number {
  return askedMs !== null && Number.isFinite(askedMs) && askedMs > 0 ? Math.min(askedMs, longestRetryAfterMs) : 0;
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
  return Math.round(Math.max(usable(askedMs), jitter));
}
