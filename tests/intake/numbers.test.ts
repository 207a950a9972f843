// Numbers as people type them: common practice of decimal marks, thousands and number words.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readNumber } from '../../src/intake/numbers.ts';
import { splitTokens } from '../../src/intake/tokens.ts';

const valueIn = (text: string) => readNumber(splitTokens(text.toLowerCase()), 0)?.value ?? null;

describe('numbers', () => {
  it.each<[string, number | null]>([
    ['22', 22],
    ['+22', 22],
    ['-4', -4],
    ['minus 4', -4],
    ['.93', 0.93],
    ['0.45', 0.45],
    ['0,45', 0.45],
    ['1,98', 1.98],
    ['14,9', 14.9],
    ['1,200', 1200],
    ['275,000', 275_000],
    ['1,234,567', 1_234_567],
    ['0,450', 0.45],
    ['150k', 150_000],
    ['4.5k', 4500],
    ['85 thousand', 85_000],
    ['zero', 0],
    ['twenty', 20],
    ['twenty two', 22],
    ['twenty-two', 22],
    ['zero point nine', 0.9],
    ['a hundred and fifty thousand', 150_000],
    ['three hundred', 300],
    ['1/4', 0.25],
    ['3 1/2', 3.5],
    ['275 000 km', 275_000],
    ['1.2.3', null],
    ['12/05/2023', null],
    ['10:30', null],
    ['2nd', null],
    ['4x4', null],
    ['22mm', null],
    ['and', null],
    ['', null],
  ])('reads %s as %s', (text, value) => {
    expect(valueIn(text)).toBe(value);
  });

  it('keeps the other reading of three digits behind a comma', () => {
    expect(readNumber(splitTokens('1,014'), 0)).toMatchObject({ value: 1014, alternative: 1.014 });
  });

  it('reads every plain decimal with point or comma alike', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 9999 }), fc.integer({ min: 0, max: 99 }), (whole, part) => {
        const digits = String(part).padStart(2, '0');
        expect(valueIn(`${whole}.${digits}`)).toBe(Number(`${whole}.${digits}`));
        expect(valueIn(`${whole},${digits}`)).toBe(Number(`${whole}.${digits}`));
      }),
    );
  });
});
