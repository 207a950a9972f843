// How the time of the figure readers grows with the text: hostile patterns at 50,000 and 100,000 characters beside an ordinary post.
// A ratio near 2 is linear. Run with `npx tsx tests/bench/figures.bench.ts`.
import { plainContext } from '../../src/intake/clauses.ts';
import { readBytes } from '../../src/intake/read-bytes.ts';
import { readCodes } from '../../src/intake/read-codes.ts';
import { readEngine } from '../../src/intake/read-engine.ts';
import { readLog } from '../../src/intake/read-log.ts';
import { readReadings } from '../../src/intake/read-readings.ts';
import { readTables } from '../../src/intake/read-tables.ts';
import { foldText } from '../../src/intake/readable-text.ts';
import { joinResults, nothingRead } from '../../src/intake/reader.ts';
import { splitTokens } from '../../src/intake/tokens.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';
import { loadFiguresKnowledge } from '../intake/figures-knowledge.ts';

const knowledge = loadFiguresKnowledge();
const readers = [readLog, readBytes, readCodes, readTables, readReadings, readEngine];
const patterns: Readonly<Record<string, string>> = {
  'ordinary prose':
    'My 2004 Corolla stalls at idle, LTFT is +22 and the code is P0171. It has done 98,000 miles and smells rich when warm. ',
  speeds: '1 rpm ',
  trims: 'LTFT 22, ',
  codes: 'P0171, 0174, ',
  brackets: '(',
  digits: '9',
  commas: '1,',
  ranges: '1-',
  sizes: '1.8 ',
  cars: '2004 Toyota Corolla 1.8 V6 turbo ',
  layouts: 'v6 ',
  bytes: '41 0C 1A F8\n',
  frames: '7E8 10 14 41 0C\n',
  tables: 'CO HC O2 1 2 3\n',
  log: 'rpm,ect,ltft\n800,90,4\n',
  words: 'twenty ',
  ends: '\n',
};

/** Best of three runs over a text [ms]; without the clauses, which are not these readers' work. */
function bestMs(text: string): number {
  let best = Number.POSITIVE_INFINITY;
  for (let run = 0; run < 3; run += 1) {
    const start = performance.now();
    const readable = foldText(text);
    const tokens = splitTokens(readable.folded);
    const clause = { first: 0, last: tokens.length, sentence: 0, context: plainContext };
    let count = 0;
    const nextId = () => {
      count += 1;
      return `f${count}`;
    };
    let result = nothingRead;
    for (const read of readers) {
      const clauses = { clauses: [clause], clauseAt: () => clause };
      result = joinResults([
        result,
        read({ text: readable, tokens, clauses, post: 0, nextId, previous: emptyCase, taken: result.used }, knowledge),
      ]);
    }
    best = Math.min(best, performance.now() - start);
  }
  return best;
}

process.stdout.write('pattern             50,000 [ms]  100,000 [ms]   ratio   characters a second\n');
for (const [name, pattern] of Object.entries(patterns)) {
  const [half, whole] = [50_000, 100_000].map((length) =>
    bestMs(pattern.repeat(Math.ceil(length / pattern.length)).slice(0, length)),
  );
  process.stdout.write(
    `${name.padEnd(18)} ${half!.toFixed(0).padStart(11)} ${whole!.toFixed(0).padStart(13)} ${(whole! / half!).toFixed(2).padStart(8)} ${Math.round(
      1e8 / whole!,
    )
      .toLocaleString('en')
      .padStart(20)}\n`,
  );
}
