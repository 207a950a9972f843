// Forward composition of exhaust gas: true lambda, misfire, false air and catalyst -> what an analyser at the tailpipe shows.
// predict.ts asks it for gas readings. The table is made once from the water-gas balance, spread over the cylinders' scatter.

/** Order of the gases in an array of five: CO, CO2, O2 [% vol], HC as hexane and NOx [ppm vol], dry. */
export const gasOrder = { co: 0, co2: 1, o2: 2, hc: 3, nox: 4 } as const;

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
  // A normal spread in steps of a quarter of its width out to three: the balance has a kink at lambda 1 that coarser rules miss.
  let total = 0;
  for (let offset = -3; offset <= 3; offset += 0.25) total += Math.exp(-offset * offset * 0.5);
  for (let offset = -3; offset <= 3; offset += 0.25) {
    const gas = balancedGas(lambda * (1 + offset * cylinderScatter));
    const weight = Math.exp(-offset * offset * 0.5) / total;
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

/** HC and O2 that one per cent of missed firings adds ahead of the catalyst [ppm hexane], [% vol]; calculated, faults sheet 2.2. */
const hcPerMissedPercent = 215;
const o2PerMissedPercent = 0.2;

/** Part of a missed firing's charge that a good catalyst burns: it comes in slugs (judgement; testers find 200 to 3000 ppm left). */
const slugConversion = 0.55;

/**
 * Adds one bank's share of the gas at the tailpipe to the five numbers of `out` from `at` on (gasOrder).
 *
 * @param lambda      true lambda of the cylinders that burn
 * @param firing      share of the firings that burn
 * @param airBefore   air drawn in ahead of the catalyst, share of the exhaust
 * @param airBehind   air drawn in behind it
 * @param catalyst    conversion of the hot catalyst, 0..1
 * @param oil         oil burned [L/1000 km]
 * @param freshCharge share of the charge that is not recirculated gas
 * @param load        0..1
 * @param share       share of this bank in the mixed gas
 */
export function addTailpipeGas(
  out: Float64Array,
  at: number,
  lambda: number,
  firing: number,
  airBefore: number,
  airBehind: number,
  catalyst: number,
  oil: number,
  freshCharge: number,
  load: number,
  share: number,
): void {
  const place = Math.min(size - 1.001, Math.max(0, (lambda - lowest) / step));
  const index = Math.floor(place);
  const part = place - index;
  let co = table.co[index]! + part * (table.co[index + 1]! - table.co[index]!);
  let co2 = table.co2[index]! + part * (table.co2[index + 1]! - table.co2[index]!);
  let o2 = table.o2[index]! + part * (table.o2[index + 1]! - table.o2[index]!);
  const missed = 100 * (1 - firing);
  let hc = 130 + 1800 * Math.max(0, 1 - lambda) + 9000 * Math.max(0, lambda - 1.2) + 60 * oil;
  let unburned = hcPerMissedPercent * missed;
  co *= firing;
  co2 *= firing;
  o2 += o2PerMissedPercent * missed;

  const before = 1 / (1 + airBefore);
  co *= before;
  co2 *= before;
  hc *= before;
  unburned *= before;
  o2 = o2 * before + 20.9 * (1 - before);

  // A hot catalyst burns CO and HC as far as its activity and the oxygen reach, CO first; six-carbon HC takes about 9.5 O2.
  const burnedCo = Math.min(catalyst * co, 2 * o2);
  co -= burnedCo;
  co2 += burnedCo;
  o2 -= burnedCo / 2;
  const reach = (o2 * 10_000) / 9.5;
  const burnedHc =
    Math.min(catalyst * hc, reach + 0.5 * catalyst * hc) + Math.min(slugConversion * catalyst * unburned, reach);
  hc += unburned - burnedHc;
  co2 += (6 * burnedHc) / 10_000;
  o2 = Math.max(0, o2 - (9.5 * burnedHc) / 10_000);

  const lean = (lambda - 1.05) / 0.1;
  const bell = 1 + lean * lean;
  const raw = (200 + 2600 * load) / (bell * Math.sqrt(bell));
  // A catalyst is sized for the nitrogen oxides left by recirculation: what comes on top slips through (judgement).
  const slip = Math.min(0.5, 3 * Math.max(0, freshCharge - 1));
  const reduced = catalyst * (lambda * (1 + airBefore) < 1.005 ? 1 - slip : 0.15);
  const dilution = freshCharge * freshCharge;
  const nox = raw * dilution * dilution * (1 - reduced) + 15;

  const behind = share / (1 + airBehind);
  out[at + gasOrder.co]! += co * behind;
  out[at + gasOrder.co2]! += co2 * behind;
  out[at + gasOrder.o2]! += o2 * behind + 20.9 * (share - behind);
  out[at + gasOrder.hc]! += hc * behind;
  out[at + gasOrder.nox]! += nox * behind;
}
