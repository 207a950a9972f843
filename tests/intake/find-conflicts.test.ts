// Findings that cannot both hold.
import { describe, expect, it } from 'vitest';
import { findConflicts } from '../../src/intake/find-conflicts.ts';
import { readCodes } from '../../src/intake/read-codes.ts';
import { readEngine } from '../../src/intake/read-engine.ts';
import { readReadings } from '../../src/intake/read-readings.ts';
import { loadFiguresKnowledge } from './figures-knowledge.ts';
import { readWith } from './read-figures.ts';

const knowledge = loadFiguresKnowledge();
const conflictsOf = (text: string) =>
  findConflicts(readWith([readCodes, readReadings, readEngine], text, knowledge).findings);

describe('conflicts', () => {
  it.each([
    ['no codes beside a code', 'There are no codes stored. P0171 is stored.', 1],
    ['the only code is no conflict', 'P0171 is the only code.', 0],
    ['a second bank on an inline four', 'It has an inline four. LTFT on bank 2 is 12%.', 1],
    ['a second bank on a V6', 'It has a V6. LTFT on bank 2 is 12%.', 0],
    ['two trims far apart', 'LTFT is 25% at idle. LTFT is -8% at idle.', 1],
    ['two trims just inside', 'LTFT is 25% at idle. LTFT is 5% at idle.', 0],
    ['two trims just outside', 'LTFT is 25% at idle. LTFT is 4.9% at idle.', 1],
    ['two banks far apart', 'LTFT B1 is 25% at idle. LTFT B2 is -8% at idle.', 0],
    ['more carbon than petrol holds', 'Test at idle: CO 6.1% CO2 12%', 1],
    ['as much carbon as petrol may hold', 'Test at idle: CO 3% CO2 12.5%', 0],
  ])('%s', (_what, text, count) => {
    const conflicts = conflictsOf(text);
    expect(conflicts).toHaveLength(count);
    for (const conflict of conflicts) expect(conflict.findings).toHaveLength(2);
  });
});
