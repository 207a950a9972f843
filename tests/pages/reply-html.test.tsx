// A reply as HTML: bold, lists, paragraphs and line breaks, and nothing else whatever it contains.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ReplyHtml } from '../../src/pages/reply-html.tsx';
import { combinedTexts, hostileTexts } from '../hostile-texts.ts';

const html = (markdown: string) => String(<ReplyHtml markdown={markdown} />);

/** What is left of a page's HTML when the tags that a reply may have are taken away. */
const withoutOwnTags = (written: string) =>
  written.replaceAll(/<\/?(p|ul|ol|li|strong)>|<ol start="\d{1,3}">|<br\/>|<div class="words">|<\/div>/g, '');

/** Any line but one that begins a list: there the number becomes the list's own. */
const line = fc.stringMatching(/^[a-z0-9 .,%+]{1,20}$/).filter((text) => !/^\d{1,3}\. /.test(text));

describe('a reply as HTML', () => {
  it.each([
    ['a line', '<p>a line</p>'],
    ['one\ntwo', '<p>one<br/>two</p>'],
    ['one\n\ntwo', '<p>one</p><p>two</p>'],
    ['**Next check:** look', '<p><strong>Next check:</strong> look</p>'],
    ['- a\n- b', '<ul><li>a</li><li>b</li></ul>'],
    ['**Causes:**\n- a\n- b\nend', '<p><strong>Causes:</strong></p><ul><li>a</li><li>b</li></ul><p>end</p>'],
    ['one **without end', '<p>one **without end</p>'],
    ['**a** and **b', '<p><strong>a</strong> and **b</p>'],
    ['1. a\n2. b', '<ol start="1"><li>a</li><li>b</li></ol>'],
    [
      '2. a\n3. b\n7. c\n- d',
      '<ol start="2"><li>a</li><li>b</li></ol><ol start="7"><li>c</li></ol><ul><li>d</li></ul>',
    ],
    ['2.5 V and 1.x', '<p>2.5 V and 1.x</p>'],
    ['-no item', '<p>-no item</p>'],
    ['[x](javascript:y)', '<p>[x](javascript:y)</p>'],
    ['', ''],
  ])('writes %j', (markdown, expected) => {
    expect(html(markdown)).toBe(`<div class="words">${expected}</div>`);
  });

  it.each([...hostileTexts, ...combinedTexts].map((text) => [text.slice(0, 60), text]))(
    'lets nothing through: %s',
    (_, text) => {
      // From: the HTML standard, 13.2.5.1: in text only "<" and "&" begin anything.
      const rest = withoutOwnTags(html(text));
      expect(rest).not.toContain('<');
      expect(rest.replaceAll(/&(lt|gt|amp|quot|#39);/g, '')).not.toContain('&');
    },
  );

  it('keeps every visible word', () => {
    fc.assert(
      fc.property(fc.array(line, { maxLength: 12 }), (lines) => {
        const shown = withoutOwnTags(html(lines.join('\n'))).replaceAll(/\s/g, '');
        expect(shown).toBe(lines.join('').replaceAll(/\s/g, ''));
      }),
    );
  });

  it('takes time in proportion to the text', () => {
    const started = performance.now();
    html('**'.repeat(100_000));
    html('- x\n'.repeat(100_000));
    html('\n'.repeat(200_000));
    expect(performance.now() - started).toBeLessThan(2000);
  });
});
