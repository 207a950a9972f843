import { describe, expect, it } from 'vitest';
import { bankOfCode, codeOnBank, weighedCode } from '../../src/diagnosis/code-counterparts.ts';
import { backgroundOfCode, codeFromState, monitorsOf } from '../../src/diagnosis/code-setting.ts';
import { effectsOf, noEffects } from '../../src/diagnosis/effects.ts';
import { airTaken } from '../../src/diagnosis/operating-points.ts';
import { compose, newState, rowsOf } from '../../src/diagnosis/state.ts';
import type { FaultEffects } from '../../src/knowledge/schema/fault.ts';
import { knowledge } from './said.ts';

describe('counterparts of codes', () => {
  // from: SAE J2012 / ISO 15031-6 numbering.
  it.each([
    ['P0171', 'P0174'],
    ['P0172', 'P0175'],
    ['P0133', 'P0153'],
    ['P0135', 'P0155'],
    ['P0141', 'P0161'],
    ['P0420', 'P0430'],
    ['P2195', 'P2197'],
    ['P2270', 'P2272'],
    ['P0011', 'P0021'],
  ])('%s of bank 1 is %s of bank 2', (one, two) => {
    expect(codeOnBank(one, 1)).toBe(two);
    expect(codeOnBank(two, 0)).toBe(one);
    expect(bankOfCode(one)).toBe(0);
    expect(bankOfCode(two)).toBe(1);
  });
  it('agree with the banks in the knowledge base', () => {
    for (const entry of knowledge.codes) {
      const bank = bankOfCode(entry.id);
      if (bank !== null && entry.bank !== null) expect(`${entry.id} ${entry.bank}`).toBe(`${entry.id} ${bank + 1}`);
    }
  });
  it('weigh misfire of any cylinder as one thing, and leave P0300 apart', () => {
    expect(weighedCode('P0305')).toBe('P0301');
    expect(weighedCode('P0312')).toBe('P0301');
    expect(weighedCode('P0300')).toBe('P0300');
    expect(weighedCode('P0313')).toBe('P0313');
  });
});

function stateWith(effects: FaultEffects, bank: number) {
  const state = newState(2, airTaken(2));
  compose(state, rowsOf([effectsOf(effects, 2, bank === 0 ? [1, 0] : [0, 1], 'air-meter'), noEffects()]), 0, 1);
  return state;
}

describe('codes by their setting conditions', () => {
  it.each<[string, FaultEffects]>([
    ['P0420', { oxygenStorage: 0.1 }],
    ['P0133', { sensorLag: 0.6 }],
    ['P0135', { heaterDead: 1 }],
    ['P0141', { rearHeaterDead: 1 }],
  ])('%s is set on the bank of its fault and not on the other', (code, effects) => {
    expect(codeFromState(stateWith(effects, 0), code)).toBeGreaterThan(0.4);
    expect(codeFromState(stateWith(effects, 1), code)).toBe(0);
    expect(codeFromState(stateWith(effects, 1), codeOnBank(code, 1))).toBeGreaterThan(0.4);
  });
  it('a healthy engine sets none of them', () => {
    for (const code of ['P0300', 'P0301', 'P0420', 'P0133', 'P0135', 'P0141', 'P0134', 'P0507', 'P0506']) {
      expect(codeFromState(stateWith({}, 0), code)).toBeLessThan(0.02);
    }
  });
  it('codes of the correction come from the monitor of their own bank', () => {
    expect(monitorsOf('P0171')[0]![0]).not.toBe(monitorsOf('P0174')[0]![0]);
    expect(monitorsOf('P0420')).toEqual([]);
  });
  it('circuit codes seldom come from nothing, misfire and efficiency codes more often', () => {
    expect(backgroundOfCode('P0135')).toBeLessThan(backgroundOfCode('P0300'));
    expect(backgroundOfCode('P0300')).toBeLessThan(backgroundOfCode('P0420'));
  });
});
