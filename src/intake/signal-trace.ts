// Keeps one unbroken stretch of a sensor's signal while a log goes by, for a picture: at most 120 samples, thinned evenly when the log
// is quick, so that it shows some fifteen seconds and the memory that it takes does not grow. log-summary.ts feeds it.

/** Most samples kept. */
const mostSamples = 120;
/** Fewest that make a picture worth drawing (judgement). */
const fewestSamples = 20;
/** A stretch of this many seconds shows a dozen switches of a healthy sensor, so no more is needed (judgement). */
const enoughSeconds = 15;

/** What was kept: evenly spaced samples in the quantity's own unit. */
export interface Trace {
  /** Time from the first to the last sample [s]; null when the log has no time. */
  readonly seconds: number | null;
  readonly values: number[];
}

/** The longest unbroken stretch so far, or the first that is long enough. */
export class SignalTrace {
  #values: number[] = [];
  #times: number[] = [];
  /** Only every so many rows are kept. */
  #stride = 1;
  #skipped = 0;
  #best: Trace | null = null;
  #isComplete = false;

  /**
   * One row of the condition that is traced.
   *
   * @param value      in the quantity's own unit; finite
   * @param time       in seconds; NaN when the log has none
   * @param isUnbroken whether the row follows the one before without a gap
   */
  add(value: number, time: number, isUnbroken: boolean): void {
    if (this.#isComplete) return;
    if (!isUnbroken && this.#values.length > 0) this.#close();
    this.#skipped += 1;
    if (this.#values.length > 0 && this.#skipped < this.#stride) return;
    this.#skipped = 0;
    this.#values.push(value);
    this.#times.push(time);
    if (this.#values.length < mostSamples) return;
    const seconds = this.#seconds();
    if (seconds === null || seconds >= enoughSeconds) {
      this.#close();
      this.#isComplete = true;
      return;
    }
    this.#values = this.#values.filter((_, index) => index % 2 === 0);
    this.#times = this.#times.filter((_, index) => index % 2 === 0);
    // The last kept row went with the odd ones: so many rows ago stands the one that is left.
    this.#skipped = this.#stride;
    this.#stride *= 2;
  }

  /** Null when no stretch was long enough to draw. */
  result(): Trace | null {
    if (!this.#isComplete) this.#close();
    return this.#best;
  }

  #close(): void {
    if (this.#values.length >= fewestSamples && this.#values.length > (this.#best?.values.length ?? 0))
      this.#best = { seconds: this.#seconds(), values: this.#values };
    this.#values = [];
    this.#times = [];
    this.#stride = 1;
    this.#skipped = 0;
  }

  #seconds(): number | null {
    const seconds = (this.#times.at(-1) ?? Number.NaN) - (this.#times[0] ?? Number.NaN);
    return Number.isFinite(seconds) && seconds > 0 ? seconds : null;
  }
}
