// Settles what a post says of each symptom: once for each way in which it is stated, what was so earlier apart from what is so now,
// the owner's own word before another's. read-symptoms.ts calls it when all has been read.
import type { SymptomFinding } from '../vocabulary/findings.ts';
import { stemSet } from './word-stem.ts';
import type { Word } from './words.ts';

/** A symptom as it stands in the post, before repeats are taken out. */
export interface Said {
  readonly finding: SymptomFinding;
  /** Said by a general phrase ("runs fine") that gives way to a plain statement. */
  readonly isGeneral: boolean;
  /** Folded span. */
  readonly place: readonly [number, number];
  /** Word at which it begins. */
  readonly at: number;
}

/** Sentence of a word [first, last). */
export type Bounds = (token: number) => readonly [number, number];

/** What stands of all that was said, in the order of the text. Linear. */
export function settleSymptoms(said: readonly Said[], words: readonly Word[], bounds: Bounds): Said[] {
  return withoutRepeats(withEarlierTimes(said, words, bounds));
}

/** Words that set what is so now against what was so earlier. */
const turningPoints = stemSet('now since after anymore longer again more today gone stopped fixed cured');

/**
 * "It was misfiring. After the new coil there is no misfire": what is denied later, behind a word that tells of a change, was
 * so earlier.
 */
function withEarlierTimes(said: readonly Said[], words: readonly Word[], bounds: Bounds): Said[] {
  const ended = new Map<string, number>();
  for (const { finding, isGeneral, at } of said)
    if (finding.stated === 'denied' && !isGeneral && finding.time === 'now' && tellsOfChange(words, bounds, at))
      ended.set(`${finding.symptom} ${finding.car}`, at);
  if (ended.size === 0) return [...said];
  return said.map((item) => {
    const { finding } = item;
    const end = ended.get(`${finding.symptom} ${finding.car}`);
    const isEarlier = end !== undefined && item.at < end && finding.stated !== 'denied' && finding.time === 'now';
    return isEarlier ? { ...item, finding: { ...finding, time: 'before' } } : item;
  });
}

/** Whether a word of change stands in the sentence of a word, or work in the sentence before it ("After refilling ..."). */
function tellsOfChange(words: readonly Word[], bounds: Bounds, at: number): boolean {
  const [begin, end] = bounds(at);
  for (let index = begin; index < Math.min(end, at + 12); index += 1)
    if (turningPoints.has(words[index]!.key) && words[index - 1]?.raw !== 'as') return true;
  if (begin === 0) return false;
  const [before] = bounds(begin - 1);
  for (let index = before; index < Math.min(begin, before + 40); index += 1) {
    const { raw } = words[index]!;
    if ((raw === 'after' || raw === 'since') && words[index + 1]?.raw.endsWith('ing')) return true;
  }
  return false;
}

/**
 * Each symptom once for each way it is stated. A general denial ("runs fine") gives way to a plain statement about the same
 * car and time; where one is both said and denied under the same condition, what was said stands.
 */
function withoutRepeats(said: readonly Said[]): Said[] {
  const about = (finding: SymptomFinding) => `${finding.symptom} ${finding.time} ${finding.car}`;
  const isDenied = (finding: SymptomFinding) => finding.stated === 'denied';
  const own = said.filter(({ finding }) => finding.source !== 'hearsay');
  const stated = new Set(own.map(({ finding }) => `${about(finding)} ${isDenied(finding)}`));
  const statedWhen = new Set(own.map(({ finding }) => `${about(finding)} ${isDenied(finding)} ${finding.when}`));
  const kept = new Map<string, Said[]>();
  for (const item of said) {
    const { finding } = item;
    // The owner's own word beats what somebody else says.
    if (finding.source === 'hearsay' && stated.has(`${about(finding)} ${!isDenied(finding)}`)) continue;
    if (isDenied(finding) && stated.has(`${about(finding)} false`)) {
      if (item.isGeneral || statedWhen.has(`${about(finding)} false ${finding.when}`)) continue;
    }
    const others = kept.get(about(finding)) ?? [];
    const repeats = others.some(
      ({ finding: other }) =>
        (other.stated === finding.stated || (finding.stated === 'unsure' && other.stated === 'present')) &&
        (finding.when === null || other.when === finding.when),
    );
    if (!repeats) kept.set(about(finding), [...others, item]);
  }
  return [...kept.values()].flat().sort((a, b) => a.at - b.at);
}
