import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Block,
  clause,
  fitBlocks,
  plainWords,
  replyLimit,
  sentence,
  writeMarkdown,
  writeText,
} from '../../src/reply/blocks.ts';

const block = (weight: number, lines: string[], short: string[] | null = null, title: string | null = 'T'): Block => ({
  title,
  lines,
  short,
  weight,
});

describe('fitting blocks into a chat turn', () => {
  it('leaves blocks that fit as they are', () => {
    const blocks = [block(10, ['one']), block(100, ['two'])];
    expect(fitBlocks(blocks)).toEqual(blocks);
  });

  it('shortens the least important block first', () => {
    const blocks = [block(10, ['x'.repeat(1500)], ['short']), block(90, ['y'.repeat(400)], ['short'])];
    const fitted = fitBlocks(blocks);
    expect(fitted[0]!.lines).toEqual(['short']);
    expect(fitted[1]!.lines[0]).toHaveLength(400);
  });

  it('drops what cannot be shortened enough, and never a block of weight 100', () => {
    const blocks = [block(10, ['x'.repeat(1500)]), block(100, ['y'.repeat(1700)])];
    expect(fitBlocks(blocks).map((item) => item.weight)).toEqual([100]);
  });

  it('keeps the order of the blocks', () => {
    const blocks = [block(50, ['a']), block(10, ['b'.repeat(1795)]), block(70, ['c'])];
    expect(fitBlocks(blocks).map((item) => item.lines[0])).toEqual(['a', 'c']);
  });

  it('always fits when the undroppable blocks do', () => {
    const blocks = fc.array(
      fc.record({
        title: fc.constantFrom(null, 'Title'),
        lines: fc.array(fc.string({ maxLength: 600 }), { maxLength: 4 }),
        short: fc.option(fc.array(fc.string({ maxLength: 100 }), { maxLength: 2 })),
        weight: fc.integer({ min: 0, max: 99 }),
      }),
      { maxLength: 10 },
    );
    fc.assert(fc.property(blocks, (list) => writeText(fitBlocks(list)).length <= replyLimit));
  });
});

describe('writing blocks', () => {
  it('puts a single line behind its heading and several below it', () => {
    expect(writeText([block(1, ['one'])])).toBe('T: one');
    expect(writeText([block(1, ['one', 'two'])])).toBe('T:\n- one\n- two');
    expect(writeMarkdown([block(1, ['1. one', '2. two'])])).toBe('**T:**\n1. one\n2. two');
  });
});

describe('words of the writer', () => {
  it.each([
    ['@everyone look', 'everyone look'],
    ['<script>alert(1)</script>', 'scriptalert1/script'],
    ['a\n\u202eb\u0000c', 'a b c'],
    ['**bold** [link](http://x)', 'bold linkhttp://x'],
  ])('are made harmless: %j', (words, harmless) => {
    expect(plainWords(words)).toBe(harmless);
  });

  it('are cut to their length', () => {
    expect(plainWords('x'.repeat(500), 20)).toHaveLength(20);
  });
});

describe('sentences', () => {
  it('begin with a capital and end with a stop, once', () => {
    expect(sentence('it runs rich')).toBe('It runs rich.');
    expect(sentence('Does it?')).toBe('Does it?');
    expect(clause('It runs rich. ')).toBe('It runs rich');
  });
});
