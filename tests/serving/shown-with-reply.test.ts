// What goes with a reply on a chat platform: one question's buttons, one picture, and the notes for a helper.
import { describe, expect, it } from 'vitest';
import { draftNotes } from '../../src/serving/draft-notes.ts';
import { splitOwnLinks } from '../../src/serving/own-links.ts';
import { openQuestion, replyPicture } from '../../src/serving/shown-with-reply.ts';
import { exampleDocument } from '../an-answer.ts';

const where = { ...exampleDocument.where[0]!, text: 'behind the engine', picture: '/pictures/bay.a.00000000.svg' };
const picture = (address: string, alt: string) => ({ ...exampleDocument.pictures[0]!, address, alt });
const trims = picture('/pictures/trims.a.00000000.svg', 'trims as bars');
const bay = picture('/pictures/bay.a.00000000.svg', 'the bay from above');

describe('the picture of a reply', () => {
  it('is that of the part which the reply names, with its own words', () => {
    expect(replyPicture({ ...exampleDocument, where: [where], pictures: [trims, bay] })).toEqual({
      path: bay.address,
      alt: bay.alt,
    });
    expect(replyPicture({ ...exampleDocument, where: [where], pictures: [] })).toEqual({
      path: bay.address,
      alt: 'behind the engine',
    });
  });

  it('is the first of the figures when no part is shown, and none when there is none', () => {
    expect(replyPicture({ ...exampleDocument, where: [], pictures: [trims] })?.path).toBe(trims.address);
    expect(replyPicture({ ...exampleDocument, where: [{ ...where, picture: null }], pictures: [] })).toBeNull();
  });
});

describe('the question of a reply', () => {
  it('has buttons only when the reply put it and it can be answered by one', () => {
    const question = { ...exampleDocument.questions[0]!, text: 'Any smoke?', answers: [{ id: 'no', text: 'No' }] };
    const document = { ...exampleDocument, questions: [question] };
    expect(openQuestion(document, 'It hunts. Any smoke? 1) No')).toBe(question);
    expect(openQuestion(document, 'There was no room for it.')).toBeNull();
    expect(openQuestion({ ...document, questions: [{ ...question, answers: [] }] }, 'Any smoke?')).toBeNull();
    expect(openQuestion({ ...document, questions: [] }, 'Any smoke?')).toBeNull();
  });
});

describe('the notes beside a draft', () => {
  it('say what was read, how likely each cause is with reasons for and against, and what to take care of', () => {
    const notes = draftNotes(exampleDocument);
    expect(notes).toContain('**Read from the post:**');
    const [cause] = exampleDocument.causes;
    expect(notes).toContain(`${cause!.name}`);
    expect(notes).toContain(`${Math.round(cause!.probability * 100)} %`);
    expect(notes).toContain(`- for: ${cause!.for[0]!.why}`);
    expect(notes.length).toBeLessThanOrEqual(2_500);
  });

  it('say so when nothing was read', () => {
    expect(draftNotes({ ...exampleDocument, findings: [], causes: [] })).toContain('nothing that counts as a finding');
  });
});

describe('links to our own pages', () => {
  const address = 'https://cars.example';
  it.each([
    ['none here', ['none here']],
    ['go to https://cars.example/outcome?token=ab-c_d.', ['go to ', 'https://cars.example/outcome?token=ab-c_d', '.']],
    [
      'https://cars.example/a https://cars.example/b',
      ['', 'https://cars.example/a', ' ', 'https://cars.example/b', ''],
    ],
    ['https://cars.example.evil/x', ['https://cars.example.evil/x']],
    ['https://cars.example@evil/x', ['https://cars.example@evil/x']],
    ['https://cars.example/<!channel>', ['', 'https://cars.example/', '<!channel>']],
  ])('are found in %s', (text, pieces) => {
    expect(splitOwnLinks(text, address)).toEqual(pieces);
    expect(splitOwnLinks(text, address).join('')).toBe(text);
    expect(splitOwnLinks(text, null)).toEqual([text]);
  });

  it('are found in linear time', () => {
    const started = performance.now();
    splitOwnLinks('https://cars.example/'.repeat(5_000), address);
    expect(performance.now() - started).toBeLessThan(500);
  });
});
