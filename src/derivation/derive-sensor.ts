// What single figures of an oxygen sensor mean: how often it switches, how far it swings, its heater's resistance.
import { heaterResistance } from '../calculators/heater.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import type { ReadingFinding } from '../vocabulary/findings.ts';
import { inputOf, settle, stand } from './draft.ts';
import { figure } from './plain.ts';
import type { View } from './view.ts';

/**
 * Switches in a second of a front sensor that are plenty and too few, warm at 2500 1/min; and the swing of a healthy one [V].
 * Source: common practice (training texts: 7 to 8 crossings in 10 s; above 0.7 and below 0.2 V).
 */
const switching = { plenty: 0.7, few: 0.5 } as const;
const swing = { high: 0.7, low: 0.2 } as const;

export function deriveSensor(view: View): Derived[] {
  const results: Derived[] = [];
  const seen = new Set<string>();
  // The latest word on each sensor counts.
  for (const reading of view.readings.toReversed()) {
    const result = deriveOne(reading);
    if (!result || seen.has(result.id)) continue;
    seen.add(result.id);
    results.unshift(result);
  }
  return results;
}

function deriveOne(reading: ReadingFinding): Derived | null {
  if (reading.quantity === 'heater-resistance') return deriveHeater(reading);
  if (reading.quantity === 'switches' && (reading.sensor ?? 1) === 1) return deriveSwitches(reading);
  if (reading.quantity === 'sensor-voltage' && reading.range !== null && (reading.sensor ?? 1) === 1)
    return deriveSwing(reading, reading.range);
  return null;
}

function nameOf({ bank, sensor }: ReadingFinding): string {
  const which = sensor === null || sensor === 1 ? 'front' : sensor === 2 ? 'rear' : 'third';
  return `the ${which} sensor${bank === null ? '' : ` of bank ${bank}`}`;
}

function deriveHeater(reading: ReadingFinding): Derived {
  const about = {
    calculator: 'heater-resistance',
    unit: 'ohm',
    source: 'common practice',
    bank: reading.bank,
    inputs: [inputOf(reading)],
  };
  const sensor = nameOf(reading);
  const derived = settle(heaterResistance(reading.value), about, (result) => ({
    value: result.value,
    says: {
      short: `A heater of ${figure(reading.value, 1)} ohm in ${sensor} is a short; that blows its fuse.`,
      low: `A heater of ${figure(reading.value, 1)} ohm in ${sensor} is low; measure it again cold.`,
      plausible: `A heater of ${figure(reading.value, 1)} ohm in ${sensor} is plausible, if it was measured cold.`,
      high: `A heater of ${figure(reading.value, 1)} ohm in ${sensor} is high; if the sensor was cold, it is worn or its plug is corroded.`,
      open: `A heater of ${figure(reading.value, 0)} ohm in ${sensor} is as good as broken.`,
    }[result.verdict],
    steps: [
      `usual cold, for most sensors: ${result.low} to ${result.high} ohm; under 1 a short, over 100 failed`,
      "the maker's figure for the part decides; hot, the same heater reads up to two and a half times as much",
    ],
  }));
  return reading.sensor === null ? derived : { ...derived, id: `${derived.id}.s${reading.sensor}` };
}

function deriveSwitches(reading: ReadingFinding): Derived {
  const { value } = reading;
  const sensor = nameOf(reading);
  const says =
    value >= switching.plenty
      ? `${sensor} switches ${figure(value, 1)} times a second, which is healthy.`
      : value >= switching.few
        ? `${sensor} switches ${figure(value, 1)} times a second, on the slow side.`
        : `${sensor} switches ${figure(value, 1)} times a second, which is slow if the engine was warm and held at about 2,500 rpm.`;
  return stand(value, {
    calculator: 'sensor-signal',
    unit: '1/s',
    source: 'common practice',
    bank: reading.bank,
    when: reading.when,
    inputs: [inputOf(reading)],
    says: says.charAt(0).toUpperCase() + says.slice(1),
    steps: [`a two-point sensor, warm at 2,500 rpm, crosses 0.45 V seven times or more in ten seconds`],
  });
}

function deriveSwing(reading: ReadingFinding, [low, high]: readonly [number, number]): Derived | null {
  // A wide-range signal or a supply voltage does not swing about 0.45 V.
  if (high > 1.2 || low < -0.2) return null;
  const sensor = nameOf(reading);
  const says =
    high - low <= 0.06 && low >= 0.4 && high <= 0.5
      ? `${sensor} stands still at ${figure((low + high) / 2, 2)} V, as one does that is cold, dead or disconnected.`
      : high < 0.45
        ? `${sensor} stays on the lean side the whole time.`
        : low > 0.45
          ? `${sensor} stays on the rich side the whole time.`
          : low <= swing.low && high >= swing.high
            ? `${sensor} swings over its whole range, as a healthy one does.`
            : `${sensor} moves, but not over the whole range of a healthy one (below 0.2 to above 0.7 V).`;
  return {
    ...stand(high - low, {
      calculator: 'sensor-signal',
      unit: 'V',
      source: 'common practice',
      bank: reading.bank,
      when: reading.when,
      inputs: [inputOf(reading)],
      says: says.charAt(0).toUpperCase() + says.slice(1),
      steps: [`from ${figure(low, 2)} to ${figure(high, 2)} V is a swing of ${figure(high - low, 2)} V`],
    }),
    id: `sensor-swing${reading.bank === null ? '' : `.b${reading.bank}`}${reading.when === null ? '' : `.${reading.when}`}`,
  };
}
