// Throws many short, broken posts at the reader and reports what it should never do: throw, quote what was not written, give a value that
// physics forbids, take long. `npm run endure` calls run(); alone: `npx tsx tests/endure/fuzz-intake.ts [count] [seed]`.
import { readPost } from '../../src/intake/read-post.ts';
import type { Knowledge } from '../../src/knowledge/knowledge.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';
import { quantities } from '../../src/vocabulary/quantities.ts';

export interface FuzzOptions {
  /** How many posts; a million when absent. */
  readonly count?: number;
  /** The same seed gives the same posts. */
  readonly seed?: number;
  readonly knowledge?: Knowledge;
  /** Called with a line of progress now and then. */
  readonly say?: (line: string) => void;
}

export interface FuzzResult {
  readonly posts: number;
  readonly seconds: number;
  /** All findings and conflicts that the posts gave: proof that they were not all noise. */
  readonly findings: number;
  readonly conflicts: number;
  /** At most twenty, each with the post that shows it. */
  readonly problems: ReadonlyArray<{ readonly what: string; readonly text: string }>;
  /** Slowest post [ms], the best of five further runs so that pauses of the machine do not count. */
  readonly slowestMs: number;
  readonly slowestText: string;
}

/** A post that takes longer than this is a problem [ms of processor time] (judgement: fifty times the usual). */
const tooSlowMs = 25;
const longestPost = 160;
const longestFragment = 60;

const pieces = (
  'P0171|p0I71|PO420|0174|420|codes 171, 174|12223|4 blinks then 2|B1S1|b2s2|bank 1|bank two|sensor 2|O2S21|upstream|rear o2|STFT|LTFT1|' +
  'long term|short term trim|total trims|MAF|MAP|RPM|ECT|IAT|TPS|lambda|AFR|CO|CO2|HC|NOx|O2|fuel pressure|vacuum|compression|mpg|' +
  '+22|-18.5|.93|0,45|1,014|275,000|150k|12/14|1/4|22-25|3 to 5|~25|99.2|+/-5|twenty two|minus four|1e9|0|00|999999999|%|V|mV|volts|' +
  'g/s|kPa|psi|inHg|in|rpm|ppm|C|F|degrees|km|miles|l/100km|ohms|ms|at idle|idle|2500|at 2500 rpm|cold|WOT|cruising|key on|limit|meas|' +
  'max|ave|PASS|FAIL|before|after|now|was|is|and|or|both|not|no codes|?|!|;|:|,|.|(|)|/|-|=|\\n|\\n\\n|\\t|"|\u200b|\u202e|\ud83d\ude21|' +
  '\uff12|\u00bc|\u2212|7E8 06 41 0C 1A F8|41 0C 1A F8|4100BE3EB813|time,rpm,ltft|0.1;800;3,5|2004 Corolla 1.8|3.5 V6|flat four|' +
  'my mate said|could it be|I replaced|it stalls|black smoke|system too lean bank 1|cylinder 3 misfire detected'
)
  .split('|')
  .map((piece) => piece.replaceAll('\\n', '\n').replaceAll('\\t', '\t'));

/** Runs the fuzz. */
export function run(options: FuzzOptions = {}): FuzzResult {
  const { count = 1_000_000, seed = 1, say } = options;
  const knowledge = options.knowledge ?? loadKnowledgeFolder();
  const random = randomOf(seed);
  // Fragments of posts that look real: those of the example cases, cut at sentences.
  const fragments = knowledge.cases.flatMap(({ posts }) =>
    posts.flatMap((post) => post.split(/(?<=[.?!\n])\s+/).filter((part) => part.length > 3)),
  );
  const problems: Array<{ what: string; text: string }> = [];
  const note = (what: string, text: string) => {
    problems.push({ what, text });
    say?.(`PROBLEM ${what}\n  ${JSON.stringify(text)}`);
  };
  let findings = 0;
  let conflicts = 0;
  let slowest = { ms: 0, text: '' };
  const started = performance.now();
  let made = 0;
  for (; made < count && problems.length < 20; made += 1) {
    const text = postOf(random, fragments);
    const from = processorMs();
    try {
      const reading = readPost(text, emptyCase, knowledge);
      findings += reading.findings.length;
      conflicts += reading.conflicts.length;
      const what = wrongIn(text, reading);
      if (what) note(what, text);
    } catch (error) {
      note(`threw ${String(error)}`, text);
    }
    const ms = processorMs() - from;
    if (ms > slowest.ms) {
      const best = Math.min(ms, ...[1, 2, 3, 4, 5].map(() => timeOf(text, knowledge)));
      if (best > slowest.ms) slowest = { ms: best, text };
      if (best > tooSlowMs) note(`took ${best.toFixed(1)} ms`, text);
    }
    if (say && made % 100_000 === 99_999)
      say(
        `${(made + 1).toLocaleString('en')} posts, ${((performance.now() - started) / 1000).toFixed(0)} s, ${problems.length} problems`,
      );
  }
  return {
    posts: made,
    seconds: (performance.now() - started) / 1000,
    findings,
    conflicts,
    problems,
    slowestMs: slowest.ms,
    slowestText: slowest.text,
  };
}

