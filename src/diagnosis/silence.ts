// What a post does not say. Owners write about what troubles them: a dead cylinder, a stall or blue smoke is seldom left out, so
// silence about it speaks a little against the faults that bring it. The design takes silence for no evidence; on retold cases
// that ranked misfire first wherever nothing was said about running, so it counts here, much less than a denial.

/** Probability that an owner who has the symptom tells of it unasked, in a post that tells of others (judgement). */
const toldUnasked: Readonly<Record<string, number>> = {
  'no-start': 0.85,
  'check-engine-light': 0.4,
  overheating: 0.65,
  'check-engine-light-flashing': 0.5,
  stall: 0.5,
  'blue-smoke': 0.5,
  'white-smoke': 0.45,
  misfire: 0.5,
  'rough-idle': 0.4,
  'exhaust-noise': 0.4,
  'coolant-loss': 0.4,
  'low-power': 0.4,
  'hard-start': 0.35,
  'black-smoke': 0.35,
  'oil-use': 0.35,
  knocking: 0.35,
  hesitation: 0.3,
  'fuel-smell': 0.3,
  'high-idle': 0.25,
  'poor-fuel-economy': 0.25,
};

/** A post that tells of codes or figures alone leaves out more. */
const withoutSymptoms = 0.6;

/**
 * Symptoms that a post leaves out, with the probability that it would have told of them.
 *
 * @param mentioned  every symptom said, denied or unsure, now or before
 * @param complaints number of symptoms said to be there now
 */
export function leftUnsaid(
  mentioned: ReadonlySet<string>,
  complaints: number,
): Array<{ readonly symptom: string; readonly told: number }> {
  const scale = complaints > 0 ? 1 : withoutSymptoms;
  return Object.entries(toldUnasked)
    .filter(([symptom]) => !mentioned.has(symptom))
    .map(([symptom, told]) => ({ symptom, told: told * scale }));
}

/** Silences have one cause in common, a writer of few words: each counts in part. */
export const silenceStrength = 0.8;
