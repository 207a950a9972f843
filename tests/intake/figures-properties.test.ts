// Laws of the figure readers over arbitrary text: nothing throws, spans quote, ids are unique, time grows with length.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readBytes } from '../../src/intake/read-bytes.ts';
import { readCodes } from '../../src/intake/read-codes.ts';
import { readEngine } from '../../src/intake/read-engine.ts';
import { readReadings } from '../../src/intake/read-readings.ts';
import { readTables } from '../../src/intake/read-tables.ts';
import { finding as findingSchema } from '../../src/vocabulary/findings.ts';
import { loadFiguresKnowledge } from './figures-knowledge.ts';
import { readWith } from './read-figures.ts';

const knowledge = loadFiguresKnowledge();
const readers = [readBytes, readCodes, readTables, readReadings, readEngine];
const pieces = [
  'P0171',
  'PO',
  '420',
  'LTFT',
  'stft',
  'B1',
  'bank 2',
  'sensor',
  '+22',
  '-4',
  '%',
  '0,45',
  '.93',
  '1,200',
  'V',
  'mV',
  'rpm',
  'idle',
  '2500',
  'CO',
  'HC',
  'O2',
  'lambda',
  '1.01',
  'limit',
  'meas',
  'max',
  '(',
  ')',
  ':',
  ',',
  '\n',
  '\n\n',
  ' ',
  '41 0C 1A F8',
  '7E8',
  '2004',
  'Corolla',
  '3.5',
  'V6',
  'turbo',
  'from',
  'to',
  'between',
  'and',
  'no codes',
  '\ud83d\ude21',
  '\u200b',
  '\uff12',
  '1/2',
  '..',
  '10:30',
  '$5',
  'minus',
  'twenty',
  'k',
  'miles',
];
const messy = fc
  .array(fc.oneof(fc.constantFrom(...pieces), fc.string({ unit: 'binary', maxLength: 6 })), { maxLength: 60 })
  .chain((parts) => fc.constantFrom(' ', '').map((glue) => parts.join(glue)));

describe('figure readers', () => {
  it('never throw, quote their spans exactly and give valid findings', () => {
    fc.assert(
      fc.property(messy, (text) => {
        const { findings, conflicts } = readWith(readers, text, knowledge);
        const ids = new Set<string>();
        for (const finding of findings) {
          expect(findingSchema.safeParse(finding).success).toBe(true);
          expect(text.slice(finding.span![0], finding.span![1])).toBe(finding.quote);
          ids.add(finding.id);
        }
        expect(ids.size).toBe(findings.length);
        for (const conflict of conflicts) expect(text).toContain(conflict.quote);
      }),
      { numRuns: 400 },
    );
  });

  it('read the same with either kind of line end', () => {
    fc.assert(
      fc.property(messy, (text) => {
        const plain = text.replaceAll('\r', '');
        const show = (value: string) =>
          readWith(readers, value, knowledge).findings.map(({ span: _span, quote: _quote, ...rest }) => rest);
        expect(show(plain.replaceAll('\n', '\r\n'))).toEqual(show(plain));
      }),
      { numRuns: 100 },
    );
  });
});