/** Processor time of this program so far [ms]: other work of the machine does not count. */
function processorMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

function timeOf(text: string, knowledge: Knowledge): number {
  const from = processorMs();
  try {
    readPost(text, emptyCase, knowledge);
  } catch {
    return 0;
  }
  return processorMs() - from;
}

/** What a reading of a text gets wrong by itself; null when nothing. */
function wrongIn(text: string, { findings, conflicts }: ReturnType<typeof readPost>): string | null {
  const ids = new Set<string>();
  for (const finding of findings) {
    if (ids.has(finding.id)) return `gave the id ${finding.id} twice`;
    ids.add(finding.id);
    const { span, quote } = finding;
    if (span && (span[0] < 0 || span[1] > text.length || text.slice(span[0], span[1]) !== quote))
      return `quotes "${quote}" which does not stand at ${span.join('-')}`;
    if (finding.kind !== 'reading') continue;
    const [lowest, highest] = quantities[finding.quantity].possible;
    const values = [finding.value, ...(finding.range ?? [])];
    if (values.some((value) => !Number.isFinite(value) || value < lowest || value > highest))
      return `reads ${finding.quantity} as ${values.join(' ')}`;
    if (finding.range && finding.range[0] > finding.range[1])
      return `reads a range that falls: ${finding.range.join(' ')}`;
  }
  for (const { quote } of conflicts)
    if (quote !== null && !text.includes(quote)) return `has a conflict that quotes "${quote}", which was not written`;
  return null;
}

/** One post: fragments and pieces, joined, then broken in a few places. */
function postOf(random: () => number, fragments: readonly string[]): string {
  const parts: string[] = [];
  const wanted = 1 + Math.floor(random() * 6);
  for (let part = 0; part < wanted; part += 1) {
    const isFragment = random() < 0.12 && fragments.length > 0;
    const list = isFragment ? fragments : pieces;
    const piece = list[Math.floor(random() * list.length)]!;
    const from = isFragment ? Math.floor(random() * Math.max(0, piece.length - longestFragment)) : 0;
    parts.push(piece.slice(from, from + longestFragment));
  }
  let text = parts.join(random() < 0.85 ? ' ' : '');
  for (let times = Math.floor(random() * 5); times > 0; times -= 1) text = broken(random, text);
  return text.slice(0, longestPost);
}

/** A character lost, doubled, swapped, changed, turned to a capital, or a stretch moved. */
function broken(random: () => number, text: string): string {
  if (text === '') return text;
  const at = Math.floor(random() * text.length);
  const [before, sign, after] = [text.slice(0, at), text[at]!, text.slice(at + 1)];
  switch (Math.floor(random() * 8)) {
    case 0:
      return before + after;
    case 1:
      return before + sign + sign + after;
    case 2:
      return before + (after[0] ?? '') + sign + after.slice(1);
    case 3:
      return before + String.fromCharCode(32 + Math.floor(random() * 95)) + after;
    case 4:
      return before + String.fromCharCode(Math.floor(random() * 0xffff)) + sign + after;
    case 5:
      return text.toUpperCase();
    case 6:
      return after + sign + before;
    default:
      return before + String(Math.floor(random() * 10 ** Math.floor(random() * 6))) + after;
  }
}

/** Evenly spread numbers in [0, 1) from a seed: the 32-bit generator "mulberry32" (public domain, T. Ettinger). */
function randomOf(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

if (process.argv[1]?.endsWith('fuzz-intake.ts')) {
  const [count, seed] = process.argv.slice(2).map(Number);
  const say = (line: string) => process.stdout.write(`${line}\n`);
  const result = run({ ...(count ? { count } : {}), ...(seed ? { seed } : {}), say });
  say(
    `${result.posts.toLocaleString('en')} posts in ${result.seconds.toFixed(0)} s, ${result.findings.toLocaleString('en')} findings, ${result.conflicts.toLocaleString('en')} conflicts`,
  );
  say(`slowest ${result.slowestMs.toFixed(2)} ms: ${JSON.stringify(result.slowestText)}`);
  process.exitCode = result.problems.length > 0 ? 1 : 0;
}
