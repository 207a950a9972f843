// A conversation of several posts: answers to the bot's questions, corrections, repeats, and the case that they build.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readPost } from '../../src/intake/read-post.ts';
import { updateCase } from '../../src/intake/update-case.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { type Case, emptyCase } from '../../src/vocabulary/case.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';

const knowledge = loadKnowledgeFolder();

function posted(...posts: readonly string[]): Case {
  return posts.reduce((current, text) => updateCase(current, readPost(text, current, knowledge)), emptyCase);
}

function asking(current: Case, ...questions: readonly string[]): Case {
  return { ...current, asked: questions.map((question) => ({ question, post: current.posts - 1 })) };
}

function answersTo(questions: readonly string[], text: string): string[] {
  return readPost(text, asking(posted('It idles rough.'), ...questions), knowledge).findings.flatMap((finding) =>
    finding.kind === 'question-answer' ? [`${finding.question} ${finding.answer}`] : [],
  );
}

describe('answers to the bot’s questions', () => {
  it.each([
    [['hissing'], 'Yes', ['hissing yes']],
    [['hissing'], 'no', ['hissing no']],
    [['hissing'], 'Nope, nothing', ['hissing no']],
    [['hissing'], 'Yes, near the throttle', ['hissing yes']],
    [['hissing'], "couldn't check", ['hissing cannot-check']],
    [['hissing'], "I can't tell", ['hissing cannot-check']],
    [['hissing', 'knocking'], '1 yes 2 no', ['hissing yes', 'knocking no']],
    [['hissing', 'knocking'], '1) no\n2) yes', ['hissing no', 'knocking yes']],
    [['hissing', 'knocking'], '1. yes\n2. could not check, sorry', ['hissing yes', 'knocking cannot-check']],
    [['smoke-colour'], 'blue', ['smoke-colour blue']],
    [
      ['hissing'],
      'It also stalls when I pull up at the lights and I would like to know what that may have to do with it, because it began last week and there was a long story about the garage before that which I will spare you but it cost me a lot of money and three weekends of work already you see',
      [],
    ],
  ] as ReadonlyArray<readonly [readonly string[], string, readonly string[]]>)(
    'of %j reads %j',
    (questions, text, expected) => {
      expect(answersTo(questions, text)).toEqual(expected);
    },
  );

  it('reads no answer where nothing was asked', () => {
    expect(
      readPost('yes', posted('It idles rough.'), knowledge).findings.filter(
        (finding) => finding.kind === 'question-answer',
      ),
    ).toEqual([]);
  });
});

function standing(current: Case, kind: Finding['kind']): Finding[] {
  return current.findings.filter((finding) => finding.kind === kind);
}

describe('corrections', () => {
  it('moves a reading to the bank that was meant', () => {
    const current = posted('LTFT B1 is 12', 'Sorry, that was bank 2');
    expect(standing(current, 'reading')).toMatchObject([{ quantity: 'long-term-trim', value: 12, bank: 2 }]);
    expect(current.replaced).toMatchObject([{ finding: { bank: 1 } }]);
  });

  it('takes the number that was meant for the one that was typed', () => {
    const current = posted('sensor voltage bank 1 sensor 1 4.5 V', 'I meant 0.45 not 4.5');
    expect(standing(current, 'reading')).toMatchObject([
      { quantity: 'sensor-voltage', value: 0.45, bank: 1, sensor: 1 },
    ]);
  });

  it('replaces a reading that is corrected in full', () => {
    expect(standing(posted('LTFT is 15', 'correction: LTFT is 12'), 'reading')).toMatchObject([{ value: 12 }]);
  });

  it('replaces a reading that is said to be another now', () => {
    expect(standing(posted('LTFT is 15', 'Cleaned the MAF, now LTFT is 3'), 'reading')).toMatchObject([{ value: 3 }]);
  });

  it('adds a further reading that corrects nothing', () => {
    expect(standing(posted('LTFT B1 is 15', 'LTFT B2 is 4'), 'reading')).toHaveLength(2);
  });

  it('takes a symptom back', () => {
    const current = posted('It stalls at lights.', 'not stalling after all');
    expect(standing(current, 'symptom')).toMatchObject([{ symptom: 'stall', stated: 'denied' }]);
    expect(current.replaced).toMatchObject([{ finding: { symptom: 'stall', stated: 'present' } }]);
  });

  it('leaves alone what it cannot tell apart', () => {
    const current = posted('LTFT B1 is 12, LTFT B2 is 14', 'I meant 13');
    expect(current.replaced).toEqual([]);
  });
});

describe('the case', () => {
  it('counts posts and numbers findings through them', () => {
    const current = posted('It stalls.', 'It also hesitates.');
    expect(current.posts).toBe(2);
    expect(new Set(current.findings.map((finding) => finding.id)).size).toBe(current.findings.length);
  });

  it('keeps one finding of what is said twice', () => {
    expect(standing(posted('It stalls.', 'As I said, it stalls.'), 'symptom')).toHaveLength(1);
  });

  // Sentences that stand for themselves: none refers to another, none contradicts another.
  const sentences = [
    'It stalls at lights.',
    'There is black smoke under load.',
    'No hiss or knocking.',
    'I replaced the spark plugs.',
    'Fuel pump tested fine.',
    'The code is P0171.',
    'It smells of petrol.',
    'The shop says the idle surges.',
    'It used to overheat.',
    'I cleaned the MAF, no change.',
    "It doesn't misfire.",
    'My gas mileage dropped and it hesitates.',
  ];

  it('finds the same in a text however it is split into posts', () => {
    fc.assert(
      fc.property(
        fc.shuffledSubarray(sentences, { minLength: 2 }),
        fc.array(fc.boolean(), { minLength: 12, maxLength: 12 }),
        (chosen, breaks) => {
          const posts: string[] = [];
          chosen.forEach((sentence, index) => {
            if (index > 0 && !breaks[index]) posts[posts.length - 1] += ` ${sentence}`;
            else posts.push(sentence);
          });
          const meanings = (current: Case) =>
            current.findings
              .filter((finding) => finding.kind !== 'request')
              .map(({ id: _id, span: _span, post: _post, quote: _quote, ...meaning }) => JSON.stringify(meaning))
              .sort();
          expect(meanings(posted(...posts))).toEqual(meanings(posted(chosen.join(' '))));
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe('a story told instead of an answer', () => {
  it('does not answer a yes-or-no question by "there is" or "it does"', () => {
    const asked = { ...emptyCase, posts: 1, asked: [{ question: 'exhaust-noise', post: 0 }] };
    const answersOf = (text: string) =>
      readPost(text, asked, knowledge).findings.flatMap((finding) =>
        finding.kind === 'question-answer' ? [finding.answer] : [],
      );
    expect(answersOf('There is a hissing noise at idle behind the engine when I squeeze a hose.')).toEqual([]);
    expect(answersOf('there is')).toEqual(['yes']);
    expect(answersOf('yes, there is a blowing noise')).toEqual(['yes']);
  });
});
