import { describe, expect, it } from 'vitest';
import { answerPost } from '../../src/answer.ts';
import { knowledge } from './build.ts';

const limitsIn = (text: string) =>
  answerPost({ id: 'a', text }, null, knowledge).answer.explanations.find(({ about }) => about === 'test-limits')?.text;

describe('explainLimits', () => {
  // UK Road Vehicles (Construction and Use) Regulations 1986, schedule 7B part I; SI 1995/2210; 40 CFR 85.2214.
  it.each([
    [
      'what is the limit for CO at idle for the MOT, its a 1999 Corsa',
      /CO at idle at most 0.5 %.*lambda at fast idle 0.97 to 1.03/,
    ],
    ['whats the CO limit in the UK for a 2005 Corsa?', /CO at idle at most 0.3 %, CO at fast idle at most 0.2 %/],
    ['what is the maximum CO for the MOT on a 1988 Golf?', /CO at idle at most 3.5 %, HC at idle at most 1200 ppm/],
    ['what HC is allowed for the smog check, 1998 Civic?', /United States.*HC at idle at most 2[02]0 ppm/],
  ])('answers %j with the published figure', (text, figures) => {
    expect(limitsIn(text)).toMatch(figures);
  });

  it('asks for the country and the age where the post names none', () => {
    expect(limitsIn('what is the limit for CO?')).toMatch(/country and on when the car was first used/);
  });

  it('leaves figures to be judged, and says nothing of trims', () => {
    expect(limitsIn('CO 0.8 % at idle, is that within the MOT limit? 1999 Corsa')).toBeUndefined();
    expect(limitsIn('what is the normal range for long term trim?')).toBeUndefined();
  });
});
