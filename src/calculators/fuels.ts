// Composition of each fuel, as atoms per carbon atom, with its density. The gas, mixture and consumption calculators read it.
// Sources: `petrol-analyser` brettschneider-1979 (garage analysers); the others acea-wltp-07-11 (that slide prints the oxygen of
// E5 and E10 the wrong way round, which its own densities show; here they stand the right way). Densities: acea-wltp-07-11 for
// petrol and diesel, liquids at 15 degC; LPG belgian-ecoscore; ethanol and its blends from the 789.3 g/L of ethanol at 20 degC.

export interface Fuel {
  /** Plain name. */
  readonly name: string;
  /** Hydrogen atoms per carbon atom. */
  readonly hydrogen: number;
  /** Oxygen atoms per carbon atom. */
  readonly oxygen: number;
  /** [g/L] as a liquid; null for gases. */
  readonly density: number | null;
  /** Burns by spark at lambda about 1; false for diesel, which always has air left over. */
  readonly spark: boolean;
}

export const fuels = {
  'petrol-analyser': {
    name: 'petrol, constants of garage analysers',
    hydrogen: 1.7261,
    oxygen: 0.0176,
    density: 745,
    spark: true,
  },
  'petrol-e0': { name: 'petrol without ethanol', hydrogen: 1.85, oxygen: 0, density: 745, spark: true },
  'petrol-e5': { name: 'petrol with 5 % ethanol', hydrogen: 1.89, oxygen: 0.016, density: 747, spark: true },
  'petrol-e10': { name: 'petrol with 10 % ethanol', hydrogen: 1.93, oxygen: 0.033, density: 749, spark: true },
  e85: { name: 'E85', hydrogen: 2.74, oxygen: 0.385, density: 783, spark: true },
  ethanol: { name: 'ethanol', hydrogen: 3, oxygen: 0.5, density: 789.3, spark: true },
  lpg: { name: 'LPG', hydrogen: 2.525, oxygen: 0, density: 550, spark: true },
  cng: { name: 'natural gas', hydrogen: 4, oxygen: 0, density: null, spark: true },
  diesel: { name: 'diesel (B7)', hydrogen: 1.86, oxygen: 0.007, density: 836, spark: false },
} as const satisfies Record<string, Fuel>;

export type FuelId = keyof typeof fuels;
