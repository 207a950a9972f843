// Exhaust gas against handbooks, laws and a general-purpose library.
import { carbonDioxidePerLitre } from '../../../src/calculators/carbon-dioxide.ts';
import { catalystEfficiency } from '../../../src/calculators/catalyst-efficiency.ts';
import type { GasReading } from '../../../src/calculators/check-gas.ts';
import { combustionEfficiency } from '../../../src/calculators/combustion-efficiency.ts';
import { correctedCo } from '../../../src/calculators/corrected-co.ts';
import { type Fuel, fuels } from '../../../src/calculators/fuels.ts';
import { gasDilution } from '../../../src/calculators/gas-dilution.ts';
import { gasFromLambda } from '../../../src/calculators/gas-from-lambda.ts';
import { lambdaFromGas } from '../../../src/calculators/lambda-from-gas.ts';
import { lambdaFromOxygen } from '../../../src/calculators/lambda-from-oxygen.ts';
import { type Check, library, take } from './check.ts';

/** The equation as printed, one string, for a library to work out: % vol throughout, HC already as carbon. */
const printed =
  '(co2 + co/2 + o2 + no/2 + (h/4 * 3.5/(3.5 + co/co2) - o/2) * (co2 + co)) / ((1 + h/4 - o/2) * (co2 + co + n*hc))';

const petrol = fuels['petrol-analyser'];
const mixtures: ReadonlyArray<readonly [GasReading, Fuel, number]> = [
  [{ co: 0, co2: 15, o2: 0.2, hc: 10 }, petrol, 6],
  [{ co: 0.15, co2: 14.8, o2: 0.35, hc: 45 }, petrol, 6],
  [{ co: 3, co2: 12.6, o2: 0.3, hc: 250 }, petrol, 6],
  [{ co: 6.5, co2: 10.2, o2: 0.4, hc: 450 }, fuels['petrol-e10'], 6],
  [{ co: 0.3, co2: 12.5, o2: 3.2, hc: 1200 }, fuels['petrol-e5'], 12],
  [{ co: 0.2, co2: 12, o2: 4.2, hc: 60 }, petrol, 6],
  [{ co: 0.6, co2: 14.3, o2: 0.8, hc: 120, nox: 1500 }, petrol, 6],
  [{ co: 0.5, co2: 12.6, o2: 0.7, hc: 100 }, fuels.lpg, 6],
  [{ co: 0.4, co2: 10.9, o2: 0.6, hc: 100 }, fuels.cng, 6],
  [{ co: 0.05, co2: 9.5, o2: 7.4, hc: 20 }, fuels.diesel, 6],
];

const termByTerm = mixtures.map(
  ([gas, fuel, n], index): Check => ({
    calculator: 'lambda-from-gas',
    what: `mixture ${index + 1}, ${fuel.name}, ${n} carbon atoms`,
    from: 'brettschneider-1979, the printed equation worked out by mathjs 15.2.0',
    kind: 'library',
    got: () => take(lambdaFromGas(gas, { fuel, carbonPerHc: n })),
    expected: library(printed, {
      co: gas.co,
      co2: gas.co2,
      o2: gas.o2,
      no: (gas.nox ?? 0) / 10_000,
      hc: gas.hc / 10_000,
      h: fuel.hydrogen,
      o: fuel.oxygen,
      n,
    }),
    tolerance: 1e-12,
    why: 'the same arithmetic in another order',
  }),
);

/** Dry gas of many engines against equivalence ratio, read off a figure: lambda within what reading it off allows. */
const measured: Check[] = (
  [
    [1.0, { co: 0.75, co2: 13.8, o2: 0.75, hc: 150 }],
    [1.2, { co: 6, co2: 11, o2: 0.4, hc: 200 }],
    [0.8, { co: 0.25, co2: 11, o2: 4.5, hc: 100 }],
  ] as const
).map(([equivalence, gas]) => ({
  calculator: 'lambda-from-gas',
  what: `measured gas at equivalence ratio ${equivalence}`,
  from: 'heywood-1988, figure 4-20',
  kind: 'from memory',
  got: () => take(lambdaFromGas(gas)),
  expected: 1 / equivalence,
  tolerance: 0.03,
  why: 'the curves are read off to half a per cent by volume',
}));

/** Highest carbon dioxide that complete burning in air can reach, dry. */
const ultimate: Check[] = (
  [
    ['methane', { hydrogen: 4, oxygen: 0 }, 11.7],
    ['propane', { hydrogen: 8 / 3, oxygen: 0 }, 13.7],
    ['light oil', { hydrogen: 1.86, oxygen: 0 }, 15.3],
  ] as const
).map(([name, composition, expected]) => ({
  calculator: 'gas-from-lambda',
  what: `ultimate CO2 of ${name}`,
  from: 'tables of flue-gas loss in heating handbooks',
  kind: 'from memory',
  got: () => take(gasFromLambda(1, { ...petrol, ...composition })).co2,
  expected,
  tolerance: 0.15,
  why: 'handbooks differ by a tenth, with the air they assume',
}));

/** Rich gas: hydrogen for each CO by the water-gas balance, solved by a library as a plain quadratic in other unknowns. */
const balance: Check[] = [0.75, 0.8, 0.9, 0.95, 0.99].map((lambda) => {
  const h = 1.85;
  const s = 1 + h / 4;
  // Unknown: hydrogen d. CO = m - d, with m the missing oxygen atoms: (m - d)(h/2 - d) = K (1 - m + d) d.
  const m = 2 * s * (1 - lambda);
  const d = library('(B - sqrt(B^2 - 4*(1-K)*m*h/2)) / (2*(1-K))', { B: m + h / 2 + 3.5 * (1 - m), K: 3.5, m, h });
  const total = 1 + d + lambda * s * 3.773;
  return {
    calculator: 'gas-from-lambda',
    what: `H2 at lambda ${lambda}`,
    from: 'spindt-1965, the balance solved for hydrogen by mathjs 15.2.0',
    kind: 'library',
    got: () => take(gasFromLambda(lambda)).h2,
    expected: (100 * d) / total,
    tolerance: 1e-9,
    why: 'another unknown, the same root',
  } satisfies Check;
});

