// Reads which parts a post suspects: those found or said to be bad ("a crack in the downpipe", "the garage says the coil is
// dead") as a test with its result, and those only named or asked about as a question about that part. read-post.ts calls it
// last: what was already read as work done, or as a question of another kind, is left alone.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Finding, RequestFinding, WorkDoneFinding } from '../vocabulary/findings.ts';
import { polarityOf } from './denial.ts';
import { contextAt, findingBase } from './finding-base.ts';
import { spanOf } from './readable-text.ts';
import type { ReaderInput } from './reader.ts';
import { sentenceBounds } from './sentence-bounds.ts';
import { stemSet } from './word-stem.ts';
import { type Word, wordsOf } from './words.ts';
import { findParts, type Part } from './work-parts.ts';

/** Parts whose words stand in posts about anything, or that are no part to suspect. */
const general: ReadonlySet<string> = new Set([
  'engine',
  'fuel',
  'learned-values',
  'engine-oil',
  'control-unit',
  'wiring',
  'tyres',
  'fuel-cap',
  'turbocharger',
]);

/** What is said of a part that was found bad. */
const bad = stemSet(
  'bad faulty failed failing failure dead broken cracked crack split shorted blown leaking leak leaks clogged blocked weak worn fouled burnt corroded melted stuck torn defective shot toast fried knackered kaput rusted hole dirty filthy',
);
/** What is said of a part that was found good: it is no longer suspected. */
const good = stemSet('good fine ok okay great perfect believable');
/** Between a part and a word for "bad" these say that something else is meant, or cars in general ("sensors go bad"). */
const otherSubject = stemSet('circuit code codes light idle smell running economy mileage gas fuel go goes');
/** A part named by one of these alone is more often a place, a fitting or a figure than a suspect. */
const loose = new Set(
  'plug plugs plugged plugging throttle point points map maps state states stat wideband exhaust tailpipe tailpipes hose hoses sparks float choke rings valves flow'.split(
    ' ',
  ),
);

/** "The old sensors had burnt out": a part that is no longer on the car. */
const replacedSince = new Set(['old', 'original', 'previous', 'removed']);

/** How far from the part its condition may stand [words]. */
const reachBehind = 4;
const reachAhead = 4;
/** Nobody suspects more parts in one post; hostile text does. */
const mostSuspects = 12;

/**
 * @param earlier findings that the other readers took from the same post
 * @returns one finding a part at most: work done (tested, found bad) or a question about it. Linear.
 */
export function readSuspects(input: ReaderInput, knowledge: Knowledge, earlier: readonly Finding[]): Finding[] {
  const { tokens } = input;
  const words = wordsOf(tokens);
  const raw = words.map((word) => word.raw);
  const bounds = sentenceBounds(input.clauses, tokens.length);
  const worked = new Map(
    earlier.flatMap((finding) =>
      finding.kind === 'work-done' && finding.span !== null ? [[finding.part, finding.span[0]] as const] : [],
    ),
  );
  // What was only patched may be open again.
  for (const finding of earlier)
    if (finding.kind === 'work-done' && finding.action === 'repaired') worked.set(finding.part, -1);
  const busy = spansOf(
    earlier,
    (finding) =>
      finding.kind === 'code' ||
      finding.kind === 'reading' ||
      (finding.kind === 'work-done' && finding.action !== 'disconnected' && finding.action !== 'tested'),
  );
  const asked = spansOf(earlier, (finding) => finding.kind === 'request' && finding.about !== 'diagnosis');
  const described = spansOf(
    earlier,
    (finding) =>
      finding.kind === 'engine' &&
      (finding.displacement !== null || finding.cylinders !== null || finding.layout !== null),
  );
  const found = new Map<string, Finding>();
  for (const part of findParts(words, knowledge)) {
    if (found.size >= mostSuspects) break;
    if (general.has(part.part) || found.has(`bad ${part.part}`)) continue;
    const context = contextAt(input, part.first);
    if (context.car !== 0 || context.time === 'before' || context.source === 'helper') continue;
    const start = tokens[part.first]!.start;
    const end = tokens[part.last - 1]!.end;
    if (replacedSince.has(words[part.first - 1]?.raw ?? '')) continue;
    const [from, to] = bounds(part.first);
    const { polarity } = polarityOf(words, raw, part.first, part.last, from, to);
    const condition = conditionOf(words, part, from, to) ?? (isCoded(words, part, from, to) ? part.first : null);
    if (touches(input, busy, start, end)) continue;
    // Work on it told later in the post has dealt with it: "the coil was dead, so I fitted a new one".
    const isDealtWith = (worked.get(part.part) ?? -1) > spanOf(input.text, start, end)[0];
    const isSaid = context.mood === 'stated' || context.mood === 'doubted';
    if (condition !== null && isSaid && !isDealtWith && (polarity === 'present' || isSilent(words, condition))) {
      const first = Math.min(part.first, condition);
      const last = Math.max(part.last, condition + 1);
      const finding: WorkDoneFinding = {
        ...findingBase(input, tokens[first]!.start, tokens[last - 1]!.end, part.first),
        kind: 'work-done',
        action: 'tested',
        part:
          /sensor$/.test(part.part) && hasHeater(words, Math.max(from, first - 3), last) ? 'sensor-heater' : part.part,
        bank: null,
        sensor: null,
        result: 'found-bad',
      };
      found.delete(part.part);
      found.set(`bad ${part.part}`, finding);
      continue;
    }
    if (part.last - part.first === 1 && (loose.has(words[part.first]!.raw) || isFigure(words, part))) continue;
    if (isFoundGood(words, part, to) || isPlace(words, part)) continue;
    if (part.part === 'air-meter' && touches(input, described, tokens[from]!.start, tokens[to - 1]!.end)) continue;
    if (polarity === 'silent' || worked.has(part.part) || found.has(part.part)) continue;
    if (touches(input, asked, tokens[from]!.start, tokens[to - 1]!.end)) continue;
    const finding: RequestFinding = {
      ...findingBase(input, start, end, part.first, polarity === 'denied' ? 'denied' : undefined),
      kind: 'request',
      about: 'diagnosis',
      item: part.part,
    };
    found.set(part.part, finding);
  }
  return [...found.values()];
}

