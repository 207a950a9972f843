// Marking the words that findings were read from: overlaps, wrong spans, and which findings belong to a post.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findingsOfPost, markFindings } from '../../src/review/mark-findings.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';

const finding = (id: string, span: [number, number] | null, quote = '', post = 0): Finding => ({
  id,
  kind: 'symptom',
  symptom: 'rough-idle',
  source: 'owner',
  time: 'now',
  car: 0,
  span,
  quote,
  stated: 'present',
  post,
  when: null,
});
const shown = (text: string, findings: Finding[]) =>
  markFindings(text, findings).map((piece) => [
    piece.text,
    piece.findings.map(({ id }) => id).join(''),
    piece.ending.map(({ id }) => id).join(''),
  ]);

describe('marking findings in a text', () => {
  it.each<[string, Finding[], string[][]]>([
    ['none', [], [['abcdef', '', '']]],
    [
      'one inside',
      [finding('a', [1, 3])],
      [
        ['a', '', ''],
        ['bc', 'a', 'a'],
        ['def', '', ''],
      ],
    ],
    ['the whole', [finding('a', [0, 6])], [['abcdef', 'a', 'a']]],
    [
      'two that touch',
      [finding('a', [0, 3]), finding('b', [3, 6])],
      [
        ['abc', 'a', 'a'],
        ['def', 'b', 'b'],
      ],
    ],
    [
      'two that overlap',
      [finding('a', [0, 4]), finding('b', [2, 6])],
      [
        ['ab', 'a', ''],
        ['cd', 'ab', 'a'],
        ['ef', 'b', 'b'],
      ],
    ],
    [
      'one within another',
      [finding('a', [0, 6]), finding('b', [2, 4])],
      [
        ['ab', 'a', ''],
        ['cd', 'ab', 'b'],
        ['ef', 'a', 'a'],
      ],
    ],
    ['two of the same words', [finding('a', [0, 6]), finding('b', [0, 6])], [['abcdef', 'ab', 'ab']]],
    [
      'one that is empty, turned round or too long',
      [finding('a', [2, 2]), finding('b', [4, 2]), finding('c', [0, 7])],
      [['abcdef', '', '']],
    ],
    ['one from a button', [finding('a', null)], [['abcdef', '', '']]],
  ])('with %s', (_, findings, pieces) => {
    expect(shown('abcdef', findings)).toEqual(pieces);
  });

  it('gives back every word once, and every finding its own words', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary', maxLength: 200 }),
        fc.array(fc.tuple(fc.nat(220), fc.nat(220)), { maxLength: 30 }),
        (text, spans) => {
          const findings = spans.map((span, index) => finding(`f${index}`, span));
          const pieces = markFindings(text, findings);
          expect(pieces.map((piece) => piece.text).join('')).toBe(text);
          for (const { id, span } of findings) {
            const own = pieces.filter((piece) => piece.findings.some((item) => item.id === id));
            const fits = span![0] < span![1] && span![1] <= text.length;
            expect(own.map((piece) => piece.text).join('')).toBe(fits ? text.slice(...span!) : '');
            expect(pieces.filter((piece) => piece.ending.some((item) => item.id === id))).toHaveLength(fits ? 1 : 0);
          }
        },
      ),
    );
  });

  it('takes a text of 100,000 characters with 500 findings at once', () => {
    const findings = Array.from({ length: 500 }, (_, index) => finding(`f${index}`, [index * 150, index * 150 + 300]));
    const started = performance.now();
    markFindings('x'.repeat(100_000), findings);
    expect(performance.now() - started).toBeLessThan(500);
  });
});

describe('findings of a post', () => {
  const first = finding('a', [0, 5], 'rough', 0);
  const second = finding('b', [0, 3], 'yes', 1);

  it('are those of its own number whose words stand there', () => {
    expect(findingsOfPost('rough idle', [first, second], 0)).toEqual([first]);
    expect(findingsOfPost('yes it does', [first, second], 1)).toEqual([second]);
  });

  it('are found when a post before it failed and has no number', () => {
    expect(findingsOfPost('yes it does', [first, second], 2)).toEqual([second]);
  });

  it('are none when the words do not stand there', () => {
    expect(findingsOfPost('something else', [first, second], 1)).toEqual([]);
    expect(findingsOfPost('', [first], 0)).toEqual([]);
    expect(findingsOfPost('rough', [], 3)).toEqual([]);
  });
});
