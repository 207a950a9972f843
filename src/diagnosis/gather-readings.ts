// Readings of a case -> what they are readings of. Short- and long-term correction of one bank and condition become one total,
// repeats become one, a range of a sensor's voltage becomes its swing: every figure counts once.
import type { ReadingFinding } from '../vocabulary/findings.ts';
import type { Condition } from '../vocabulary/quantities.ts';
import { type ObservableName, observableOf, onScale } from './observables.ts';
import { pointCount, pointWeights } from './operating-points.ts';
import type { ReadingTerm } from './terms.ts';

interface Gathered {
  name: ObservableName;
  value: number;
  bank: number | null;
  when: Condition | null;
  limit: 'at-least' | 'at-most' | null;
  findings: string[];
  strength: number;
  widen: number;
  /** True when the writer says which sensor it came from. */
  sensorSaid: boolean;
  /** The idle figure that a change starts from [%]. */
  base?: number;
}

/** Observables of the whole engine, which no bank tells apart. */
const engineWide: ReadonlySet<ObservableName> = new Set([
  'tail-lambda',
  'co',
  'co2',
  'o2',
  'hc',
  'nox',
  'air-flow',
  'manifold-pressure',
  'idle-speed',
  'coolant',
  'fuel-pressure',
  'oil',
  'back-pressure',
  'fuel-use',
  'compression',
]);

/** Observables of an analyser. */
const standing: ReadonlySet<ObservableName> = new Set(['tail-lambda', 'co', 'co2', 'o2', 'hc', 'nox']);

/** Observables that mean the warm idle alone. */
const idleOnly: ReadonlySet<ObservableName> = new Set([
  'idle-speed',
  'compression',
  'coolant',
  'oil',
  'heater',
  'edge-time',
]);

/**
 * @param strengthOf exponent of a finding (hearsay, unsure)
 * @param banks      1 or 2
 * @param displacement [L] as stated, null when the writer does not say
 * @param tested     true when an emission test is spoken of: then a lambda is the tester's
 * @param wide       true when the front sensor is taken to be a wide-range one
 */
export function gatherReadings(
  readings: readonly ReadingFinding[],
  banks: number,
  displacement: number | null,
  strengthOf: (finding: ReadingFinding) => number,
  tested = false,
  wide = false,
): ReadingTerm[] {
  // By value, so that what is taken together does not hang on the order of telling.
  const ordered = [...readings].sort((a, b) => a.value - b.value || (a.id < b.id ? -1 : 1));
  const gathered = [...totalTrims(ordered, strengthOf), ...others(ordered, strengthOf, tested, wide)];
  return gathered.flatMap((item) => {
    const alternatives = alternativesOf(item, banks);
    if (alternatives.length === 0) return [];
    const term: ReadingTerm = {
      kind: 'reading',
      findings: item.findings,
      strength: item.strength,
      value: onScale(item.name, item.value),
      alternatives,
      limit: item.limit,
      ...(item.base === undefined ? {} : { base: item.base }),
      // An air flow says little of an engine whose size is not known.
      widen: item.widen * (item.name === 'air-flow' && displacement === null ? 2 : 1),
    };
    return [term];
  });
}

/** One total per bank and condition: the product of short and long, a stated total, or what of the two was given. */
function totalTrims(readings: readonly ReadingFinding[], strengthOf: (finding: ReadingFinding) => number): Gathered[] {
  const groups = new Map<string, ReadingFinding[]>();
  for (const reading of readings) {
    if (!/^(short-term|long-term|total)-trim$/.test(reading.quantity) || isAbsentBank(reading)) continue;
    if (swingsAbout(reading, readings)) continue;
    let key = `${reading.bank} ${reading.when}`;
    // Two figures of one kind that differ this much are of two banks or conditions that the writer did not name.
    const alike = groups.get(key)?.find((other) => other.quantity === reading.quantity);
    if (alike && Math.abs(alike.value - reading.value) > differentTrims) key += ` ${reading.id}`;
    groups.set(key, [...(groups.get(key) ?? []), reading]);
  }
  const totals = [...groups.values()].map((group) => totalOf(group, strengthOf));
  const bases = totals.map((item) => baseOf(item, totals));
  // Corrections of one car share its tolerances, its fuel and the day: with each further one all are taken for less sharp, as
  // the mean of correlated figures is. A change from idle to another point leaves those errors out.
  const shared = Math.sqrt(1 + sharedError * Math.max(0, bases.filter((base) => base === null).length - 1));
  return totals.map((item, index) => {
    const base = bases[index];
    if (!base) return { ...item, widen: shared * item.widen };
    return {
      ...item,
      name: 'trim-change',
      value: item.value - base.value,
      base: base.value,
      findings: [...item.findings, ...base.findings],
    };
  });
}

