// Forward composition of exhaust gas: true lambda, misfire, false air and catalyst -> what an analyser at the tailpipe shows.
// predict.ts asks it for gas readings. The table is made once from the water-gas balance, spread over the cylinders' scatter.

/** Dry gas [% vol; HC and NOx in ppm vol, HC as hexane]. */
export interface Gas {
  co: number;
  co2: number;
  o2: number;
  hc: number;
  nox: number;
}

/** Hydrogen per carbon of petrol without alcohol, and the water-gas constant. Source: Spindt, SAE 650507 (from memory). */
const hydrogenPerCarbon = 1.85;
const waterGasConstant = 3.5;
const nitrogenPerOxygen = 3.773;

/** Relative scatter of lambda over cylinders and cycles of a real engine (judgement; makes 0.4 % CO at lambda 1). */
const cylinderScatter = 0.03;

const lowest = 0.6;
const step = 0.005;
const size = 221;
const table = { co: new Float64Array(size), co2: new Float64Array(size), o2: new Float64Array(size) };
for (let index = 0; index < size; index += 1) {
  const lambda = lowest + index * step;
  // Three-point Gauss-Hermite rule over the scatter: exact to the fifth moment of a normal spread.
  for (const [offset, weight] of [
    [-Math.sqrt(3), 1 / 6],
    [0, 2 / 3],
    [Math.sqrt(3), 1 / 6],
  ] as const) {
    const gas = balancedGas(lambda * (1 + offset * cylinderScatter));
    table.co[index]! += weight * gas.co;
    table.co2[index]! += weight * gas.co2;
    table.o2[index]! += weight * gas.o2;
  }
}

/**
 * Composition of perfectly mixed petrol exhaust ahead of the catalyst by the water-gas balance.
 *
 * @param lambda 0.5 to 2; outside it is brought to the nearer end
 * @returns dry percentages by volume
 */
export function balancedGas(lambda: number): { co: number; co2: number; o2: number; h2: number } {
  const at = Math.min(2, Math.max(0.5, lambda));
  const oxygenNeeded = 1 + hydrogenPerCarbon / 4;
  const nitrogen = at * oxygenNeeded * nitrogenPerOxygen;
  let co = 0;
  let h2 = 0;
  let o2 = Math.max(0, (at - 1) * oxygenNeeded);
  if (at < 1) {
    // Of the oxygen missing, `missing` atoms leave as CO and H2: co + h2 = missing, co (y/2 - h2) = K (1 - co) h2.
    const missing = 2 * oxygenNeeded * (1 - at);
    const half = hydrogenPerCarbon / 2;
    const a = 1 - waterGasConstant;
    const b = half - missing + waterGasConstant * (1 + missing);
    const c = -waterGasConstant * missing;
    co = (-b + Math.sqrt(b * b - 4 * a * c)) / (2 * a);
    h2 = missing - co;
    o2 = 0;
  }
  const total = 1 + h2 + o2 + nitrogen;
  return { co: (100 * co) / total, co2: (100 * (1 - co)) / total, o2: (100 * o2) / total, h2: (100 * h2) / total };
}

/** What one bank's exhaust goes through on its way to the probe. */
export interface GasPath {
  /** True lambda of the cylinders that burn. */
  readonly lambda: number;
  /** Share of the firings that burn. */
  readonly firing: number;
  /** Air drawn in ahead of the catalyst and behind it, as shares of the exhaust. */
  readonly airBefore: number;
  readonly airBehind: number;
  /** Conversion of a hot catalyst, 0..1. */
  readonly catalyst: number;
  /** Oil burned [L/1000 km]. */
  readonly oil: number;
  /** Share of fresh charge (1 without recirculated gas) and load 0..1, both for NOx alone. */
  readonly freshCharge: number;
  readonly load: number;
}

/** HC and O2 that one per cent of missed firings adds ahead of the catalyst [ppm hexane], [% vol]; calculated, faults sheet 2.2. */
const hcPerMissedPercent = 215;
const o2PerMissedPercent = 0.2;

/** The gas at the tailpipe of one bank. Writes into `out`. */
export function tailpipeGas(path: GasPath, out: Gas): void {
  const place = Math.min(size - 1.001, Math.max(0, (path.lambda - lowest) / step));
  const index = Math.floor(place);
  const part = place - index;
  let co = table.co[index]! + part * (table.co[index + 1]! - table.co[index]!);
  let co2 = table.co2[index]! + part * (table.co2[index + 1]! - table.co2[index]!);
  let o2 = table.o2[index]! + part * (table.o2[index + 1]! - table.o2[index]!);
  const missed = 100 * (1 - path.firing);
  let hc =
    130 +
    1800 * Math.max(0, 1 - path.lambda) +
    9000 * Math.max(0, path.lambda - 1.15) +
    hcPerMissedPercent * missed +
    60 * path.oil;
  co *= path.firing;
  co2 *= path.firing;
  o2 += o2PerMissedPercent * missed;

  const before = 1 / (1 + path.airBefore);
  co *= before;
  co2 *= before;
  hc *= before;
  o2 = o2 * before + 20.9 * (1 - before);

  // A hot catalyst burns CO and HC as far as its activity and the oxygen reach, CO first; six-carbon HC takes about 9.5 O2.
  const burnedCo = Math.min(path.catalyst * co, 2 * o2);
  co -= burnedCo;
  co2 += burnedCo;
  o2 -= burnedCo / 2;
  const burnedHc = Math.min(path.catalyst * hc, (o2 * 10_000) / 9.5 + 0.5 * path.catalyst * hc);
  hc -= burnedHc;
  co2 += (6 * burnedHc) / 10_000;
  o2 = Math.max(0, o2 - (9.5 * burnedHc) / 10_000);

  const lean = (path.lambda - 1.05) / 0.1;
  const raw = (200 + 2600 * path.load) / (1 + lean * lean) ** 1.5;
  const reduced = path.catalyst * (path.lambda * (1 + path.airBefore) < 1.005 ? 1 : 0.15);
  const nox = raw * path.freshCharge ** 4 * (1 - reduced) + 15;

  const behind = 1 / (1 + path.airBehind);
  out.co = co * behind;
  out.co2 = co2 * behind;
  out.o2 = o2 * behind + 20.9 * (1 - behind);
  out.hc = hc * behind;
  out.nox = nox * behind;
}
