// Trouble codes given by their definition. Which words define which code: SAE J2012 / ISO 15031-6, the titles of the standard's list
// compared by hand with an open list of titles; from memory where that is silent.
import { describe, expect, it } from 'vitest';
import { readCodes } from '../../src/intake/read-codes.ts';
import { splitTokens } from '../../src/intake/tokens.ts';
import { loadFiguresKnowledge } from './figures-knowledge.ts';
import { readWith } from './read-figures.ts';

const knowledge = loadFiguresKnowledge();
const read = (text: string) =>
  readWith([readCodes], text, knowledge).findings.flatMap((finding) => (finding.kind === 'code' ? [finding] : []));

describe('codes in words', () => {
  it.each([
    ['the scanner says system too lean bank 2', ['P0174']],
    ['System too rich (Bank 1) is what it shows', ['P0172']],
    ['it read fuel system too lean on both banks', ['P0171', 'P0174']],
    ['reads system too lean bank 1 and bank 2', ['P0171', 'P0174']],
    ['Bank 2 catalyst system efficiency below threshold', ['P0430']],
    ['cat efficiency below threshold bank 1', ['P0420']],
    ['O2 sensor heater circuit malfunction bank 2 sensor 2', ['P0161']],
    ['oxygen sensor circuit slow response (bank 1 sensor 1)', ['P0133']],
    ['O2 sensor circuit no activity detected bank 1, sensor 2', ['P0140']],
    ['random/multiple cylinder misfire detected', ['P0300']],
    ['cylinder 4 misfire detected and cylinder 6 misfire detected', ['P0304', 'P0306']],
    ['EGR flow insufficient', ['P0401']],
  ])('reads "%s"', (text, codes) => {
    const found = read(text);
    expect(found.map(({ code }) => code)).toEqual(codes);
    for (const { inWords, standard, quote } of found) {
      expect(inWords).toBe(true);
      expect(standard).toBe(true);
      expect(text).toContain(quote);
    }
  });

  it.each([
    ['a complaint', 'the engine is running too lean on bank 1'],
    ['a definition without the bank that it needs', 'it said system too lean and nothing more'],
    ['a heater without its sensor', 'O2 sensor heater circuit bank 1'],
    ['a misfire that nothing detected', 'cylinder 4 misfire when cold'],
  ])('leaves %s alone', (_what, text) => {
    expect(read(text)).toEqual([]);
  });

  it('takes the words behind a number for its text', () => {
    expect(read('P0171 system too lean bank 1').map(({ code, inWords }) => [code, inWords])).toEqual([
      ['P0171', undefined],
    ]);
    expect(read('P1130 - system too lean bank 2').map(({ code }) => code)).toEqual(['P1130']);
  });

  it('holds no definition that could be a complaint of its own: each has three words or more', () => {
    for (const { id, words } of knowledge.codeWords)
      for (const phrase of words) expect(splitTokens(phrase).length, `${id}: ${phrase}`).toBeGreaterThanOrEqual(3);
  });
});
