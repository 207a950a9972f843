// Hidden signs: named for people who must see what was written, dropped for readers of a chat.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dropHidden, showHidden } from '../../src/pages/readable-text.ts';
import { hostileTexts } from '../hostile-texts.ts';

/** From: Unicode 15.1, UCD PropList.txt, Bidi_Control. */
const directionSigns = [
  '\u061c',
  '\u200e',
  '\u200f',
  '\u202a',
  '\u202b',
  '\u202c',
  '\u202d',
  '\u202e',
  '\u2066',
  '\u2067',
  '\u2068',
  '\u2069',
];

describe('hidden signs', () => {
  it.each(directionSigns.map((sign) => [sign.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0'), sign]))(
    'are shown by name and dropped: U+%s',
    (name, sign) => {
      expect(showHidden(`a${sign}b`)).toBe(`a[U+${name}]b`);
      expect(dropHidden(`a${sign}b`)).toBe('ab');
    },
  );

  it('leave lines, tabs, accents, other scripts and joined pictures as they are', () => {
    const text =
      'LTFT\t+22\nd\u00e9tonation \u0434\u0432\u0438\u0433\u0430\u0442\u0435\u043b\u044c \u0627\u0644\u0645\u062d\u0631\u0643';
    expect(showHidden(text)).toBe(text);
    expect(dropHidden(text)).toBe(text);
    expect(dropHidden('\ud83d\udc68\u200d\ud83d\udd27')).toBe('\ud83d\udc68\u200d\ud83d\udd27');
  });

  it('replace half a pair, which no page could carry', () => {
    expect(dropHidden('a\ud800b\udc00c')).toBe('a\ufffdb\ufffdc');
    expect(showHidden('\ud83d\udd27')).toBe('\ud83d\udd27');
  });

  it('leave no control sign in any text', () => {
    const control = /[\p{Cc}]/u;
    for (const text of hostileTexts) {
      expect(control.test(dropHidden(text).replaceAll(/[\n\t]/g, ''))).toBe(false);
      expect(control.test(showHidden(text).replaceAll(/[\n\t]/g, ''))).toBe(false);
    }
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        // From: ECMAScript, 19.2.6.5: encoding throws on half a pair.
        expect(() => encodeURIComponent(showHidden(text))).not.toThrow();
        expect(control.test(dropHidden(text).replaceAll(/[\n\t]/g, ''))).toBe(false);
      }),
    );
  });
});
