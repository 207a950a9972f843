// What the recorded voltage of a switching oxygen sensor shows: how often it switches, how far, how fast, and whether that is
// healthy. It looks at each sample once, so a log of a million rows takes a moment and no extra memory.
import { type Result, refuse } from './result.ts';

/**
 * Voltages of the judgement [V]. The control unit's threshold, and levels that a healthy signal passes: textbook and training figures
 * (450 mV; above 700 to 800; below 150 to 200; edges timed from 300 to 600). Source: common practice.
 */
const level = { threshold: 0.45, hysteresis: 0.05, high: 0.7, low: 0.2, edgeLow: 0.3, edgeHigh: 0.6 } as const;

/** A sample at or above this is the top of the byte's scale or no sensor of this kind [V]. Source: sae-j1979 (255/200 = 1.275). */
const topOfScale = 1.27;

/** Fewer fresh values than this between two crossings cannot follow the signal (judgement: Nyquist asks for more than 2). */
const freshPerSwitch = 3;

/** A gap beyond this ends a stretch [s]: the logger paused. */
const longestGap = 2;

export interface SignalOptions {
  /** Behind the catalyst a steady signal is the healthy one. Default `front`. */
  readonly place?: 'front' | 'rear';
}

export interface SignalSummary {
  /** Crossings of 0.45 V by second; null when the log has no times or is too slow to tell. */
  readonly switchesPerSecond: number | null;
  /** [V] over the samples that count. */
  readonly minimum: number;
  readonly maximum: number;
  /** By time where times are known, else by sample [V]. */
  readonly mean: number;
  /** Share of the time above 0.45 V, 0 to 1. */
  readonly richShare: number;
  /** Mean time on each side of 0.45 V [s]; null when there was no whole visit. */
  readonly richDwell: number | null;
  readonly leanDwell: number | null;
  /** Mean time from 0.3 to 0.6 V and back [ms]; null when the sampling is too coarse to time an edge. */
  readonly riseTime: number | null;
  readonly fallTime: number | null;
  readonly crossings: number;
  /** Samples counted, and left out because they were no voltage of such a sensor. */
  readonly samples: number;
  readonly leftOut: number;
  /** Mean time between values that are new [s]; null without times. Slow polling repeats a value in many rows. */
  readonly freshEvery: number | null;
  readonly verdict:
    | 'healthy'
    | 'slow'
    | 'weak'
    | 'stuck-lean'
    | 'stuck-rich'
    | 'no-activity'
    | 'steady'
    | 'cannot-tell';
  /** Why, in plain sentences. */
  readonly reasons: readonly string[];
}

/**
 * @param volts one entry a row [V]; values that are no number, and those at the top of the scale, are left out and counted
 * @param times of the same rows [s], never falling, or null when the log has none: then nothing by time is claimed
 * @returns the summary; refused when there are fewer than 10 usable samples, when lengths differ, or when time runs backwards
 * Source: common practice for the limits (training texts: 450 mV, 7 to 8 crossings in 10 s at 2500 1/min, edges under 100 ms).
 */
export function sensorSignal(
  volts: ArrayLike<number>,
  times: ArrayLike<number> | null,
  options: SignalOptions = {},
): Result<SignalSummary> {
  if (times !== null && times.length !== volts.length) return refuse('There are not as many times as voltages.');
  const tally = new Tally();
  for (let index = 0; index < volts.length; index += 1) {
    const at = times === null ? Number.NaN : times[index]!;
    if (times !== null && !Number.isFinite(at)) {
      tally.leftOut += 1;
      continue;
    }
    if (at < tally.lastTime) return refuse('The times of the log run backwards, so it was put together from pieces.');
    const volt = volts[index]!;
    if (volt > -0.2 && volt < topOfScale) tally.take(volt, at);
    else tally.leftOut += 1;
  }
  if (tally.samples < 10) return refuse('Fewer than ten readings of the sensor are too few to judge it.');
  const summary = tally.summarise();
  return { valid: true, value: { ...summary, ...judge(summary, options.place ?? 'front') } };
}

type Measured = Omit<SignalSummary, 'verdict' | 'reasons'>;

