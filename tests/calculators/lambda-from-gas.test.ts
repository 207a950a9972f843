// Lambda from gas: a molar balance of random mixtures counted by a chemistry library, laws, and readings that cannot be true.
import fc from 'fast-check';
import { MF } from 'mf-parser';
import { describe, expect, it } from 'vitest';
import { fuels } from '../../src/calculators/fuels.ts';
import { gasDilution } from '../../src/calculators/gas-dilution.ts';
import { gasFromLambda } from '../../src/calculators/gas-from-lambda.ts';
import { lambdaFromGas } from '../../src/calculators/lambda-from-gas.ts';

/** Atoms of an element in a molecule, by mf-parser. */
function atoms(formula: string, element: string): number {
  return new MF(formula).getInfo().atoms[element] ?? 0;
}

const count = {
  CO2: { C: atoms('CO2', 'C'), O: atoms('CO2', 'O') },
  CO: { C: atoms('CO', 'C'), O: atoms('CO', 'O') },
  O2: { O: atoms('O2', 'O') },
  NO: { O: atoms('NO', 'O') },
  H2O: { H: atoms('H2O', 'H'), O: atoms('H2O', 'O') },
  H2: { H: atoms('H2', 'H') },
  hexane: { C: atoms('C6H14', 'C') },
};

const mixture = fc.record({
  co: fc.double({ min: 0, max: 8, noNaN: true }),
  co2: fc.double({ min: 6.5, max: 12, noNaN: true }),
  o2: fc.double({ min: 0, max: 4, noNaN: true }),
  hc: fc.double({ min: 1, max: 3000, noNaN: true }),
  nox: fc.double({ min: 0, max: 4000, noNaN: true }),
});
const spark = fc.constantFrom(fuels['petrol-analyser'], fuels['petrol-e0'], fuels['petrol-e10'], fuels.e85, fuels.lpg);

