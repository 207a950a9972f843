// The reading of a whole post: notes about text that cannot be read, spans that quote, and laws for every input.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readPost } from '../../src/intake/read-post.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';
import { finding as findingSchema } from '../../src/vocabulary/findings.ts';
import { readTextLimit } from '../../src/vocabulary/post.ts';

const knowledge = loadKnowledgeFolder();
const read = (text: string) => readPost(text, emptyCase, knowledge);
const notesOf = (text: string) => read(text).notes.map((note) => note.kind);

describe('text that cannot be read', () => {
  it.each([
    ['', 'empty'],
    ['   \n\t ', 'empty'],
    ['\u0000\u0001\u0002\u0003\u0004\ufffd\ufffd\ufffd PNG \u0005\u0006\u0007\u0008', 'empty-or-binary'],
  ])('notes %j', (text, kind) => {
    expect(kind === 'empty-or-binary' ? ['empty', 'unreadable'] : [kind]).toContain(notesOf(text)[0]);
  });

  it.each([
    'Mein Auto ruckelt beim Beschleunigen und die Motorkontrollleuchte ist an, was kann das sein?',
    'Mi coche no tiene fuerza y la luz del motor se enciende cuando acelero, ¿qué puede ser?',
    'Ma voiture cale au ralenti et le voyant moteur est allumé, que faire ?',
    'У меня горит лампочка двигателя и машина плохо едет',
    '我的车怠速不稳,发动机灯亮了,是什么原因?',
    'La mia macchina non ha potenza e la spia del motore è accesa, cosa può essere?',
  ])('says that it does not read the language of %j', (text) => {
    expect(notesOf(text)).toContain('other-language');
  });

  it.each([
    'P0171 P0174 P0420 LTFT +22 STFT -3 B1S1 0.45 V',
    'CEL on, P0420',
    'STFT1 3.1\nLTFT1 12.5\nO2S11 0.1-0.9\nRPM 750',
    'P0171',
    'My Peugeot 406 stalls at lights after a run, code P0115',
    'Polo 1.4 16v: rough idle, no codes',
  ])('takes %j for English', (text) => {
    expect(notesOf(text)).not.toContain('other-language');
  });

  it('reads up to the limit and notes what is beyond it', () => {
    const filler = 'word '.repeat(readTextLimit / 5 - 4);
    const inside = `${filler}it stalls.`.padEnd(readTextLimit, ' ');
    expect(notesOf(inside)).toEqual([]);
    expect(read(inside).findings.some((finding) => finding.kind === 'symptom')).toBe(true);
    const beyond = `${inside}it misfires`;
    expect(notesOf(beyond)).toEqual(['truncated']);
    expect(read(beyond).findings.some((finding) => finding.kind === 'symptom' && finding.symptom === 'misfire')).toBe(
      false,
    );
  });

  it('tells a post that is about no car', () => {
    expect(read('What is the capital of France?').offTopic).toBe(true);
    expect(notesOf('I run a bakery and need help with my taxes')).toEqual(['no-car']);
    expect(notesOf('my washing machine leaks water when it spins, is it the pump or the door seal?')).toEqual([
      'no-car',
    ]);
    expect(notesOf('The dishwasher overheats and smokes.')).toEqual(['no-car']);
    expect(notesOf('My car leaks water and so does my washing machine.')).toEqual([]);
    expect(notesOf('P0171. The washer bottle leaks.')).toEqual([]);
    expect(read('My car stalls.').offTopic).toBe(false);
    expect(read('The brakes squeal when I stop').offTopic).toBe(false);
  });
});

describe('every text', () => {
  const words = fc.constantFrom(
    'stalls',
    'no',
    'smoke',
    'not',
    'black',
    'check',
    'engine',
    'light',
    'it',
    'if',
    'replaced',
    'plugs',
    'and',
    ',',
    '.',
    '?',
    '\n',
    'P0171',
    '12',
    'V',
    'bank',
    '>',
    'wrote:',
    'shop',
    'says',
    'before',
    'until',
    'my',
    'brother’s',
    'Golf',
    'used',
    'to',
    'where',
    'is',
    'sensor',
    '🚗',
    '\u200d',
    'ﬁ',
    '1/2',
  );
  const texts = fc.oneof(
    fc.string({ unit: 'binary', maxLength: 200 }),
    fc.array(words, { maxLength: 60 }).map((list) => list.join(' ')),
  );

  it('is read without an error, into findings that are valid and quote it', () => {
    fc.assert(
      fc.property(texts, (text) => {
        for (const found of read(text).findings) {
          findingSchema.parse(found);
          expect(found.span).not.toBeNull();
          const [start, end] = found.span!;
          expect(text.slice(start, end)).toBe(found.quote);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('keeps its findings when quotes, dashes and blanks are typographic', () => {
    const plain = 'It doesn\'t stall - no smoke, "rough idle" though';
    const fancy = 'It doesn\u2019t stall \u2013 no\u00a0smoke, \u201crough idle\u201d though';
    const kinds = (text: string) =>
      read(text).findings.flatMap((found) => (found.kind === 'symptom' ? [`${found.symptom} ${found.stated}`] : []));
    expect(kinds(fancy)).toEqual(kinds(plain));
    expect(kinds(plain)).toContain('stall denied');
  });

  it('never reads a denied symptom as present when more is said before or after', () => {
    const around = [
      'I have a 2004 saloon.',
      'The code is P0171.',
      'I replaced the plugs.',
      'Any ideas?',
      'LTFT is 12 at idle.',
    ];
    const denied = [
      "It doesn't stall.",
      'No black smoke.',
      'It never overheats.',
      'not burning oil',
      'no hiss or knocking',
      'the engine light is not on',
    ];
    fc.assert(
      fc.property(fc.constantFrom(...denied), fc.shuffledSubarray(around), fc.nat(5), (denial, others, place) => {
        const list = [...others];
        list.splice(Math.min(place, list.length), 0, denial.endsWith('.') ? denial : `${denial}.`);
        const found = read(list.join(' ')).findings.filter((item) => item.kind === 'symptom');
        expect(found.length).toBeGreaterThan(0);
        expect(found.every((item) => item.stated === 'denied')).toBe(true);
      }),
      { numRuns: 80 },
    );
  });
});
