// Consumption against the certified figure of the car, where the writer gave no earlier one.
import { describe, expect, it } from 'vitest';
import { answerPost } from '../../src/answer.ts';
import { derive } from '../../src/derivation/derive.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { engine, reading } from '../advice/build.ts';

const knowledge = loadKnowledgeFolder();
const camry = engine({ vehicle: 'Toyota Camry', year: 2004, displacement: 2.4 });
const rating = (findings: Parameters<typeof derive>[0]) =>
  derive(findings, knowledge).find((result) => result.calculator === 'consumption-rating');

describe('the certified consumption', () => {
  it('is the baseline, with its market and both units', () => {
    // us-epa-fuel-economy: 20/29 and 21/30 mpg, combined 23.3 and 24.3; so 9.7 to 10.1 L/100 km.
    const result = rating([camry, reading('fuel-consumption', 12.1)])!;
    expect(result.result).toBeCloseTo(100 * (12.1 / 9.9 - 1), 0);
    expect(result.says).toMatch(
      /9\.7 to 10\.1 L\/100 km in the United States \(23 to 24 mpg\); you report 12\.1, 22 % more/,
    );
    expect(result.source).toBe('us-epa-fuel-economy');
  });

  it('calls a small difference what town driving can explain, and a smaller one none', () => {
    expect(rating([camry, reading('fuel-consumption', 11.2)])!.says).toMatch(/town driving alone can explain/);
    expect(rating([camry, reading('fuel-consumption', 10.1)])!.says).toMatch(/about as much/);
    expect(rating([camry, reading('fuel-consumption', 8)])!.says).toMatch(/19 % less/);
  });

  it.each([
    [
      'the writer’s own earlier figure is there',
      [camry, reading('fuel-consumption', 12), reading('fuel-consumption', 10, { time: 'before' })],
    ],
    ['the year is not known', [engine({ vehicle: 'Toyota Camry' }), reading('fuel-consumption', 12)]],
    [
      'the engines offered differ too much',
      [
        engine({ vehicle: 'Volkswagen Jetta', year: 2003, fuel: 'diesel' }),
        engine({ vehicle: 'Ford Mustang', year: 2014 }),
        reading('fuel-consumption', 12),
      ],
    ],
    ['no consumption was given', [camry]],
  ])('is left out when %s', (_, findings) => {
    expect(rating(findings)).toBeUndefined();
  });

  it('is no evidence of a fault: the ranking does not move', () => {
    const bare = answerPost({ id: 'a', text: 'P0171. It gets 18 mpg.' }, null, knowledge).answer;
    const rated = answerPost({ id: 'a', text: 'P0171. It gets 18 mpg. 2004 Toyota Camry.' }, null, knowledge).answer;
    expect(rated.derived.some((result) => result.calculator === 'consumption-rating')).toBe(true);
    expect(rated.causes[0]!.fault).toBe(bare.causes[0]!.fault);
    expect(rated.reply.text).toMatch(/rated/);
  });
});