/** Running sums over the samples; plain numbers only, so that a long log costs no memory. */
class Tally {
  samples = 0;
  leftOut = 0;
  lastTime = Number.NEGATIVE_INFINITY;
  private minimum = Number.POSITIVE_INFINITY;
  private maximum = Number.NEGATIVE_INFINITY;
  private sum = 0;
  private above = 0;
  private lastVolt = Number.NaN;
  private fresh = 0;
  /** Time covered without pauses, the voltage over it, and the part above the threshold [s]. */
  private covered = 0;
  private area = 0;
  private richTime = 0;
  private crossings = 0;
  /** 1 above the threshold, -1 below, 0 before the first clear sample. */
  private side = 0;
  private sideSince = Number.NaN;
  private readonly dwell = { rich: 0, lean: 0, richVisits: 0, leanVisits: 0 };
  private edgeStart = Number.NaN;
  private edgeWay = 0;
  private readonly edges = { rise: 0, rises: 0, fall: 0, falls: 0 };

  take(volt: number, at: number): void {
    this.samples += 1;
    this.sum += volt;
    if (volt < this.minimum) this.minimum = volt;
    if (volt > this.maximum) this.maximum = volt;
    if (volt > level.threshold) this.above += 1;
    const step = at - this.lastTime;
    const isJoined = step <= longestGap;
    if (isJoined) {
      this.covered += step;
      this.area += (step * (volt + this.lastVolt)) / 2;
      if (this.lastVolt > level.threshold) this.richTime += step;
    } else {
      // A pause, or the first sample, or no times at all: no visit or edge reaches across it.
      this.sideSince = Number.NaN;
      this.edgeStart = Number.NaN;
      this.edgeWay = 0;
    }
    if (volt !== this.lastVolt) this.fresh += 1;
    if (isJoined) this.timeEdge(volt, at, step);
    this.cross(volt, at);
    this.lastVolt = volt;
    if (!Number.isNaN(at)) this.lastTime = at;
  }

  private cross(volt: number, at: number): void {
    const side =
      volt > level.threshold + level.hysteresis ? 1 : volt < level.threshold - level.hysteresis ? -1 : this.side;
    if (side === this.side) return;
    if (this.side !== 0) {
      this.crossings += 1;
      const stayed = at - this.sideSince;
      if (stayed >= 0) {
        this.dwell[this.side > 0 ? 'rich' : 'lean'] += stayed;
        this.dwell[this.side > 0 ? 'richVisits' : 'leanVisits'] += 1;
      }
      this.sideSince = at;
    }
    this.side = side;
  }

  /** Times the way between the two edge voltages, with straight lines between samples. */
  private timeEdge(volt: number, at: number, step: number): void {
    const before = this.lastVolt;
    if (before < level.edgeLow && volt >= level.edgeLow) {
      this.edgeStart = passed(level.edgeLow, before, volt, at, step);
      this.edgeWay = 1;
    } else if (before > level.edgeHigh && volt <= level.edgeHigh) {
      this.edgeStart = passed(level.edgeHigh, before, volt, at, step);
      this.edgeWay = -1;
    }
    if (this.edgeWay > 0 && volt >= level.edgeHigh) {
      this.edges.rise += passed(level.edgeHigh, before, volt, at, step) - this.edgeStart;
      this.edges.rises += 1;
      this.edgeWay = 0;
    } else if (this.edgeWay < 0 && volt <= level.edgeLow) {
      this.edges.fall += passed(level.edgeLow, before, volt, at, step) - this.edgeStart;
      this.edges.falls += 1;
      this.edgeWay = 0;
    } else if ((this.edgeWay > 0 && volt < level.edgeLow) || (this.edgeWay < 0 && volt > level.edgeHigh)) {
      // Turned back before the other level: no edge.
      this.edgeWay = 0;
    }
  }

  summarise(): Measured {
    const isTimed = this.covered > 0;
    const freshEvery = isTimed ? this.covered / Math.max(1, this.fresh) : null;
    const isFollowed = this.crossings === 0 || this.fresh / this.crossings >= freshPerSwitch;
    const timeEdge = (total: number, count: number) => {
      if (count === 0 || freshEvery === null) return null;
      const mean = total / count;
      // An edge that falls between two samples is as long as the sampling makes it look.
      return mean > 1.5 * freshEvery ? 1000 * mean : null;
    };
    const mean = (total: number, count: number) => (isTimed && isFollowed && count > 0 ? total / count : null);
    return {
      switchesPerSecond: isTimed && isFollowed ? this.crossings / this.covered : null,
      minimum: this.minimum,
      maximum: this.maximum,
      mean: isTimed ? this.area / this.covered : this.sum / this.samples,
      richShare: isTimed ? this.richTime / this.covered : this.above / this.samples,
      richDwell: mean(this.dwell.rich, this.dwell.richVisits),
      leanDwell: mean(this.dwell.lean, this.dwell.leanVisits),
      riseTime: timeEdge(this.edges.rise, this.edges.rises),
      fallTime: timeEdge(this.edges.fall, this.edges.falls),
      crossings: this.crossings,
      samples: this.samples,
      leftOut: this.leftOut,
      freshEvery,
    };
  }
}

