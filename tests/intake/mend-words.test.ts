// Slips in words of the trade and words run together. The slips are made by rule (a letter dropped, doubled, changed or swapped);
// right English words must stay as they are.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mendTokens } from '../../src/intake/mend-words.ts';
import { splitTokens } from '../../src/intake/tokens.ts';
import { rightWords, tradeWords } from '../../src/intake/trade-words.ts';
import { stemWord } from '../../src/intake/word-stem.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';

const knowledge = loadKnowledgeFolder();
const mended = (text: string) =>
  mendTokens(splitTokens(text), knowledge)
    .map((token) => token.text)
    .join(' ');

const slips: ReadonlyArray<readonly [string, string]> = [
  ['exhuast', 'exhaust'],
  ['catalitic', 'catalytic'],
  ['thermostate', 'thermostat'],
  ['hesitaion', 'hesitation'],
  ['acelerating', 'accelerating'],
  ['blinkng', 'blinking'],
  ['overheting', 'overheating'],
  ['engin', 'engine'],
  ['vaccum', 'vacuum'],
  ['vacume', 'vacuum'],
  ['compresion', 'compression'],
  ['temprature', 'temperature'],
  ['idel', 'idle'],
  ['guage', 'gauge'],
  ['fuelpump', 'fuel pump'],
  ['roughidle', 'rough idle'],
  ['blacksmoke', 'black smoke'],
  ['checkenginelight', 'check engine light'],
  ['catalyticconverter', 'catalytic converter'],
  ['vacuumleak', 'vacuum leak'],
];

/** Right English beside the words of the trade; from: the list is of general words, chosen from running prose. */
const ordinary =
  'something everything without within outside inside however therefore another together anywhere yesterday tomorrow morning house horse ' +
  'mission passion village sensible patrol cleaner filler stealing steering storing staring sterling streaming story stable small smile spell ' +
  'shell start stall light might sight night change charge clearly nearly quite quiet quit bottle battle butter better letter later latter ' +
  'lightweight headlight sunlight daylight airport carpet cardinal candle handle panel channel pencil';

describe('slips of the keyboard', () => {
  it.each(slips)('%s is read as %s', (typed, meant) => expect(mended(typed)).toBe(meant));

  it.each(ordinary.split(' '))('leaves %s as it is', (word) => expect(mended(word)).toBe(word));

  it('leaves every word of the trade and every neighbour of one as it is', () => {
    for (const word of [...tradeWords, ...rightWords]) expect(mended(word)).toBe(word);
  });

  it('leaves words that touch digits alone, for they are codes, engines and places', () => {
    expect(mended('engin2 ltftbnk1 p0171')).toBe('engin 2 ltftbnk 1 p 0171');
  });

  it('mends nine slips in ten of a letter dropped, doubled or swapped inside a word of seven letters or more', () => {
    let made = 0;
    let right = 0;
    for (const word of tradeWords.filter((item) => item.length >= 7)) {
      for (let at = 1; at < word.length - 1; at += 1) {
        const dropped = word.slice(0, at) + word.slice(at + 1);
        const doubled = word.slice(0, at) + word[at]! + word.slice(at);
        const swapped = word.slice(0, at) + word[at + 1]! + word[at]! + word.slice(at + 2);
        for (const slip of [dropped, doubled, swapped]) {
          if (slip === word) continue;
          made += 1;
          if (stemWord(mended(slip)) === stemWord(word)) right += 1;
        }
      }
    }
    expect(made).toBeGreaterThan(4000);
    expect(right / made).toBeGreaterThan(0.9);
  });

  it('keeps the places of the text: every token quotes what was typed there', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom(...slips.map(([typed]) => typed), 'and', '12', ',', '\n'), { maxLength: 30 }),
        (parts) => {
          const text = parts.join(' ');
          const tokens = mendTokens(splitTokens(text), knowledge);
          let last = 0;
          for (const token of tokens) {
            expect(token.start).toBeGreaterThanOrEqual(last);
            expect(token.end).toBeGreaterThan(token.start);
            last = token.end;
          }
          expect(last).toBeLessThanOrEqual(text.length);
        },
      ),
    );
  });
});
