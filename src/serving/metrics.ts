// Counts and times since start for /metrics, in the Prometheus text format. app.ts counts; on Workers the numbers are those of one
// isolate, while the stored ones (waiting, due, ...) are the same everywhere.
import { Counter, Gauge, Histogram, Registry } from 'prom-client';
import type { StoreCounts } from '../store/store.ts';

export interface Metrics {
  /** @param seconds from the request's arrival to its response [s] */
  countRequest(method: string, status: number, seconds: number): void;
  /** Time from the post's arrival to its stored answer [s]. */
  observeAnswer(seconds: number): void;
  /** Outcome of one attempt to send a message: sent, retry, unknown, given-up. */
  countDelivery(channel: string, outcome: string): void;
  render(stored: StoreCounts): Promise<string>;
  readonly contentType: string;
}

/** Upper bounds of the histograms [s]. */
const bounds = [0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10];

const storedGauges: ReadonlyArray<readonly [string, string, (stored: StoreCounts) => number]> = [
  ['posts_waiting', 'Posts stored and not yet answered.', (stored) => stored.waiting],
  ['posts_failed', 'Posts given to a helper after too many attempts.', (stored) => stored.failed],
  ['messages_due', 'Messages not yet delivered.', (stored) => stored.due],
  ['messages_undeliverable', 'Messages given up.', (stored) => stored.undeliverable],
  ['answers_stored', 'Answers in the log.', (stored) => stored.answers],
  ['helper_queue', 'Answers that wait for a helper.', (stored) => stored.helperWanted],
];

export function makeMetrics(): Metrics {
  const registry = new Registry();
  const registers = [registry];
  const name = (end: string) => `crosscount_${end}`;
  const responses = new Counter({
    name: name('http_responses_total'),
    help: 'Responses by class of status.',
    labelNames: ['class'],
    registers,
  });
  const requestSeconds = new Histogram({
    name: name('http_request_seconds'),
    help: 'Time from a request to its response.',
    labelNames: ['method'],
    buckets: bounds,
    registers,
  });
  const answerSeconds = new Histogram({
    name: name('answer_seconds'),
    help: 'Time from a post taken in to its answer stored.',
    buckets: bounds,
    registers,
  });
  const deliveries = new Counter({
    name: name('deliveries_total'),
    help: 'Attempts to send a message, by channel and outcome.',
    labelNames: ['channel', 'outcome'],
    registers,
  });
  const gauges = storedGauges.map(([end, help, read]) => ({
    gauge: new Gauge({ name: name(end), help, registers }),
    read,
  }));
  const methods = new Set(['GET', 'HEAD', 'POST', 'PUT', 'DELETE', 'OPTIONS']);
  return {
    contentType: registry.contentType,
    countRequest(method, status, seconds) {
      responses.inc({ class: `${Math.floor(status / 100)}xx` });
      // A caller may name any method; each would be a series of its own.
      requestSeconds.observe({ method: methods.has(method) ? method : 'other' }, seconds);
    },
    observeAnswer: (seconds) => answerSeconds.observe(seconds),
    countDelivery: (channel, outcome) => deliveries.inc({ channel, outcome }),
    async render(stored) {
      for (const { gauge, read } of gauges) gauge.set(read(stored));
      return registry.metrics();
    },
  };
}
