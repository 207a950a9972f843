// The engine typed against the register: a clash becomes one question, and only where it is one.
import { describe, expect, it } from 'vitest';
import { answerPost } from '../../src/answer.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { checkCar } from '../../src/register/check-car.ts';
import { engine, reading } from '../advice/build.ts';

const knowledge = loadKnowledgeFolder();
const check = (car: Parameters<typeof engine>[0]) => checkCar([engine(car)], 0, knowledge);

describe('checkCar', () => {
  it('asks which when neither size nor count of cylinders was offered that year', () => {
    // us-epa-fuel-economy: the 2002 Accord came with 2.3 (four) and 3.0 (six); the 3.5 came in 2008.
    const [conflict, ...others] = check({ vehicle: 'Honda Accord', year: 2002, displacement: 3.5 });
    expect(others).toEqual([]);
    expect(conflict!.says).toMatch(
      /2002 Honda Accord came with a 2\.3 with four cylinders, or a 3\.0 with six, not with a 3\.5/,
    );
    expect(conflict!.question).toMatch(/outside the United States\?$/);
    expect(check({ vehicle: 'Toyota Corolla', year: 2004, cylinders: 6 })[0]!.says).toMatch(
      /a 1\.8 with four cylinders, not with 6/,
    );
  });

  it.each([
    ['the size fits', { vehicle: 'Honda Accord', year: 2002, displacement: 3 }],
    ['it is a tenth out', { vehicle: 'Honda Accord', year: 2002, displacement: 2.2 }],
    ['only the count was said and fits', { vehicle: 'Honda Accord', year: 2002, cylinders: 6 }],
    ['the year before had it', { vehicle: 'Honda Accord', year: 2003, displacement: 2.3 }],
    ['the engine was sold elsewhere', { vehicle: 'Ford Focus', year: 2006, displacement: 1.6 }],
    ['an older generation of another market had it', { vehicle: 'Honda Accord', year: 1999, displacement: 1.8 }],
    ['it is a diesel', { vehicle: 'Honda Accord', year: 2005, displacement: 2.2, fuel: 'diesel' }],
    ['the car is not in the register', { vehicle: 'Renault Clio', year: 2005, displacement: 9 }],
    ['the name is a slip', { vehicle: 'Honda Acord', year: 2002, displacement: 3.5 }],
    ['no year was said', { vehicle: 'Honda Accord', displacement: 5 }],
    ['nothing of the engine was said', { vehicle: 'Honda Accord', year: 2002 }],
    ['it is denied', { vehicle: 'Honda Accord', year: 2002, displacement: 3.5, stated: 'denied' }],
    ['it is another car', { vehicle: 'Honda Accord', year: 2002, displacement: 3.5, car: 1 }],
  ] as const)('says nothing when %s', (_, car) => {
    expect(check(car)).toEqual([]);
  });

  it('says nothing to a writer who measures in kilometres', () => {
    const car = engine({ vehicle: 'Honda Accord', year: 2002, displacement: 3.5 });
    const tank = reading('fuel-consumption', 11, { original: { value: '11', unit: 'L/100 km' } });
    expect(checkCar([car, tank], 0, knowledge)).toEqual([]);
  });

  it('puts it once, in the answer to the post that brings it', () => {
    const first = answerPost({ id: 'a', text: '2002 Honda Accord 3.5 V6, P0420.' }, null, knowledge);
    expect(first.answer.conflicts).toHaveLength(1);
    expect(first.answer.reply.text).toMatch(/By the US register/);
    const second = answerPost({ id: 'b', text: 'No smoke at all.' }, first.next, knowledge);
    expect(second.answer.conflicts).toEqual([]);
  });
});
