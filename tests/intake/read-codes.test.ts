// Trouble codes in the spellings that people use. `from` names what says that the row is right.
import { describe, expect, it } from 'vitest';
import { readCodes } from '../../src/intake/read-codes.ts';
import { loadFiguresKnowledge } from './figures-knowledge.ts';
import { readWith } from './read-figures.ts';

const knowledge = loadFiguresKnowledge();

const codesOf = (text: string) =>
  readWith([readCodes], text, knowledge).findings.flatMap((finding) =>
    finding.kind === 'code'
      ? [
          `${finding.code}${finding.standard ? '' : '*'}${finding.status ? ` ${finding.status}` : ''}${finding.stated === 'denied' ? ' denied' : ''}`,
        ]
      : [],
  );

const layout = 'ISO 15031-6 / SAE J2012: letter, digit 0 to 3, three hexadecimal digits (from memory)';
const habit = 'common practice';

/** `*` marks a code outside the open standard. */
const rows: ReadonlyArray<{ text: string; codes: readonly string[]; from: string }> = [
  { text: 'P0171', codes: ['P0171'], from: layout },
  { text: 'p0171 and p0174', codes: ['P0171', 'P0174'], from: layout },
  { text: 'code P2A00 on bank 1', codes: ['P2A00'], from: layout },
  { text: 'it stored U0100 as well as a code P0420', codes: ['U0100', 'P0420'], from: layout },
  { text: 'P1131 lean at bank 1', codes: ['P1131*'], from: `${layout}: second digit 1 is the maker's` },
  { text: 'P3497', codes: ['P3497'], from: `${layout}: P34 to P39 are standard` },
  { text: 'P3000', codes: ['P3000*'], from: `${layout}: P30 to P33 are the maker's` },
  { text: 'PO171', codes: ['P0171'], from: `${habit}: the letter O for zero` },
  { text: 'p o171', codes: ['P0171'], from: habit },
  { text: 'P 0171, p-0174', codes: ['P0171', 'P0174'], from: habit },
  { text: 'P0171/P0174', codes: ['P0171', 'P0174'], from: habit },
  { text: 'P0171/0174', codes: ['P0171', 'P0174'], from: habit },
  { text: 'P0171-0174', codes: ['P0171', 'P0174'], from: habit },
  { text: 'P0300, 301 and 302', codes: ['P0300', 'P0301', 'P0302'], from: habit },
  { text: 'p1166 andp1167', codes: ['P1166*', 'P1167*'], from: 'issue 5: run together' },
  { text: 'P0171P0174', codes: ['P0171', 'P0174'], from: habit },
  { text: 'codes 421', codes: ['P0421'], from: 'issue 5' },
  { text: 'it threw a 420', codes: ['P0420'], from: habit },
  { text: 'has a 420 code', codes: ['P0420'], from: habit },
  { text: 'codes 171 and 174', codes: ['P0171', 'P0174'], from: habit },
  { text: 'code 0420 came back', codes: ['P0420'], from: habit },
  { text: 'zero-width P\u200b0171', codes: ['P0171'], from: 'issue 5: zero-width characters inside codes' },
  { text: 'full width \uff30\uff10\uff11\uff17\uff11', codes: ['P0171'], from: 'issue 5: full-width digits' },
  {
    text: '1993 Miata flashes code 15',
    codes: ['15*'],
    from: 'issue 5: flash codes are never turned into standard codes',
  },
  { text: '1992 Golf blinks code 2341', codes: ['2341*'], from: 'issue 5: flash codes stay as they are' },
  { text: 'it blinks 4 then 3, a 1990 Mazda', codes: ['43*'], from: `${habit}: counts parted by a pause are digits` },
  { text: 'two long and one short flashes', codes: ['21*'], from: `${habit}: long for tens, short for ones` },
  { text: 'Blink codes on my 1992 Civic: 1, 43', codes: ['1*', '43*'], from: habit },
  { text: 'my 325i, fault codes 202 and 203', codes: ['202*', '203*'], from: `${habit}: this maker's own numbers` },
  {
    text: 'codes 171 and 174 stored, 300 pending',
    codes: ['P0171 stored', 'P0174 stored', 'P0300 pending'],
    from: habit,
  },
  { text: 'flashing 1-2', codes: ['12*'], from: habit },
  { text: 'changed 2 plugs, then 3 coils, light is flashing', codes: [], from: 'counts of parts' },
  {
    text: 'KOER gave nothing, KOEO 22 and 67 on the Bronco',
    codes: ['22*', '67*'],
    from: `${habit}: self-tests before 1996`,
  },
  { text: 'my e39 has codes E6 and CB', codes: ['E6*', 'CB*'], from: 'issue 5: hexadecimal maker codes' },
  { text: 'code: B1 S2 sensor', codes: [], from: 'a bank is no code' },
  {
    text: '90 Saab, the light shows 12241 and 12221',
    codes: ['12241*', '12221*'],
    from: `${habit}: five blinked digits`,
  },
  { text: 'codes 17536 and 16486', codes: ['17536*', '16486*'], from: 'issue 5: five-digit maker codes' },
  { text: '16555 - P0171', codes: ['P0171'], from: `${habit}: 16384 + 171 is the maker's number of the same code` },
  { text: 'fault code 2C7D', codes: ['2C7D*'], from: 'issue 5: hexadecimal maker codes' },
  { text: 'P0420 (pending)', codes: ['P0420 pending'], from: habit },
  {
    text: 'P0171 and P0174 both stored, P0300 pending',
    codes: ['P0171 stored', 'P0174 stored', 'P0300 pending'],
    from: habit,
  },
  { text: 'Pending: P0133\nPermanent: P0420', codes: ['P0133 pending', 'P0420 permanent'], from: habit },
  { text: 'stored codes P0171 P0174', codes: ['P0171 stored', 'P0174 stored'], from: habit },
  { text: 'no P0300 though', codes: ['P0300 denied'], from: habit },
  { text: 'P0420, 156,000 miles, 2004 Camry', codes: ['P0420'], from: habit },
  { text: 'It has 420 miles on it and costs $421', codes: [], from: habit },
  { text: '420 is the number on the door', codes: [], from: 'issue: bare numbers only in a code context' },
  { text: 'My Mazda B2300 has 3 codes', codes: [], from: 'model name' },
  { text: 'coded cable beef', codes: [], from: 'words' },
  { text: 'the 2 codes came back 3 times', codes: [], from: habit },
];

describe('trouble codes', () => {
  it.each(rows)('reads $text', ({ text, codes }) => {
    expect(codesOf(text)).toEqual(codes);
  });

  it('quotes what was written, whatever it folded', () => {
    const text = 'I got \uff30\uff10\uff11\uff17\uff11 \ud83d\ude21 and PO174';
    for (const finding of readWith([readCodes], text, knowledge).findings) {
      expect(text.slice(finding.span![0], finding.span![1])).toBe(finding.quote);
    }
  });

  it.each([
    ['no codes at all', true],
    ['There are no stored codes.', true],
    ['It has never thrown a code', true],
    ['P0171 is the only code', true],
    ['P0171, no other codes', true],
    ['I remember P0171', false],
    ['Are there no codes?', false],
    ['no code reader here', false],
    ['no misfire codes', false],
  ])('takes "%s" as a whole list: %s', (text, complete) => {
    expect(readWith([readCodes], text, knowledge).findings.some((finding) => finding.kind === 'code-list')).toBe(
      complete,
    );
  });
});