/** "The short term bounces -3 to +5" beside learnt figures of named conditions: it swings about them, at no one point. */
function swingsAbout(reading: ReadingFinding, readings: readonly ReadingFinding[]): boolean {
  return (
    reading.quantity === 'short-term-trim' &&
    reading.when === null &&
    readings.some(
      (other) =>
        /^(?:long-term|total)-trim$/.test(other.quantity) &&
        other.when !== null &&
        (other.bank === reading.bank || reading.bank === null),
    )
  );
}

function totalOf(group: readonly ReadingFinding[], strengthOf: (finding: ReadingFinding) => number): Gathered {
  const meanOf = (quantity: string) => {
    const values = group.filter((reading) => reading.quantity === quantity).map((reading) => reading.value);
    return values.length === 0 ? null : values.reduce((sum, value) => sum + value, 0) / values.length;
  };
  const short = meanOf('short-term-trim');
  const long = meanOf('long-term-trim');
  const total = meanOf('total-trim');
  const both = short !== null && long !== null;
  const first = group[0]!;
  return {
    name: total !== null || long !== null ? 'trim' : 'short-trim',
    value: total ?? (both ? 100 * ((1 + short / 100) * (1 + long / 100) - 1) : (long ?? short ?? 0)),
    bank: first.bank,
    when: first.when,
    limit: group.find((reading) => reading.limit !== null)?.limit ?? null,
    findings: group.map((reading) => reading.id),
    strength: Math.min(...group.map(strengthOf)),
    // The long term alone leaves the short term out, which swings about zero.
    widen: (total !== null || both ? 1 : 1.25) * (first.when === 'cold' ? 1.8 : 1),
    sensorSaid: true,
  };
}

/** The idle figure of the same bank and kind, against which another point's is a change; null where there is none. */
function baseOf(item: Gathered, totals: readonly Gathered[]): Gathered | null {
  if (item.name !== 'trim' || item.limit !== null || !drivenPoints.has(item.when)) return null;
  return (
    totals.find(
      (other) =>
        other.name === 'trim' &&
        other.when === 'idle' &&
        other.limit === null &&
        other.bank === item.bank &&
        other.widen === item.widen,
    ) ?? null
  );
}
const drivenPoints: ReadonlySet<Condition | null> = new Set(['2500rpm', 'cruise', 'cruise-steady', 'load']);

/** Correlation of the errors of two corrections of one car (judgement). */
const sharedError = 0.15;

/** Points between two corrections beyond which they are not repeats of one [%]. */
const differentTrims = 8;

/** A correction of 99 % on a bank is what readers show for a bank that the engine does not have. */
function isAbsentBank(reading: ReadingFinding): boolean {
  return Math.abs(reading.value) > 98;
}

function others(
  readings: readonly ReadingFinding[],
  strengthOf: (finding: ReadingFinding) => number,
  tested: boolean,
  wide: boolean,
): Gathered[] {
  const groups = new Map<string, Gathered & { values: number[] }>();
  const hasGas = tested || readings.some((reading) => reading.quantity.startsWith('gas-'));
  const standstills = readings.flatMap((reading) => stillSwing(reading, wide));
  for (const [reading, name] of [
    ...readings.map((reading) => [reading, nameOf(reading, hasGas, wide)] as const),
    ...standstills,
  ]) {
    if (/-trim$/.test(reading.quantity)) continue;
    if (name === null) continue;
    const value = name.endsWith('-swing') ? reading.range![1] - reading.range![0] : reading.value;
    const bank = engineWide.has(name) ? null : reading.bank;
    const when = idleOnly.has(name) ? 'idle' : reading.when;
    let key = `${name} ${bank} ${when}`;
    // Two voltages far apart are two sensors, or two moments, that the writer did not name: their mean would be neither.
    const apart = groups.get(key)?.values.some((other) => Math.abs(other - value) > differentVoltages) ?? false;
    if (apart && name.endsWith('-voltage')) key += ` ${reading.id}`;
    const known = groups.get(key);
    if (known) {
      known.values.push(value);
      known.findings.push(reading.id);
      known.strength = Math.min(known.strength, strengthOf(reading));
    } else {
      groups.set(key, {
        name,
        value,
        values: [value],
        bank,
        when,
        limit: reading.limit,
        findings: [reading.id],
        strength: strengthOf(reading),
        widen: reading.when === 'cold' ? 1.6 : 1,
        sensorSaid: reading.sensor !== null,
      });
    }
  }
  return [...groups.values()].map(({ values, ...item }) => ({
    ...item,
    // Of several cylinders the weakest is the finding.
    value:
      item.name === 'compression' ? Math.min(...values) : values.reduce((sum, value) => sum + value, 0) / values.length,
  }));
}