describe('lambda from gas', () => {
  it('equals oxygen taken from the air over oxygen needed, counted atom by atom', () => {
    fc.assert(
      fc.property(mixture, spark, (gas, fuel) => {
        const result = lambdaFromGas(gas, { fuel });
        fc.pre(result.valid);
        if (!result.valid) return;
        // Carbon that burnt, and fuel that left as it came (hexane's six carbon atoms stand for that much fuel).
        const burnt = gas.co2 * count.CO2.C + gas.co * count.CO.C;
        const unburnt = (gas.hc / 10_000) * count.hexane.C;
        // Hydrogen of the burnt carbon shares between water and hydrogen gas by CO x H2O = 3.5 x CO2 x H2.
        const pairs = (burnt * fuel.hydrogen) / count.H2O.H;
        const water = (pairs * 3.5 * gas.co2) / (3.5 * gas.co2 + gas.co);
        expect(water * count.H2O.H + (pairs - water) * count.H2.H).toBeCloseTo(burnt * fuel.hydrogen, 9);
        const oxygenOut =
          gas.co2 * count.CO2.O +
          gas.co * count.CO.O +
          gas.o2 * count.O2.O +
          (gas.nox / 10_000) * count.NO.O +
          water * count.H2O.O;
        const fromAir = oxygenOut - burnt * fuel.oxygen;
        const needed = (burnt + unburnt) * (count.CO2.O + (fuel.hydrogen / count.H2O.H) * count.H2O.O - fuel.oxygen);
        expect(result.value).toBeCloseTo(fromAir / needed, 10);
      }),
    );
  });

  it.each(['petrol-e0', 'petrol-e10', 'e85', 'lpg', 'cng'] as const)(
    'finds the lambda that %s gas was made at',
    (name) => {
      for (let lambda = 0.76; lambda < 1.59; lambda += 0.01) {
        const gas = gasFromLambda(lambda, fuels[name]);
        if (!gas.valid) throw new Error(gas.because);
        const { co, co2, o2 } = gas.value;
        const back = lambdaFromGas({ co, co2, o2, hc: 0 }, { fuel: fuels[name] });
        expect(back.valid && Math.abs(back.value - lambda) < 1e-12).toBe(true);
      }
    },
  );

  it('rises with oxygen and falls with CO and HC', () => {
    fc.assert(
      fc.property(mixture, fc.constantFrom('o2', 'co', 'hc' as const), (gas, name) => {
        const more = { ...gas, [name]: gas[name as 'o2'] * 1.05 + (name === 'hc' ? 5 : 0.05) };
        const first = lambdaFromGas(gas);
        const second = lambdaFromGas(more);
        if (!first.valid || !second.valid) return;
        if (name === 'o2') expect(second.value).toBeGreaterThan(first.value);
        // Replacing nothing, more CO adds fuel and half its oxygen; below lambda 0.5 that could turn round.
        else if (first.value > 0.7) expect(second.value).toBeLessThan(first.value + 1e-12);
      }),
    );
  });

  it('does not care whether CO was burnt by a catalyst with the oxygen beside it', () => {
    const before = lambdaFromGas({ co: 0.6, co2: 14.3, o2: 0.5, hc: 0 });
    const after = lambdaFromGas({ co: 0, co2: 14.9, o2: 0.2, hc: 0 });
    // Hydrogen that came with the CO is the only difference: K ties it to CO.
    expect(before.valid && after.valid && Math.abs(before.value - after.value)).toBeLessThan(0.005);
  });

  it.each([
    ['NaN', { co: Number.NaN, co2: 14, o2: 1, hc: 50 }, 'not a number'],
    ['negative CO', { co: -0.1, co2: 14, o2: 1, hc: 50 }, 'below zero'],
    ['CO2 of 40 %', { co: 0.5, co2: 40, o2: 1, hc: 50 }, 'CO2 of 40 %'],
    ['CO in ppm', { co: 3000, co2: 14, o2: 1, hc: 50 }, 'ppm'],
    ['HC as a percentage', { co: 0.1, co2: 14.8, o2: 0.3, hc: 0.02 }, '200 ppm'],
    ['CO and CO2 swapped', { co: 14.5, co2: 0.2, o2: 0.3, hc: 30 }, 'changed places'],
    ['more oxygen than air has', { co: 0.1, co2: 14.8, o2: 9, hc: 30 }, 'more oxygen'],
    ['more carbon than petrol can give', { co: 9, co2: 12, o2: 0, hc: 30 }, 'more than any mixture'],
    ['plain air', { co: 0, co2: 0.1, o2: 20.9, hc: 0 }, 'mostly air'],
    ['endless HC', { co: 0.1, co2: 14, o2: 1, hc: Number.POSITIVE_INFINITY }, 'not a number'],
  ])('refuses %s and says why', (_name, gas, words) => {
    const result = lambdaFromGas(gas);
    expect(result.valid).toBe(false);
    expect(!result.valid && result.because).toContain(words);
  });

  it('takes a sample of 6 % CO and CO2 and refuses 5.99 % (40 CFR 85.2215)', () => {
    expect(lambdaFromGas({ co: 1, co2: 5, o2: 10, hc: 50 }).valid).toBe(true);
    expect(lambdaFromGas({ co: 1, co2: 4.99, o2: 10, hc: 50 }).valid).toBe(false);
    const dilution = gasDilution({ co: 1, co2: 4.99, o2: 10, hc: 50 });
    expect(dilution.valid && dilution.isVoid).toBe(true);
  });

  it('marks a figure outside 0.75 to 1.6 as rough', () => {
    const rich = lambdaFromGas({ co: 11, co2: 8, o2: 0, hc: 500 });
    const sound = lambdaFromGas({ co: 0.1, co2: 14.9, o2: 0.2, hc: 20 });
    expect(rich.valid && rich.trusted).toBe(false);
    expect(sound.valid && sound.trusted).toBe(true);
  });
});
