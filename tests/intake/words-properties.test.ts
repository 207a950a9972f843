// What must hold for the words of every post: the same findings however it is cut into messages, spans that quote, no throw whatever
// the text, and time in proportion to it.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readPost } from '../../src/intake/read-post.ts';
import { updateCase } from '../../src/intake/update-case.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';

const knowledge = loadKnowledgeFolder();

/** Statements that each stand by themselves. */
const statements = [
  'It idles rough.',
  'It stalls at traffic lights.',
  'There is no black smoke.',
  "It doesn't use oil.",
  'The check engine light is on.',
  'I replaced the spark plugs last month.',
  'The garage cleaned the throttle body.',
  'Mileage dropped from 30 to 22 mpg.',
  'Coolant level never drops.',
  'The misfire is worse uphill.',
  'I think it hesitates.',
  "The mechanic says it's burning oil.",
  'Could it be the oxygen sensor?',
  'I will change the coils tomorrow.',
  "The exhaust isn't blowing.",
  'It smells of petrol when cold.',
  'It used to surge at idle.',
  'My other car misfires.',
  'Compression test came back fine.',
  'No hissing, whistling or knocking.',
];

/** What findings say, without where. */
function meaning(findings: readonly Finding[]): string[] {
  return findings
    .flatMap((finding) =>
      finding.kind === 'symptom'
        ? [`${finding.symptom} ${finding.stated} ${finding.when} ${finding.time} ${finding.car} ${finding.source}`]
        : finding.kind === 'work-done'
          ? [`${finding.action} ${finding.part} ${finding.time} ${finding.car}`]
          : [],
    )
    .sort();
}

const posts = fc.uniqueArray(fc.constantFrom(...statements), { minLength: 1, maxLength: 7 });

describe('words of a post', () => {
  it('give the same findings however they are cut into messages', () => {
    fc.assert(
      fc.property(
        posts,
        fc.array(fc.boolean(), { minLength: 7, maxLength: 7 }),
        fc.constantFrom(' ', '\n', '\n\n'),
        (said, cuts, joint) => {
          const whole = meaning(readPost(said.join(joint), emptyCase, knowledge).findings);
          const messages: string[] = [];
          for (const [index, text] of said.entries()) {
            if (index > 0 && !cuts[index]) messages.push(`${messages.pop()}${joint}${text}`);
            else messages.push(text);
          }
          let state = emptyCase;
          for (const message of messages) state = updateCase(state, readPost(message, state, knowledge));
          expect(meaning(state.findings)).toEqual(whole);
        },
      ),
      { numRuns: 150 },
    );
  });

  it('give the same findings in another order of the statements', () => {
    fc.assert(
      fc.property(posts, fc.integer({ min: 1, max: 6 }), (said, shift) => {
        const turned = [...said.slice(shift), ...said.slice(0, shift)];
        const read = (list: readonly string[]) => meaning(readPost(list.join(' '), emptyCase, knowledge).findings);
        expect(read(turned)).toEqual(read(said));
      }),
      { numRuns: 100 },
    );
  });

  it('mean the same in capitals, with smart quotes, full-width letters, odd blanks and marks that cannot be seen', () => {
    const wide = (text: string) =>
      [...text]
        .map((letter) => (/[a-zA-Z]/.test(letter) ? String.fromCharCode(letter.charCodeAt(0) + 0xfee0) : letter))
        .join('');
    for (const text of statements) {
      const plain = meaning(readPost(text, emptyCase, knowledge).findings);
      for (const changed of [
        text.toUpperCase(),
        text.replaceAll("'", '\u2019'),
        wide(text),
        text.replaceAll(' ', '\u00a0'),
        text.replaceAll(' ', '  '),
        [...text].join('\u200b'),
        `\u202b${text}\u202c`,
        `${text} \ud83d\ude21\ud83d\udd25`,
      ])
        expect(meaning(readPost(changed, emptyCase, knowledge).findings), changed).toEqual(plain);
    }
  });

  it('are quoted by their spans, and nothing throws, whatever the text', () => {
    const piece = fc.oneof(
      fc.constantFrom(
        ...statements,
        'not',
        'no',
        'never',
        'n\u2019t',
        'if',
        'until',
        '?',
        ',',
        ':',
        '--',
        '(',
        '>',
        '\n',
        '\u202e',
        '\u200d',
        '\ud800',
        'P0171',
        '1)',
        '* ',
      ),
      fc.string({ unit: 'binary', maxLength: 12 }),
      fc.string({ maxLength: 12 }),
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 40 }), (pieces) => {
        const text = pieces.join(' ');
        for (const { span, quote } of readPost(text, emptyCase, knowledge).findings)
          if (span) expect(text.slice(span[0], span[1])).toBe(quote);
      }),
      { numRuns: 300 },
    );
  });

  it('take time in proportion to the text, whatever words are repeated', () => {
    const best = (text: string) =>
      Math.min(
        ...[0, 1].map(() => {
          const begin = process.cpuUsage();
          readPost(text, emptyCase, knowledge);
          const { user, system } = process.cpuUsage(begin);
          return (user + system) / 1000;
        }),
      );
    for (const word of [
      'no smoke or ',
      'not ',
      'replaced the plugs and ',
      'it stalls, ',
      'idle up and down ',
      'if ',
      'mine ',
      'rough idle\n',
      'checkengine ',
      'was it ',
    ]) {
      const long = word.repeat(Math.floor(24_000 / word.length));
      // A quarter of the text takes a quarter of the time; quadratic growth would make it a sixteenth.
      expect(best(long), word).toBeLessThan(9 * best(long.slice(0, long.length / 4)) + 300);
    }
  }, 120_000);
});
