import { describe, expect, it } from 'vitest';
import { chooseCautions } from '../../src/reply/say-next.ts';
import type { Caution } from '../../src/vocabulary/answer-document.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';

// from: reference READ-FIRST ("At most two cautions are shown in one chat turn, worst first; a stop sign always.")
const caution = (id: string): Caution => ({ id, text: `${id} text`, because: 'reason', shown: false });
const stopSigns = new Set(['do-not-drive', 'co-poisoning', 'fuel-fire']);
const isStopSign = (id: string) => stopSigns.has(id);
const shown = (list: Caution[]) => list.filter((item) => item.shown).map((item) => item.id);

describe('which cautions are shown', () => {
  it('are the first two, worst first', () => {
    const list = [caution('moving-parts'), caution('hot-exhaust'), caution('eye-and-skin')];
    expect(shown(chooseCautions(list, isStopSign, emptyCase))).toEqual(['moving-parts', 'hot-exhaust']);
  });

  it('are not those that this conversation has seen', () => {
    const list = [caution('moving-parts'), caution('hot-exhaust'), caution('eye-and-skin')];
    const seen = { ...emptyCase, cautionsShown: ['moving-parts'] };
    expect(shown(chooseCautions(list, isStopSign, seen))).toEqual(['hot-exhaust', 'eye-and-skin']);
  });

  it('hold every stop sign, even three of them and even again', () => {
    const list = ['hot-exhaust', 'do-not-drive', 'co-poisoning', 'fuel-fire'].map(caution);
    const seen = { ...emptyCase, cautionsShown: ['do-not-drive'] };
    expect(shown(chooseCautions(list, isStopSign, seen))).toEqual(['do-not-drive', 'co-poisoning', 'fuel-fire']);
  });

  it('leave room for one other beside a single stop sign', () => {
    const list = ['do-not-drive', 'hot-exhaust', 'moving-parts'].map(caution);
    expect(shown(chooseCautions(list, isStopSign, emptyCase))).toEqual(['do-not-drive', 'hot-exhaust']);
  });
});
