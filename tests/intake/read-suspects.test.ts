import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readPost } from '../../src/intake/read-post.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';

const knowledge = loadKnowledgeFolder();

/** "part" for a part that is only named, "part!" for one found bad, "-part" for one that the writer rules out. */
function suspects(text: string): string[] {
  return readPost(text, emptyCase, knowledge).findings.flatMap((finding) => {
    if (finding.kind === 'request' && finding.about === 'diagnosis' && finding.item !== null)
      return [`${finding.stated === 'denied' ? '-' : ''}${finding.item}`];
    if (finding.kind === 'work-done' && finding.result === 'found-bad') return [`${finding.part}!`];
    return [];
  });
}

describe('parts that a post suspects', () => {
  it.each([
    ['Could the air flow meter do this?', ['air-meter']],
    ['Everyone tells me it is the EGR valve.', ['egr-valve']],
    ['There is a crack in the exhaust manifold.', ['exhaust-manifold!']],
    ['The garage found the coil pack dead.', ['ignition-coils!']],
    ['My mechanic says the fuel pressure is weak.', ['fuel-pump!']],
    ['The heater of bank 1 sensor 1 is open circuit.', ['sensor-heater!']],
    ['I do not think it is a vacuum leak.', ['-vacuum-hose']],
  ])('%s', (text, expected) => {
    expect(suspects(text)).toEqual(expected);
  });

  it.each([
    ['a part that was replaced', 'I replaced the air flow meter last week and it still bogs.'],
    ['a part that was found in order', 'Coils fine, the MAF looks great.'],
    ['a figure of the tester', 'It failed with lambda 1.09 at fast idle.'],
    ['what wears on cars in general', 'I hear O2 sensors go bad, should I worry? It runs fine.'],
    ['the tailpipe, where the smoke comes out', 'Black smoke from the tailpipe when I pull away.'],
    ['a question where a part is', 'Where is the purge valve on this engine?'],
    ['another car', 'On my other car the coil pack was bad.'],
  ])('do not count %s', (_name, text) => {
    expect(suspects(text).filter((part) => part !== 'oxygen-sensor')).toEqual([]);
  });

  it('are quoted by their spans, one finding a part, whatever the text', () => {
    const words = [
      'the',
      'MAF',
      'coil',
      'is',
      'dead',
      'not',
      'cat',
      'leak',
      'in',
      'exhaust',
      ',',
      '.',
      '?',
      'maybe',
      '\n',
    ];
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...words), { maxLength: 60 }), (list) => {
        const text = list.join(' ');
        const { findings } = readPost(text, emptyCase, knowledge);
        for (const { span, quote } of findings) if (span !== null) expect(text.slice(span[0], span[1])).toBe(quote);
        const asked = findings.flatMap((finding) => (finding.kind === 'request' && finding.item ? [finding.item] : []));
        expect(new Set(asked).size).toBe(asked.length);
      }),
      { numRuns: 60 },
    );
  });
});