/** Signs of life that a part is said not to give: "no reading from the sensor", "no voltage at the sensor". */
const life = stemSet('reading readings signal voltage activity response output movement');

/** Whether the word found is such a sign of life, denied. */
function isSilent(words: readonly Word[], condition: number): boolean {
  return life.has(words[condition]!.key) && isNegated(words, condition, Math.max(0, condition - 4));
}

/** "Lambda 1.03", "lambda: .98", "lambda reading": the figure, not the sensor. */
function isFigure(words: readonly Word[], part: Part): boolean {
  if (!/^lambdas?$/.test(words[part.first]!.raw)) return false;
  for (let index = part.last; index < Math.min(words.length, part.last + 4); index += 1) {
    const { key } = words[index]!;
    if (/^\.?\d/.test(key) || /^(?:read|value|out|high|fail|pass|rang|limit)/.test(key)) return true;
  }
  return false;
}

/** "Coils fine, PCV valve and air filter all look great": what stands in a list that ends well. */
function isFoundGood(words: readonly Word[], part: Part, to: number): boolean {
  for (let index = part.last; index < Math.min(to, part.last + 24); index += 1) {
    const { key, barrier } = words[index]!;
    if (barrier || key === 'but' || isNegator(key)) return false;
    if (good.has(key)) return true;
  }
  return false;
}

/** "The flange behind the front sensor", "a hole ahead of the cat": where something is. */
function isPlace(words: readonly Word[], part: Part): boolean {
  for (let index = part.first - 1; index >= Math.max(0, part.first - 3); index -= 1) {
    const { raw, filler } = words[index]!;
    if (places.has(raw)) return true;
    if (!filler && raw !== 'of' && raw !== 'to') return false;
  }
  return false;
}
const places = new Set([
  'behind',
  'before',
  'after',
  'near',
  'ahead',
  'between',
  'beside',
  'past',
  'beneath',
  'above',
  'next',
]);

function hasHeater(words: readonly Word[], first: number, last: number): boolean {
  return words.slice(first, last).some((word) => /^(?:heater|htr|heating)$/.test(word.raw));
}

/** "Lambda fault code", "code for the O2 sensor", "codes say bad MAF": the car's own test speaks of the part. */
function isCoded(words: readonly Word[], part: Part, from: number, to: number): boolean {
  const behind = words.slice(part.last, Math.min(to, part.last + 3)).map((word) => word.key);
  if (codeWords.has(behind[0] ?? '') || (codeWords.has(behind[1] ?? '') && coded.has(behind[0] ?? ''))) return true;
  let sawLink = false;
  for (let index = part.first - 1; index >= Math.max(from, part.first - 5); index -= 1) {
    const { key, barrier } = words[index]!;
    if (barrier || key === '\n' || key === 'and' || isNegator(key)) return false;
    if (codeWords.has(key)) return sawLink;
    if (links.has(key)) sawLink = true;
  }
  return false;
}
const codeWords = stemSet('code codes dtc dtcs');
const coded = stemSet('fault error trouble sensor');
const links = stemSet('for about say says said mean means meant indicate indicates point points pointing which on');

/** Word index of what says that the part is bad; null when nothing does. */
function conditionOf(words: readonly Word[], part: Part, from: number, to: number): number | null {
  for (let index = part.last; index < Math.min(to, part.last + reachBehind); index += 1) {
    const { key, barrier } = words[index]!;
    if (barrier || key === '\n' || key === ',' || otherSubject.has(key) || isNegator(key)) break;
    if (bad.has(key) || (key === 'low' && part.part === 'fuel-pump')) return index;
    if (key === 'open' && words[index + 1]?.key === 'circuit') return index;
  }
  for (let index = part.first - 1; index >= Math.max(from, part.first - reachAhead); index -= 1) {
    const { key, barrier } = words[index]!;
    if (barrier || key === '\n' || key === ',' || key === 'and' || key === 'or') break;
    if (bad.has(key)) return isNegated(words, index, from) ? null : index;
    if (isSilent(words, index)) return index;
  }
  return null;
}

const isNegator = (key: string) => key === 'not' || key === 'no' || key === 'never' || key.endsWith("n't");

function isNegated(words: readonly Word[], place: number, from: number): boolean {
  for (let index = place - 1; index >= Math.max(from, place - 4); index -= 1)
    if (isNegator(words[index]!.key) || words[index]!.key === 'without') return true;
  return false;
}

type Spans = ReadonlyArray<readonly [number, number]>;

function spansOf(findings: readonly Finding[], chosen: (finding: Finding) => boolean): Spans {
  return findings.flatMap((finding) => (finding.span !== null && chosen(finding) ? [finding.span] : []));
}

/** Whether folded units [start, end) touch a span of the post as it was written. */
function touches(input: ReaderInput, spans: Spans, start: number, end: number): boolean {
  const [from, to] = spanOf(input.text, start, end);
  return spans.some((span) => span[0] < to && from < span[1]);
}
