// Conditions of the car and its story that change how likely a fault is before any reading: the closed list that
// `prior.when[].is` of knowledge/faults draws on, and the function that decides from the findings which of them hold.
import type { Finding } from '../vocabulary/findings.ts';

/** Every condition, with what makes it hold. A fault file may use no other word in `prior.when[].is`. */
export const contextConditions = {
  'odometer-over-200000-km': 'a distance reading without a condition above 200,000 km',
  'age-under-5-years': 'a distance below 60,000 km and no word of an older car (the program has no clock)',
  boosted: 'the engine is said to have a turbocharger or compressor',
  natural: 'the engine is said to have none',
  'air-meter-metering': 'the engine has an air meter: said so, an air flow was read, or an air-meter code is stored',
  'manifold-pressure-metering': 'the engine is said to measure manifold pressure instead of air flow',
  'only-economy-complaint': 'poor economy is the only symptom and no code is given',
  'healthy-readings': 'two or more corrections are given and all lie within 6 %',
  'after-refuelling': 'a symptom or reading is said to come after refuelling',
  'worse-when-cold': 'a symptom is said to come when cold',
  'worse-under-load': 'a symptom is said to come under load',
  'worse-at-idle': 'a symptom is said to come at idle',
  'sensor-recently-replaced': 'an oxygen sensor was replaced or swapped',
  'exhaust-recently-worked-on': 'manifold, exhaust or catalyst was replaced or repaired',
  'intake-recently-worked-on': 'air filter, intake, throttle or duct was replaced, cleaned or repaired',
  'ignition-recently-worked-on': 'plugs, coils or leads were replaced',
  'engine-recently-worked-on': 'head gasket, timing drive or the engine was replaced or repaired',
  'battery-recently-disconnected': 'the battery was disconnected or codes were reset',
  'sealant-used': 'gasket work is told of together with a sensor that was replaced',
  'uses-oil': 'oil use or blue smoke is said, or more than 0.4 L per 1000 km was measured',
  'loses-coolant': 'coolant loss is said',
  'short-trips': 'an answer says that most trips are short',
  'cold-season': 'an answer says that it is cold outside',
  carburettor: 'the car is said to have a carburettor, or was built before 1985',
  'two-banks': 'the engine has two banks',
  'one-bank': 'the engine has one bank',
  'outside-complaint': 'the post asks about brakes, steering, airbags or another system outside the trade',
  'one-bank-only': 'on an engine of two banks, codes or readings name one bank only',
  'both-banks': 'codes or readings name both banks',
} as const;
export type ContextCondition = keyof typeof contextConditions;

/** Parts of knowledge/parts whose recent work makes a condition hold. */
const workedOn: ReadonlyArray<readonly [ContextCondition, RegExp]> = [
  ['sensor-recently-replaced', /^(?:oxygen|upstream|downstream)-sensor$/],
  ['exhaust-recently-worked-on', /exhaust|catalyst|flex|muffler/],
  ['intake-recently-worked-on', /air-filter|intake|throttle|duct|air-meter|vacuum/],
  ['ignition-recently-worked-on', /plug|coil|lead|distributor/],
  ['engine-recently-worked-on', /head-gasket|timing|engine$/],
];

/** Quantities whose healthy value says that nothing is wrong with the mixture. */
const trims: readonly string[] = ['short-term-trim', 'long-term-trim', 'total-trim'];

/**
 * The conditions that hold in a case.
 *
 * @param findings findings about the car asked about, as they stand now
 * @param banks    number of banks of the engine, null when unknown
 */