/** A signal that is said to stand still at a figure tells of its swing as well: there is none. */
function stillSwing(reading: ReadingFinding, wide: boolean): Array<readonly [ReadingFinding, ObservableName]> {
  const { quantity, range, value, sensor, when } = reading;
  const isStill = quantity === 'sensor-voltage' && range !== null && range[1] - range[0] <= stillWithin;
  if (!isStill || when === 'key-on' || when === 'overrun' || value > 1.3) return [];
  return [[reading, sensor !== null && sensor >= 2 ? 'rear-swing' : wide ? 'wide-swing' : 'front-swing']];
}
/** A signal that moves no more than this stands still [V]. */
const stillWithin = 0.06;

/** Volts between two signals beyond which they are not repeats of one. */
const differentVoltages = 0.3;

/** Volts that only a wide-range sensor shows about lambda 1, on its usual scale [V] (from memory: 2.2 rich to 4.2 lean). */
export function isWideVoltage({ quantity, value, sensor }: ReadingFinding): boolean {
  return quantity === 'sensor-voltage' && (sensor === null || sensor === 1) && value >= 2.1 && value <= 4.4;
}

/** Highest warm idle that is one [1/min] (judgement; a large leak on an engine without an air meter). */
const mostIdleSpeed = 1800;

/** What a reading is a reading of; null for those that the model leaves alone and why. */
function nameOf(reading: ReadingFinding, hasGas: boolean, wide: boolean): ObservableName | null {
  const { quantity, value, sensor, when, range } = reading;
  if (when === 'overrun') return null;
  if (quantity === 'sensor-voltage') {
    const rear = sensor !== null && sensor >= 2;
    // Above 1.3 V it is no two-point signal: a wide-range sensor's figure or a supply voltage.
    if (isWideVoltage(reading)) return 'wide-voltage';
    if (value > 1.3 || value < -0.2) return null;
    if (range !== null && range[1] - range[0] > 0.3) return rear ? 'rear-swing' : wide ? 'wide-swing' : 'front-swing';
    if (rear) return 'rear-voltage';
    return wide ? 'wide-voltage-fifth' : 'front-voltage';
  }
  if (quantity === 'lambda') {
    // Beside gas figures it is the analyser's, whichever sensor was spoken of before it.
    if (hasGas) return 'tail-lambda';
    return sensor === null || sensor === 1 ? 'front-lambda' : null;
  }
  // A speed that no idle has says at which speed something else was read.
  if (quantity === 'engine-speed')
    return when === 'idle' && value >= 300 && value <= mostIdleSpeed ? 'idle-speed' : null;
  // Cold or standing, the coolant's figure says how cold the day was.
  if (quantity === 'coolant-temperature') return when === 'cold' || when === 'key-on' ? null : 'coolant';
  if (quantity === 'manifold-pressure') return when === 'key-on' ? null : 'manifold-pressure';
  // The high-pressure side of direct injection, or a low one at rest, is not the model's figure.
  if (quantity === 'fuel-pressure') return value > 900 || value < 20 ? null : 'fuel-pressure';
  if (quantity === 'air-flow' && value < 0.3) return null;
  if (when === 'key-on') return null;
  if (quantity === 'switches' && wide) return 'wide-switches';
  return observableOf(quantity, sensor);
}

/** Which bank and point it may be of, where the writer left that open. */
function alternativesOf(item: Gathered, banks: number): ReadingTerm['alternatives'] {
  // An analyser stands behind a standing car: idle or fast idle, where the writer does not say.
  const weights = item.when === null && standing.has(item.name) ? [0.6, 0.4, 0, 0] : pointWeights(item.when);
  if (weights === null) return [];
  const onBanks = engineWide.has(item.name)
    ? [0]
    : item.bank === null
      ? Array.from({ length: banks }, (_, bank) => bank)
      : [Math.min(item.bank, banks) - 1];
  const alternatives = [];
  for (const bank of onBanks) {
    for (let point = 0; point < pointCount; point += 1) {
      const weight = weights[point]! / onBanks.length;
      if (weight <= 0) continue;
      if (item.name !== 'front-lambda' || item.sensorSaid) {
        alternatives.push({ observable: { name: item.name, bank, point }, weight });
        continue;
      }
      // A lambda without its place is the front sensor's a little more often than a tester's (judgement).
      alternatives.push({ observable: { name: item.name, bank, point }, weight: 0.6 * weight });
      alternatives.push({ observable: { name: 'tail-lambda' as const, bank, point }, weight: 0.4 * weight });
    }
  }
  return alternatives;
}