/** When a straight line from `before` to `volt`, ending at `at` after `step`, passes `target` [s]. */
function passed(target: number, before: number, volt: number, at: number, step: number): number {
  return at - step + (step * (target - before)) / (volt - before);
}

/** Slower than this at 2500 1/min is slow: 7 crossings in 10 s, less a margin [1/s]. Source: common practice. */
const slowest = 0.5;

function judge(signal: Measured, place: 'front' | 'rear'): Pick<SignalSummary, 'verdict' | 'reasons'> {
  const reasons: string[] = [];
  const swing = signal.maximum - signal.minimum;
  if (signal.leftOut > 0)
    reasons.push(`${signal.leftOut} readings were no voltage of such a sensor and were left out.`);
  if (place === 'rear') {
    if (swing < 0.3 || (signal.switchesPerSecond ?? 1) < 0.1)
      return { verdict: 'steady', reasons: [...reasons, 'The signal is steady, as it is behind a working catalyst.'] };
    return {
      verdict: 'cannot-tell',
      reasons: [...reasons, 'The signal moves; whether that is the catalyst shows only beside the front sensor.'],
    };
  }
  if (swing < 0.15 && signal.minimum > 0.35 && signal.maximum < 0.6)
    return {
      verdict: 'no-activity',
      reasons: [...reasons, 'The voltage rests near the half-way mark and does not move.'],
    };
  if (signal.maximum < level.threshold)
    return { verdict: 'stuck-lean', reasons: [...reasons, 'The voltage never rises above 0.45 V.'] };
  if (signal.minimum > level.threshold)
    return { verdict: 'stuck-rich', reasons: [...reasons, 'The voltage never falls below 0.45 V.'] };
  if (signal.freshEvery === null)
    return {
      verdict: 'cannot-tell',
      reasons: [...reasons, 'The log has no times, so how often the sensor switches cannot be known.'],
    };
  if (signal.switchesPerSecond === null)
    return {
      verdict: 'cannot-tell',
      reasons: [
        ...reasons,
        `A new value came only every ${signal.freshEvery.toFixed(2)} s, too slowly to follow a sensor that switches.`,
      ],
    };
  // Few crossings in slow sampling may be many that were missed.
  if (signal.freshEvery > 0.5 && signal.switchesPerSecond < slowest)
    return {
      verdict: 'cannot-tell',
      reasons: [
        ...reasons,
        `A new value came only every ${signal.freshEvery.toFixed(2)} s, so switches may have been missed.`,
      ],
    };
  if (signal.maximum < level.high || signal.minimum > level.low) {
    return {
      verdict: 'weak',
      reasons: [
        ...reasons,
        `The voltage moves only between ${signal.minimum.toFixed(2)} and ${signal.maximum.toFixed(2)} V; a healthy sensor passes 0.2 and 0.7.`,
      ],
    };
  }
  const edges = [signal.riseTime, signal.fallTime].filter((edge) => edge !== null);
  const slowEdge = edges.some((edge) => edge > 300);
  if (signal.switchesPerSecond < slowest || slowEdge)
    return {
      verdict: 'slow',
      reasons: [
        ...reasons,
        signal.switchesPerSecond < slowest
          ? `It switches ${signal.switchesPerSecond.toFixed(2)} times a second; warm and at 2,500 rpm at least 0.7 is usual.`
          : `An edge takes ${Math.max(...edges).toFixed(0)} ms; a fresh sensor needs less than 100.`,
      ],
    };
  return {
    verdict: 'healthy',
    reasons: [
      ...reasons,
      `It switches ${signal.switchesPerSecond.toFixed(1)} times a second between ${signal.minimum.toFixed(2)} and ${signal.maximum.toFixed(2)} V.`,
    ],
  };
}
