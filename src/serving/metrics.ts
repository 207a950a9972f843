// Counts since start, in the Prometheus text format 0.0.4, for /metrics. app.ts counts; on Workers the numbers are those of one
// isolate, while the stored ones (waiting, due, ...) are the same everywhere.
import type { StoreCounts } from '../store/store.ts';

export interface Metrics {
  countRequest(status: number): void;
  /** Time from the post's arrival to its stored answer [s]. */
  observeAnswer(seconds: number): void;
  render(stored: StoreCounts): string;
}

/** Upper bounds of the histogram [s]. */
const bounds = [0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10] as const;

export function makeMetrics(): Metrics {
  const requests = new Map<string, number>();
  const buckets = bounds.map(() => 0);
  let answers = 0;
  let seconds = 0;
  return {
    countRequest(status) {
      const kind = `${Math.floor(status / 100)}xx`;
      requests.set(kind, (requests.get(kind) ?? 0) + 1);
    },
    observeAnswer(took) {
      answers += 1;
      seconds += took;
      for (const [index, bound] of bounds.entries()) if (took <= bound) buckets[index] = buckets[index]! + 1;
    },
    render(stored) {
      const family = (name: string, kind: 'counter' | 'gauge' | 'histogram', help: string, lines: string[]) =>
        [`# HELP ${name} ${help}`, `# TYPE ${name} ${kind}`, ...lines].join('\n');
      const gauge = (name: string, help: string, value: number) =>
        family(`crosscount_${name}`, 'gauge', help, [`crosscount_${name} ${value}`]);
      return `${[
        family(
          'crosscount_http_responses_total',
          'counter',
          'Responses by class of status.',
          [...requests].sort().map(([kind, count]) => `crosscount_http_responses_total{class="${kind}"} ${count}`),
        ),
        family('crosscount_answer_seconds', 'histogram', 'Time from a post taken in to its answer stored.', [
          ...bounds.map((bound, index) => `crosscount_answer_seconds_bucket{le="${bound}"} ${buckets[index]}`),
          `crosscount_answer_seconds_bucket{le="+Inf"} ${answers}`,
          `crosscount_answer_seconds_sum ${seconds}`,
          `crosscount_answer_seconds_count ${answers}`,
        ]),
        gauge('posts_waiting', 'Posts stored and not yet answered.', stored.waiting),
        gauge('posts_failed', 'Posts given to a helper after too many attempts.', stored.failed),
        gauge('messages_due', 'Messages not yet delivered.', stored.due),
        gauge('messages_undeliverable', 'Messages given up.', stored.undeliverable),
        gauge('answers_stored', 'Answers in the log.', stored.answers),
        gauge('helper_queue', 'Answers that wait for a helper.', stored.helperWanted),
      ].join('\n')}\n`;
    },
  };
}