export function conditionsThatHold(findings: readonly Finding[], banks: number | null): Set<ContextCondition> {
  const holds = new Set<ContextCondition>();
  const said = findings.filter((finding) => finding.car === 0 && finding.stated === 'present');
  const symptoms = said.filter((finding) => finding.kind === 'symptom');
  const readings = said.filter((finding) => finding.kind === 'reading');
  const codes = said.filter((finding) => finding.kind === 'code');
  const now = said.filter((finding) => finding.time === 'now');

  for (const reading of readings) {
    if (reading.quantity === 'distance' && reading.when === null) {
      if (reading.value > 200_000 && reading.value < 1_000_000) holds.add('odometer-over-200000-km');
    }
    if (reading.quantity === 'oil-consumption' && reading.value > 0.4) holds.add('uses-oil');
    if (reading.quantity === 'air-flow' && reading.value > 0) holds.add('air-meter-metering');
    if (reading.when === 'after-refuelling') holds.add('after-refuelling');
  }
  const distances = readings.filter((reading) => reading.quantity === 'distance').map((reading) => reading.value);
  if (distances.length > 0 && Math.max(...distances) > 5_000 && Math.max(...distances) < 60_000) {
    holds.add('age-under-5-years');
  }
  for (const engine of said.filter((finding) => finding.kind === 'engine')) {
    if (engine.induction === 'boosted') holds.add('boosted');
    if (engine.induction === 'natural') holds.add('natural');
    if (engine.airMetering === 'air-meter') holds.add('air-meter-metering');
    if (engine.airMetering === 'manifold-pressure') holds.add('manifold-pressure-metering');
    if (engine.year !== null && engine.year < 1985) holds.add('carburettor');
    if (/carb/.test(engine.fuel ?? '')) holds.add('carburettor');
    if (engine.year !== null && engine.year < 2012) holds.delete('age-under-5-years');
  }
  if (codes.some((code) => /^P010[0-4]$/.test(code.code))) holds.add('air-meter-metering');
  if (holds.has('manifold-pressure-metering')) holds.delete('air-meter-metering');

  const complaints = symptoms.filter((finding) => finding.time === 'now');
  if (
    complaints.length > 0 &&
    complaints.every((finding) => finding.symptom === 'poor-fuel-economy') &&
    codes.length === 0
  ) {
    holds.add('only-economy-complaint');
  }
  const corrections = readings.filter((reading) => trims.includes(reading.quantity) && reading.time === 'now');
  if (corrections.length >= 2 && corrections.every((reading) => Math.abs(reading.value) <= 6)) {
    holds.add('healthy-readings');
  }
  for (const symptom of symptoms) {
    if (symptom.when === 'after-refuelling') holds.add('after-refuelling');
    if (symptom.when === 'cold') holds.add('worse-when-cold');
    if (symptom.when === 'load') holds.add('worse-under-load');
    if (symptom.when === 'idle') holds.add('worse-at-idle');
    if (symptom.symptom === 'oil-use' || symptom.symptom === 'blue-smoke') holds.add('uses-oil');
    if (symptom.symptom === 'coolant-loss') holds.add('loses-coolant');
  }
  for (const work of said.filter((finding) => finding.kind === 'work-done')) {
    if (work.action === 'reset' || work.action === 'disconnected') holds.add('battery-recently-disconnected');
    if (work.action === 'tested' || work.action === 'reset') continue;
    // Cleaning the meter's element leaves hoses and joints alone.
    if (work.action === 'cleaned' && work.part === 'air-meter') continue;
    for (const [condition, part] of workedOn) if (part.test(work.part)) holds.add(condition);
  }
  if (holds.has('sensor-recently-replaced') && holds.has('engine-recently-worked-on')) holds.add('sealant-used');
  for (const answer of said.filter((finding) => finding.kind === 'question-answer')) {
    if (/short/.test(answer.answer)) holds.add('short-trips');
    if (/winter|cold-season|freezing/.test(answer.answer)) holds.add('cold-season');
  }
  if (said.some((finding) => finding.kind === 'request' && /-out-of-scope$/.test(finding.item ?? ''))) {
    holds.add('outside-complaint');
  }
  if (banks !== null) holds.add(banks >= 2 ? 'two-banks' : 'one-bank');
  const named = new Set(
    now.flatMap((finding) => ('bank' in finding && finding.bank !== null ? [Math.min(finding.bank, 2)] : [])),
  );
  if (named.size >= 2) holds.add('both-banks');
  if (named.size === 1 && banks === 2) holds.add('one-bank-only');
  return holds;
}
