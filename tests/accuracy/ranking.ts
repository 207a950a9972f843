// Scores of a ranking against outcomes, as pure functions: accuracy.ts prints them over cases, tests check them against worked
// examples. Probabilities are over named causes and sum to 1.

/** One judged case. */
export interface Judged {
  readonly id: string;
  /** Probability of every cause listed. */
  readonly probability: ReadonlyMap<string, number>;
  /** The cause that it was. */
  readonly truth: string;
  /** Causes that a careful helper may put first as well. */
  readonly acceptable: readonly string[];
}

/** Floor of a probability in the log loss, so that one certain mistake does not make it infinite. */
export const logLossFloor = 1e-4;

/** Causes, most probable first; ties in the order of their names. */
export function ranked(judged: Judged): string[] {
  return [...judged.probability].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1)).map(([cause]) => cause);
}

/** Share of cases whose truth (or, when asked, an acceptable cause) is among the first `depth`. */
export function hitRate(cases: readonly Judged[], depth: number, withAcceptable = false): number {
  const hits = cases.filter((judged) => {
    const first = ranked(judged).slice(0, depth);
    return first.includes(judged.truth) || (withAcceptable && judged.acceptable.some((cause) => first.includes(cause)));
  });
  return cases.length === 0 ? 0 : hits.length / cases.length;
}

/** Mean of -ln p(truth), clipped at the floor [nats] (Good 1952). */
export function logLoss(cases: readonly Judged[], floor = logLossFloor): number {
  const sum = cases.reduce(
    (total, judged) => total - Math.log(Math.max(floor, judged.probability.get(judged.truth) ?? 0)),
    0,
  );
  return cases.length === 0 ? 0 : sum / cases.length;
}

/** Mean over cases of the sum over causes of (p - y)^2, 0 to 2: the many-class form of Brier (1950). */
export function brierScore(cases: readonly Judged[]): number {
  const sum = cases.reduce((total, judged) => {
    let one = judged.probability.has(judged.truth) ? 0 : 1;
    for (const [cause, probability] of judged.probability) one += (probability - (cause === judged.truth ? 1 : 0)) ** 2;
    return total + one;
  }, 0);
  return cases.length === 0 ? 0 : sum / cases.length;
}

export interface ReliabilityBin {
  readonly from: number;
  readonly to: number;
  readonly count: number;
  readonly confidence: number;
  readonly accuracy: number;
}

/**
 * Reliability of the first place: bins (from, to] of its probability with how often it was right.
 *
 * @param first probability of the first place and whether it was right
 * @param edges rising, e.g. 0.5, 0.6, ... 1; what lies outside is not counted
 */
export function reliability(
  first: ReadonlyArray<{ readonly probability: number; readonly right: boolean }>,
  edges: readonly number[],
): ReliabilityBin[] {
  return edges.slice(1).map((to, index) => {
    const from = edges[index]!;
    const inside = first.filter((item) => item.probability > from && item.probability <= to);
    const count = inside.length;
    return {
      from,
      to,
      count,
      confidence: count === 0 ? 0 : inside.reduce((sum, item) => sum + item.probability, 0) / count,
      accuracy: count === 0 ? 0 : inside.filter((item) => item.right).length / count,
    };
  });
}

/** Expected calibration error (Naeini, Cooper and Hauskrecht 2015): bins' gaps weighed by their counts. */
export function expectedCalibrationError(bins: readonly ReliabilityBin[]): number {
  const count = bins.reduce((sum, bin) => sum + bin.count, 0);
  return count === 0
    ? 0
    : bins.reduce((sum, bin) => sum + (bin.count / count) * Math.abs(bin.accuracy - bin.confidence), 0);
}

/** The largest gap of a bin that holds anything. */
export function maximumCalibrationError(bins: readonly ReliabilityBin[]): number {
  return bins.reduce(
    (most, bin) => (bin.count > 0 ? Math.max(most, Math.abs(bin.accuracy - bin.confidence)) : most),
    0,
  );
}

/** First places of cases, for `reliability`. */
export function firstPlaces(cases: readonly Judged[]): Array<{ probability: number; right: boolean }> {
  return cases.map((judged) => {
    const first = ranked(judged)[0] ?? '';
    return { probability: judged.probability.get(first) ?? 0, right: first === judged.truth };
  });
}

/** Validation third: by a hash of the id that nobody chose (FNV-1a), the same on every machine. */
export function isValidation(id: string): boolean {
  let hash = 0x811c9dc5;
  for (let index = 0; index < id.length; index += 1) {
    hash = Math.imul(hash ^ id.charCodeAt(index), 0x01000193) >>> 0;
  }
  return hash % 3 === 0;
}
