import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/diagnosis/diagnose.ts';
import { readPost } from '../../src/intake/read-post.ts';
import { updateCase } from '../../src/intake/update-case.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';

const knowledge = loadKnowledgeFolder();
const mentionsOf = (text: string) => readPost(text, emptyCase, knowledge).mentions;

describe('mentions', () => {
  it.each([
    ['Could it be a clogged cat?', 'blocked-catalyst'],
    ['P1135 is the heater circuit, says the book.', 'sensor-heater'],
    ['I found no ground at the sensor plug.', 'sensor-wiring'],
    ['They fitted a universal O2 sensor and spliced it in.', 'universal-sensor'],
    ['The manifold is cracked near cylinder 3.', 'exhaust-leak'],
    ['It began right after filling up.', 'doubtful-fuel'],
    ['The timing belt may have jumped a tooth.', 'cam-timing'],
  ])('hears in %j a word of %s', (text, mention) => {
    expect(mentionsOf(text)).toContain(mention);
  });

  it.each([
    ['There is no blocked cat.', 'blocked-catalyst'],
    ['They replaced the leaking injectors last week.', 'injectors'],
    ['Bad gas mileage since June.', 'doubtful-fuel'],
    ['The intake manifold gasket leaks.', 'exhaust-leak'],
    ['The heater blows cold.', 'sensor-heater'],
  ])('hears in %j none of %s', (text, mention) => {
    expect(mentionsOf(text)).not.toContain(mention);
  });

  it('are no findings, stay with the case, and move the odds of their faults a little', () => {
    const text = 'P0171. The intake boot is cracked.';
    const current = updateCase(emptyCase, readPost(text, emptyCase, knowledge));
    expect(current.findings.some(({ kind }) => kind === 'symptom' || kind === 'reading')).toBe(false);
    const later = updateCase(current, readPost('Idle is fine.', current, knowledge));
    expect(later.mentions).toContain('intake-duct');
    const probability = (mentions: string[]) =>
      diagnose({ findings: current.findings, derived: [], conflicts: [], asked: [], mentions }, knowledge).causes.find(
        ({ fault }) => fault === 'intake-duct-leak',
      )?.probability ?? 0;
    const [without, withIt] = [probability([]), probability(['intake-duct'])];
    expect(withIt).toBeGreaterThan(without);
    expect(withIt).toBeLessThan(4.1 * without);
  });
});
