// Reads what a post says of parts without a verb of work: looked at and found in order, or new: "coils fine, plugs good",
// "compression test came back fine", "smoke test: no leaks". read-work.ts calls it.
import type { ReaderInput } from './reader.ts';
import { stemSet } from './word-stem.ts';
import type { Word } from './words.ts';
import type { Part } from './work-parts.ts';
import { auxiliaries } from './work-words.ts';

/** Parts of which "good" says nothing of a check. */
const general: ReadonlySet<string> = new Set([
  'engine',
  'fuel',
  'learned-values',
  'transmission',
  'brakes',
  'tyres',
  'control-unit',
  'exhaust-pipe',
]);
const good = stemSet('good fine ok okay great perfect healthy passed passes pass excellent tight sound normal intact');
const passedOver = stemSet(
  'look seem appear all test check come came back out also both very pretty really still perfectly was were is are been : - = and everything',
);
const nothingFound = stemSet('leak leaks problem problems fault faults crack cracks issue issues');
const within = stemSet('in within inside');
const specification = stemSet('spec specs specification tolerance limits range');
const takenBack = stemSet('when until till if but except enough for with at now again');
const doubted = stemSet(
  "not isn't aren't wasn't weren't don't doesn't no never if hope assume until make should if unless nor sure",
);
/** How far behind a part its state may stand [words]. */
const reach = 6;

/** A part found in order, or said to be new ("two months old"), with the word after what says so. */
interface Check {
  readonly part: Part;
  readonly last: number;
  readonly action: 'tested' | 'replaced';
}

/** Parts found in order and parts of a stated young age. */
export function findChecks(input: ReaderInput, words: readonly Word[], parts: readonly Part[]): Check[] {
  const checks: Check[] = [];
  for (const [index, part] of parts.entries()) {
    // The lambda of a gas test is no sensor.
    if (words[part.last - 1]!.raw === 'lambda') continue;
    if (general.has(part.part) || (part.part === 'engine-oil' && part.last - part.first < 2)) continue;
    const { mood, source } = input.clauses.clauseAt(part.first).context;
    if (mood !== 'stated' || source === 'helper') continue;
    const isLeakless = /leaks?$/.test(words[part.last - 1]!.raw) && words[part.first - 1]?.raw === 'no';
    if (!isLeakless && isDoubted(words, part.first)) continue;
    const age = youngAge(words, part);
    const last = age > 0 ? age : isLeakless ? part.last : stateBehind(words, part);
    if (last < 0) continue;
    const action = age > 0 ? 'replaced' : 'tested';
    checks.push({ part, last, action });
    // "Coils, plugs and MAF all look great": the list before it as well.
    for (let before = index - 1; before >= 0 && isJoined(words, parts[before]!, parts[before + 1]!); before -= 1)
      if (!general.has(parts[before]!.part)) checks.push({ part: parts[before]!, last: parts[before]!.last, action });
  }
  return checks.sort((a, b) => a.part.first - b.part.first);
}

/** Word after what says that a part is in order; -1 when nothing does. */
function stateBehind(words: readonly Word[], part: Part): number {
  for (let index = part.last; index < Math.min(words.length, part.last + reach); index += 1) {
    const { key, filler, barrier } = words[index]!;
    if (words[index]!.raw === 'negative' && isTest(words, part)) return index + 1;
    if (good.has(key)) return takenBack.has(words[index + 1]?.key ?? '') ? -1 : index + 1;
    if (within.has(key) && specification.has(words[index + 1]?.key ?? '')) return index + 2;
    if (key === 'no' && isTest(words, part) && nothingFound.has(words[index + 1]?.key ?? '')) return index + 2;
    if (key === ':' || key === '-' || key === '=') continue;
    if (barrier || key === '\n' || key === ',') return -1;
    if (!(passedOver.has(key) || auxiliaries.has(key) || filler)) return -1;
  }
  return -1;
}

/** Word after "two weeks old", "less than a year old"; -1 where no young age stands behind the part. */
function youngAge(words: readonly Word[], part: Part): number {
  for (let index = part.last; index < Math.min(words.length, part.last + 8); index += 1) {
    const { raw, barrier } = words[index]!;
    if (barrier || raw === ',') return -1;
    if (raw !== 'old') continue;
    const span = words[index - 1]?.raw ?? '';
    if (/^(?:days?|weeks?|months?)$/.test(span)) return index + 1;
    return span === 'year' && /^(?:a|one)$/.test(words[index - 2]?.raw ?? '') ? index + 1 : -1;
  }
  return -1;
}

/** "Smoke test", "compression check". */
function isTest(words: readonly Word[], part: Part): boolean {
  return /^(?:test|check|testing|tests|checks)$/.test(words[part.last - 1]!.raw);
}

function isDoubted(words: readonly Word[], first: number): boolean {
  for (let index = first - 1; index >= Math.max(0, first - 4); index -= 1) {
    const { key, barrier } = words[index]!;
    if (barrier || key === ',') return false;
    if (doubted.has(key)) return true;
  }
  return false;
}

/** Whether only commas, "and" and small words stand between two parts. */
function isJoined(words: readonly Word[], first: Part, second: Part): boolean {
  if (second.first - first.last > 3) return false;
  for (let index = first.last; index < second.first; index += 1) {
    const { key, filler } = words[index]!;
    if (!(key === ',' || key === 'and' || filler)) return false;
  }
  return true;
}