const corrected: Check[] = (
  [
    [2, 8, 3, false],
    [1.5, 11, 1.8, false],
    [0.4, 14.9, 0.4, false],
    [3, 7, 3, true],
  ] as const
).map(([co, co2, expected, twoStroke]) => ({
  calculator: 'corrected-co',
  what: `CO ${co}, CO2 ${co2}${twoStroke ? ', two-stroke' : ''}`,
  from: 'un-r83, annex 5: CO x 15/(CO + CO2), 10 for two-strokes, none above it',
  kind: 'from memory',
  got: () => take(correctedCo(co, co2, twoStroke)),
  expected,
  tolerance: 1e-9,
}));

/** Air added to a known gas must be found again. */
const thinned: Check[] = [0.02, 0.1, 0.2].map((share) => ({
  calculator: 'gas-dilution',
  what: `${100 * share} % air added to perfect gas`,
  from: 'us-standard-atmosphere-1976, 20.946 % oxygen in dry air',
  kind: 'from memory',
  got: () => take(gasDilution({ co: 0, co2: 15.34 * (1 - share), o2: 20.946 * share, hc: 0 })),
  expected: share,
  tolerance: 1e-12,
}));

/** Excess oxygen of complete burning, by counting molecules. */
const excess: Check[] = [1.05, 1.2, 1.5].map((lambda) => {
  const need = 1 + 1.85 / 4;
  return {
    calculator: 'lambda-from-oxygen',
    what: `lambda ${lambda}`,
    from: 'heywood-1988, chapter 4: moles of products of CH1.85, counted by mathjs 15.2.0',
    kind: 'library',
    got: () =>
      take(
        lambdaFromOxygen(
          library('100*(l-1)*s / (1 + (l-1)*s + l*s*(100-20.946)/20.946)', { l: lambda, s: need }),
          fuels['petrol-e0'],
        ),
      ),
    expected: lambda,
    tolerance: 1e-9,
  } satisfies Check;
});

const burnt: Check[] = (
  [
    { co: 0, co2: 15.3, o2: 0.2, hc: 0 },
    { co: 1, co2: 14.3, o2: 0.5, hc: 200 },
    { co: 6, co2: 11, o2: 0.4, hc: 300 },
  ] as const
).map((gas) => ({
  calculator: 'combustion-efficiency',
  what: `CO ${gas.co} %, HC ${gas.hc} ppm`,
  from: 'nist-webbook heats of CO 282.98 and H2 241.83 kJ/mol, summed by mathjs 15.2.0',
  kind: 'library',
  got: () => take(combustionEfficiency(gas)),
  expected: library(
    '100*(1 - (282.98*co + 241.83*(0.925*(co+co2)/(1 + 3.5*co2/max(co,1e-300))) + 610*6*hc/1e4) / (610*(co+co2+6*hc/1e4)))',
    gas,
  ),
  tolerance: 1e-6,
}));

const converted: Check[] = (
  [
    [{ co: 1, hc: 300 }, { co: 0.05, hc: 30 }, 90],
    [{ co: 0.8, hc: 200 }, { co: 0.4, hc: 60 }, 50],
    [{ co: 2, hc: 100 }, { co: 2, hc: 100 }, 0],
  ] as const
).map(([into, out, expected]) => ({
  calculator: 'catalyst-efficiency',
  what: `CO ${into.co} to ${out.co} %, HC ${into.hc} to ${out.hc} ppm`,
  from: 'definition of conversion, 1 - out/in at equal carbon',
  kind: 'definition',
  got: () => take(catalystEfficiency({ ...into, co2: 15 - into.co, o2: 0.5 }, { ...out, co2: 15 - out.co, o2: 0.1 })),
  expected,
  tolerance: 1e-9,
}));

/** Carbon dioxide from a litre. */
const dioxide: Check[] = (
  [
    [
      'petrol-e0',
      8.887 / 3.785411784,
      0.03,
      'epa-420-f-11-041, 8,887 g a US gallon',
      'American petrol of other density',
    ],
    ['petrol-e0', 2.392, 0.05, 'belgian-ecoscore, petrol 2,392 g/L', 'petrol of 87 % carbon and 750 g/L'],
    ['diesel', 2.64, 0.03, 'belgian-ecoscore, diesel 2,640 g/L', 'diesel of 86.2 % carbon and 835 g/L'],
    ['lpg', 1.665, 0.02, 'belgian-ecoscore, LPG 1,665 g/L', 'LPG of 82.5 % carbon'],
    [
      'e85',
      6.295 / 3.785411784,
      0.05,
      'page of the EPA, E85 6,295 g a US gallon',
      'American E85 holds 51 to 83 % ethanol',
    ],
  ] as const
).map(([fuel, expected, tolerance, from, why]) => ({
  calculator: 'carbon-dioxide',
  what: fuels[fuel].name,
  from,
  kind: 'published',
  got: () => take(carbonDioxidePerLitre(fuels[fuel])),
  expected,
  tolerance,
  why,
}));

export const gasChecks: readonly Check[] = [
  ...termByTerm,
  ...measured,
  ...ultimate,
  ...balance,
  ...corrected,
  ...thinned,
  ...excess,
  ...burnt,
  ...converted,
  ...dioxide,
];
