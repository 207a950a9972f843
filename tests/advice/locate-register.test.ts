// Places with what the US register adds, cylinder 1 from outside, sides in a country's words, joined exhausts, and what is no place of ours.
import { describe, expect, it } from 'vitest';
import { answerPost } from '../../src/answer.ts';
import { advised, code, engine, knowledge, request } from './build.ts';

type Car = Parameters<typeof engine>[0];
const place = (car: Car, item: string, ...more: ReturnType<typeof code>[]) =>
  advised([engine(car), request('location', item), ...more]).where[0]!;
const ask = (text: string) => answerPost({ id: 'x', text }, null, knowledge).answer;

describe('the register fills what was not typed', () => {
  it('takes the engine with two banks where a code names bank 2', () => {
    // us-epa-fuel-economy: the 2004 Camry came with 2.4 (four), 3.0 and 3.3 (six).
    const where = place({ vehicle: 'Toyota Camry', year: 2004 }, 'bank-2-sensor-1', code('P0155'));
    expect(where.text).toMatch(/behind the radiator/);
    expect(where.text).toMatch(/By the US register the 2004 Toyota Camry came with a 3\.0 or 3\.3 with six cylinders/);
    expect(where.picture).not.toBeNull();
  });

  it('asks with the sizes that were offered where nothing tells', () => {
    const where = place({ vehicle: 'Toyota Camry', year: 2004 }, 'bank-1');
    expect(where.certainty).toBe('ask');
    expect(where.text).toMatch(
      /In the US register it came with a 2\.4 with four cylinders, or a 3\.0 or 3\.3 with six/,
    );
  });

  it('leaves out families that the car of that year never had', () => {
    // us-epa-fuel-economy: the 2006 Explorer came with 4.0 (six) and 4.6 (eight), both with bank 1 on the right.
    const where = place({ vehicle: 'Ford Explorer', year: 2006 }, 'bank-1-sensor-1');
    expect(where.text).toMatch(/right one as seen from the driver’s seat/);
    expect(where.text).not.toMatch(/firewall|cylinders 1-2-3/);
  });

  it('is not named where the answer is the same without it', () => {
    expect(place({ vehicle: 'Ford F-150', year: 2005, displacement: 5.4 }, 'bank-1-sensor-2').text).not.toMatch(
      /register/,
    );
  });

  it('does not touch what was typed', () => {
    const where = place({ vehicle: 'Toyota Camry', year: 2004, cylinders: 4 }, 'bank-2-sensor-1', code('P0155'));
    expect(where.text).toMatch(/only one bank/);
  });

  it('takes a four with front-wheel drive to lie across the car, but for makers that do otherwise', () => {
    // us-epa-fuel-economy: the 2010 Mazda 3 drives the front wheels, the 2006 MX-5 the rear ones. Mounting: from memory.
    const place3 = place({ vehicle: 'Mazda 3', year: 2010, displacement: 2.5 }, 'bank-1-sensor-1');
    expect(place3.picture).toMatch(/bay\.inline4\.t\./);
    expect(place({ vehicle: 'Mazda MX-5', year: 2006 }, 'bank-1-sensor-1').picture ?? '').not.toMatch(/\.t\./);
    expect(place({ vehicle: 'Audi A4', year: 2003, displacement: 1.8 }, 'bank-1-sensor-1').picture ?? '').not.toMatch(
      /\.t\./,
    );
  });

  it('is no finding', () => {
    const answer = ask('P0155 on a 2004 Toyota Camry, where is it?');
    for (const finding of answer.findings) if (finding.kind === 'engine') expect(finding.cylinders).toBeNull();
    expect(answer.reply.text).toMatch(/US register/);
  });
});

describe('cylinder 1 from outside', () => {
  it.each([
    [
      'an in-line engine of most makers',
      'Where is cylinder 1 on a 2005 Honda Civic?',
      /belt or chain end, farthest from the gearbox, on the right of the car/,
    ],
    [
      'an old Honda, turned round',
      'Where is cylinder 1 on a 1996 Honda Civic 1.6?',
      /belt or chain end.*on the left of the car as seen from the driver’s seat/,
    ],
    [
      'an engine counted from the gearbox',
      'Which one is cylinder 1 on my 2003 Peugeot 206 1.4?',
      /gearbox end.*on the left of the car/,
    ],
    ['a V6 across the car', 'Where is cylinder 1 on a 2004 Toyota Camry V6?', /row at the firewall/],
    [
      'a V8 lengthwise',
      'Where is cylinder number 1 on a 2004 Silverado 5.3?',
      /left row as seen from the driver’s seat/,
    ],
    ['nothing known', 'How do I find cylinder 1?', /belt or chain end.*V engines.*Tell me make/],
  ])('%s', (_, text, says) => {
    const [first] = ask(text).where;
    expect(first!.item).toBe('cylinder-1');
    expect(first!.text).toMatch(says);
    if (/from memory/.test(first!.text)) expect(first!.certainty).not.toBe('certain');
  });
});

describe('sides in a country’s words', () => {
  it('says what left and right mean where the driver sits on either side', () => {
    const answer = ask('Is bank 1 the driver side on a 2004 Silverado 5.3?');
    expect(answer.where[0]!.text).toMatch(/left one as seen from the driver’s seat/);
    expect(answer.explanations.map((item) => item.about)).toContain('driver-or-passenger-side');
    expect(answer.reply.text).toMatch(/United Kingdom/);
  });
});

describe('joined exhausts and close catalysts', () => {
  it('tells of a single front sensor, of a rear one that may be single, and of sensors that lie close together', () => {
    expect(place({ vehicle: 'Buick LeSabre', year: 2000 }, 'bank-1-sensor-1').text).toMatch(/single front sensor/);
    expect(place({ vehicle: 'Buick LeSabre', year: 2000 }, 'bank-2-sensor-1').text).toMatch(/counts as bank 1; check/);
    expect(place({ vehicle: 'Chevrolet Malibu', displacement: 3.1, year: 2000 }, 'bank-2-sensor-2').text).toMatch(
      /single rear sensor/,
    );
    expect(place({ vehicle: 'Honda Civic', year: 2007, displacement: 1.8 }, 'bank-1-sensor-2').text).toMatch(
      /farther from the head is sensor 2/,
    );
  });
});

describe('what is no place of ours', () => {
  it.each([
    'Which fuse is for the rear window heater on my 2005 Golf?',
    'Where is the relay for the windscreen wipers?',
    'which fuse for the rear window heater',
    'Where is the radio antenna module?',
    'What fuse runs the power seats on a 2008 Accord?',
  ])('%s', (text) => {
    const answer = ask(text);
    expect(answer.where).toEqual([]);
    expect(answer.causes[0]!.fault).toBe('outside-the-trade');
    expect(answer.reply.text).toMatch(/outside my trade/);
  });

  it.each([
    'Where is the fuse for the O2 sensor heater?',
    'Which relay feeds the fuel pump, and where is it?',
    'Where is the fuse for the lambda sensors on a 2004 Corolla?',
  ])('but this is: %s', (text) => {
    const answer = ask(text);
    expect(answer.where.length).toBeGreaterThan(0);
    expect(answer.reply.text).not.toMatch(/outside my trade/);
  });
});
