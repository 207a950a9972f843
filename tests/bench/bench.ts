// `npm run bench`: how long an answer takes, beside a yardstick of the same run, so that machines can be compared. Each line is
// a median of repeated runs after a warm-up. `npm run bench -- delivery` times the taking in of events instead (some minutes).
import { answerPost } from '../../src/answer.ts';
import { readPost } from '../../src/intake/read-post.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';
import { benchCalculators } from './calculators.bench.ts';
import { benchDelivery } from './delivery.bench.ts';

if (process.argv[2] === 'delivery') {
  await benchDelivery((text) => process.stdout.write(`${text}\n`));
  process.exit();
}

const knowledge = loadKnowledgeFolder();
const posts = knowledge.cases.map((item) => item.posts[0]!);
const ordinary = posts.join('\n').slice(0, 4000);
const long = `${ordinary}\n`.repeat(25);
const hostile = `${'no '.repeat(200)}${'1,2.3-'.repeat(2000)}${'P0'.repeat(2000)}${'(((('.repeat(2000)}`
  .repeat(3)
  .slice(0, 100_000);

function median(times: number[]): number {
  return [...times].sort((a, b) => a - b)[Math.floor(times.length / 2)]!;
}

/** Median time of one call [ms] over `rounds` rounds of all inputs. */
function time<Input>(inputs: readonly Input[], rounds: number, call: (input: Input) => unknown): number {
  for (const input of inputs) call(input);
  const times: number[] = [];
  for (let round = 0; round < rounds; round += 1) {
    for (const input of inputs) {
      const start = performance.now();
      call(input);
      times.push(performance.now() - start);
    }
  }
  return median(times);
}

const yardstickText = JSON.stringify({ text: long });
const yardstick = time([yardstickText], 50, (text) => JSON.parse(text)) / yardstickText.length;
const line = (name: string, value: string) => process.stdout.write(`${name.padEnd(52)} ${value}\n`);

const answer = time(posts, 5, (text) => answerPost({ id: 'bench', text }, null, knowledge));
line('one answer, median over the example cases', `${answer.toFixed(2)} ms`);
for (const [name, text] of [
  ['an ordinary 4,000-character text', ordinary],
  ['the same 25 times', long],
  ['a hostile 100,000-character text', hostile],
] as const) {
  const each = time([text], 5, (input) => readPost(input, emptyCase, knowledge));
  const perCharacter = each / text.length;
  line(
    `reading ${name}`,
    `${(1 / perCharacter / 1000).toFixed(2)} million characters/s, ${(perCharacter / yardstick).toFixed(0)} x JSON.parse of the same length`,
  );
}
await benchCalculators((text) => process.stdout.write(`${text}\n`));
