// The accepted figures of the example cases may only improve: `npm run accuracy -- --accept` writes better ones.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { type ExampleFigures, judgeExamples, slack, worse } from './example-figures.ts';

const accepted = JSON.parse(readFileSync(new URL('accepted.json', import.meta.url), 'utf8')) as ExampleFigures;

describe('the accepted figures', () => {
  it('stand: no figure over the example cases is worse than the one accepted', () => {
    expect(worse(judgeExamples(loadKnowledgeFolder()).figures, accepted)).toEqual([]);
  }, 120_000);

  it.each(Object.keys(slack) as Array<keyof ExampleFigures>)('name %s when it alone gets worse', (name) => {
    const step = 0.05 + 2 * slack[name];
    const up = { ...accepted, [name]: accepted[name] + step };
    const down = { ...accepted, [name]: accepted[name] - step };
    const lines = [...worse(up, accepted), ...worse(down, accepted)];
    expect(lines).toHaveLength(1);
    expect(lines[0]).toContain(name);
  });
});
