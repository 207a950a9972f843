// The parts as a whole: one meaning a word, and sensible claims about what work on a part clears and disturbs.
import { describe, expect, it } from 'vitest';
import { readKind } from './read-kind.ts';

const parts = readKind('parts').map(({ entry }) => entry);
const byId = new Map(parts.map((part) => [part.id, part]));
const faults = readKind('faults').map(({ entry }) => entry);

describe('parts', () => {
  it('give each word to one part only', () => {
    const owner = new Map<string, string>();
    for (const part of parts) {
      for (const word of part.words) {
        expect(owner.get(word), `${word} of ${part.id}`).toBeUndefined();
        owner.set(word, part.id);
      }
    }
  });

  it('are written in lower case, as a reader compares them', () => {
    for (const part of parts) for (const word of part.words) expect(word).toBe(word.toLowerCase().trim());
  });

  it('exist for every fault that names one', () => {
    for (const fault of faults)
      if (fault.part !== null) expect(byId.has(fault.part), `${fault.id}: ${fault.part}`).toBe(true);
  });

  it('clear the fault that names them, where the part itself is what fails', () => {
    // a healthy part elsewhere says nothing: these two are named only as the place to look
    const placeOnly = [
      'no-fault-use-pattern',
      'sensor-poisoned',
      'sensors-crossed',
      'wrong-sensor-fitted',
      'oil-burning',
    ];
    for (const fault of faults) {
      if (fault.part === null || placeOnly.includes(fault.id)) continue;
      const cleared = byId.get(fault.part)!.clears.find((item) => item.fault === fault.id);
      expect(cleared, `${fault.part} clears ${fault.id}`).toBeDefined();
      expect(cleared!.replaced).toBeLessThan(1);
    }
  });

  it('never clear a fault altogether: a new part can be bad and a test can mislead', () => {
    for (const part of parts) {
      for (const { fault, replaced, tested } of part.clears) {
        expect(replaced, `${part.id} ${fault}`).toBeGreaterThanOrEqual(0.02);
        expect(tested, `${part.id} ${fault}`).toBeGreaterThanOrEqual(0.03);
      }
    }
  });

  it.each([
    // from: common practice (what is left loose, crossed or wrong after the work)
    ['air-filter', 'intake-duct-leak'],
    ['upstream-sensor', 'wrong-sensor-fitted'],
    ['upstream-sensor', 'sensors-crossed'],
    ['exhaust-manifold', 'exhaust-leak-upstream'],
    ['catalyst', 'exhaust-leak-downstream'],
    ['intake-gasket', 'vacuum-leak'],
    ['timing-chain', 'cam-timing-off'],
    ['battery', 'idle-control-faulty'],
    ['fuel', 'wrong-fuel'],
  ])('work on %s raises %s', (part, fault) => {
    expect(byId.get(part)?.disturbs.find((item) => item.fault === fault)?.times ?? 1).toBeGreaterThan(1.5);
  });
});
