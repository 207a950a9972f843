// Whose car is meant, and when: another car in the post, an earlier engine, an earlier year. Invented posts; the expectation is
// what a mechanic would note of the car asked about (common practice).
import { describe, expect, it } from 'vitest';
import { readSymptomNotes } from './symptom-notes.ts';

const rows: ReadonlyArray<readonly [string, string]> = [
  ["My friend's Focus leaks fuel, mine just has P0171.", ''],
  ["A mate's Astra caught a fuel leak at the rail. Mine just has P0171.", ''],
  ["My brother's Golf smoked black and used oil. It also stalled. Mine only hesitates.", '+hesitation'],
  ["My friend's BMW had a misfire. My car runs rough.", '+rough-idle'],
  ['My Golf stalls at lights. My other car misfires.', '+stall'],
  ['My dad has a Corolla that burns oil, my Civic stalls.', '+stall'],
  ["It's my wife's Accord. It idles rough and stalls.", '+rough-idle +stall'],
  ["My son's Civic has a rough idle", '+rough-idle'],
  ["my daughter's car stalls at junctions and the light is on", '+stall +check-engine-light'],
  ['Would a bad O2 sensor make the cat glow red? Mine does not.', ''],
  ['The forum said the cat may glow, mine looks normal. P0420.', ''],
  ["I've had cars overheat before but this one stays cold.", ''],
  ['The old engine burned oil. The new one stalls.', '~+oil-use +stall'],
  ['Replaced the thermostat after it overheated in 2019. Now it stalls.', '~+overheating +stall'],
  ['it misfired last winter, now it only hesitates', '~+misfire +hesitation'],
];

describe('which car, and when', () => {
  it.each(rows)('reads %j', (text, expected) => expect(readSymptomNotes(text)).toBe(expected));
});
