// How fast a post is read, and how the time grows: hostile patterns of 50,000 and 100,000 characters beside ordinary posts, and beside
// JSON.parse of the same text. Processor time is counted, so that other work of the machine does not blur it. A growth near 2 is linear; the
// patterns are the worst of about a hundred of random ones. Run with `npx tsx tests/bench/figures.bench.ts`.
import { readPost } from '../../src/intake/read-post.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';

const knowledge = loadKnowledgeFolder();
const length = 100_000;
const patterns: Readonly<Record<string, string>> = {
  'ordinary posts': `${knowledge.cases.flatMap(({ posts }) => posts).join('\n')}\n`,
  semicolons: '1;2;3 ',
  'sensor names': 'O2 ',
  layouts: '3.5 V6 ',
  'ranges and gases': '22-25 22-25 9 HC ',
  digits: '1 ',
  'digits without end': '9',
  fractions: '1/4 ',
  conditions: 'idle ',
  speeds: '1 rpm ',
  trims: 'LTFT 22, ',
  codes: 'P0171, 0174, ',
  'codes in words': 'system too lean ',
  blinks: '4 blinks then ',
  brackets: '(',
  commas: '1,',
  cars: '2004 Toyota Corolla 1.8 V6 turbo ',
  bytes: '41 0C 1A F8\n',
  frames: '7E8 10 14 41 0C\n',
  tables: 'CO HC O2 1 2 3\n',
  log: 'rpm,ect,ltft\n800,90,4\n',
  words: 'twenty ',
  negations: 'no ',
  ends: '\n',
};

/** Processor time of one call [ms], the best of three. */
function processorMs(call: () => unknown): number {
  let best = Number.POSITIVE_INFINITY;
  for (let run = 0; run < 3; run += 1) {
    const before = process.cpuUsage();
    call();
    const used = process.cpuUsage(before);
    best = Math.min(best, (used.user + used.system) / 1000);
  }
  return best;
}

const textOf = (pattern: string, size: number) => pattern.repeat(Math.ceil(size / pattern.length)).slice(0, size);
const readMs = (text: string) => processorMs(() => readPost(text, emptyCase, knowledge));
/** JSON.parse is too quick for one call to be measured. */
const parseMs = (text: string) => {
  const json = JSON.stringify({ text });
  return (
    processorMs(() => {
      for (let times = 0; times < 200; times += 1) JSON.parse(json);
    }) / 200
  );
};

readMs(textOf(patterns['ordinary posts']!, 20_000));
const ordinary = readMs(textOf(patterns['ordinary posts']!, length));
process.stdout.write(
  `${'pattern'.padEnd(20)} ${'50,000 [ms]'.padStart(12)} ${'100,000 [ms]'.padStart(13)} ${'growth'.padStart(7)} ${'characters/s'.padStart(13)} ${'x ordinary'.padStart(11)} ${'x JSON.parse'.padStart(13)}\n`,
);
for (const [name, pattern] of Object.entries(patterns)) {
  const half = readMs(textOf(pattern, length / 2));
  const whole = readMs(textOf(pattern, length));
  process.stdout.write(
    `${name.padEnd(20)} ${half.toFixed(0).padStart(12)} ${whole.toFixed(0).padStart(13)} ${(whole / half).toFixed(2).padStart(7)} ${Math.round(
      (1000 * length) / whole,
    )
      .toLocaleString('en')
      .padStart(13)} ${(whole / ordinary).toFixed(2).padStart(11)} ${Math.round(
      whole / parseMs(textOf(pattern, length)),
    )
      .toLocaleString('en')
      .padStart(13)}\n`,
  );
}
