// Development script: `npx tsx tests/accuracy/score-reading.ts FILE [all]` reads labelled posts (an array of {id, post, expect}) and
// prints precision and recall, apart for development posts and for validation posts (number of the id divisible by three).
// Mistakes are listed for the development posts; with `all` for the validation posts as well.
import { readFileSync } from 'node:fs';
import { readPost } from '../../src/intake/read-post.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';
import { type LabelledPost, precision, type ReadingLabels, recall, scoredKinds, scoreReading } from './reading.ts';

const [file, which] = process.argv.slice(2);
if (!file) throw new Error('name a file of labelled posts');
const labelled = JSON.parse(readFileSync(file, 'utf8')) as Array<{ id: string; post: string; expect: ReadingLabels }>;
const knowledge = loadKnowledgeFolder();
const posts = labelled.map(
  ({ id, post, expect }): LabelledPost => ({
    id,
    labels: expect,
    findings: readPost(post, emptyCase, knowledge).findings,
  }),
);
const isValidation = (id: string) => Number(id.replace(/\D/g, '')) % 3 === 0;
for (const [name, group] of [
  ['development', posts.filter((post) => !isValidation(post.id))],
  ['validation', posts.filter((post) => isValidation(post.id))],
] as const) {
  const score = scoreReading(group);
  process.stdout.write(`\n${name}: ${group.length} posts\n`);
  for (const kind of scoredKinds) {
    const tally = score[kind];
    process.stdout.write(
      `  ${kind.padEnd(18)} recall ${(100 * recall(tally)).toFixed(1).padStart(5)} %  precision ${(100 * precision(tally)).toFixed(1).padStart(5)} %  (${tally.right} right, ${tally.missed.length} missed, ${tally.extra.length} extra)\n`,
    );
    if (name === 'development' || which === 'all') {
      for (const item of tally.missed) process.stdout.write(`      missed ${item}\n`);
      if (kind !== 'readings in full') for (const item of tally.extra) process.stdout.write(`      extra  ${item}\n`);
    }
  }
}
