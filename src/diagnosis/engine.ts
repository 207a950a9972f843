// What is known of the engine, and the ways in which it may be built where it is not: each way is a world with a weight, and
// the posterior is the mixture over them.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Finding } from '../vocabulary/findings.ts';
import { bankOfCode } from './code-counterparts.ts';
import type { Metering } from './effects.ts';
import { frontSensors } from './front-sensor.ts';
import { usualDisplacement } from './operating-points.ts';

export interface EngineView {
  /** Banks that the model tells apart, 1 or 2. */
  readonly banks: number;
  /** True when the number of banks is known rather than taken. */
  readonly banksKnown: boolean;
  /** [L] */
  readonly displacement: number;
  readonly displacementKnown: boolean;
  /** Ways of metering with their probabilities; one when known. */
  readonly metering: ReadonlyArray<{ readonly metering: Metering; readonly weight: number }>;
  /** Kinds of front sensor with their probabilities; one, taken as two-point, where nothing read depends on it. */
  readonly frontSensor: ReadonlyArray<{ readonly wide: boolean; readonly weight: number }>;
}

/** Share of petrol cars of 5 to 20 years with an air meter (judgement: most European and Asian cars, many American). */
const airMeterShare = 0.72;

/** Litres of an engine of two banks whose size is not said: most are sixes of 3.0 to 3.6, the rest eights (common practice). */
const usualOfTwoBanks = 3.5;

/** Reads the engine from the findings about the car asked about. */
export function viewEngine(findings: readonly Finding[], knowledge: Knowledge): EngineView {
  const said = findings.filter((finding) => finding.car === 0 && finding.stated !== 'denied');
  const engines = said.filter((finding) => finding.kind === 'engine');
  let banks: number | null = null;
  let displacement: number | null = null;
  let cylinders: number | null = null;
  let metering: Metering | null = null;
  for (const engine of engines) {
    if (engine.layout === 'inline') banks = 1;
    else if (engine.layout !== null && engine.layout !== 'rotary') banks = 2;
    displacement = engine.displacement ?? displacement;
    cylinders = engine.cylinders ?? cylinders;
    metering = engine.airMetering ?? metering;
  }
  const family = familyOf(engines, displacement, cylinders, knowledge);
  banks ??= family?.banks ?? null;
  metering ??= family?.airMetering ?? null;
  if (banks === null && cylinders !== null) banks = cylinders >= 6 ? 2 : 1;
  const namesBankTwo = said.some(
    (finding) =>
      ('bank' in finding && (finding.bank ?? 0) >= 2) || (finding.kind === 'code' && bankOfCode(finding.code) === 1),
  );
  const banksKnown = banks !== null || namesBankTwo;
  if (namesBankTwo) banks = 2;
  if (metering === null && readsAirFlow(said)) metering = 'air-meter';
  return {
    banks: Math.min(2, banks ?? 1),
    banksKnown,
    displacement: displacement ?? (banks !== null && banks >= 2 ? usualOfTwoBanks : usualDisplacement),
    displacementKnown: displacement !== null,
    metering:
      metering === null
        ? [
            { metering: 'air-meter', weight: airMeterShare },
            { metering: 'manifold-pressure', weight: 1 - airMeterShare },
          ]
        : [{ metering, weight: 1 }],
    frontSensor: frontSensors(said, family?.frontSensor ?? null),
  };
}

function readsAirFlow(said: readonly Finding[]): boolean {
  return said.some(
    (finding) =>
      (finding.kind === 'reading' && finding.quantity === 'air-flow' && finding.value > 0) ||
      (finding.kind === 'code' && /^P010[0-4]$/.test(finding.code)),
  );
}

/** The one engine family that fits what is said; null when none or several of different build do. */
function familyOf(
  engines: ReadonlyArray<Extract<Finding, { kind: 'engine' }>>,
  displacement: number | null,
  cylinders: number | null,
  knowledge: Knowledge,
): { banks: number; airMetering: Metering | null; frontSensor: string | null } | null {
  const vehicles = engines.flatMap((engine) => (engine.vehicle === null ? [] : [` ${engine.vehicle.toLowerCase()} `]));
  if (vehicles.length === 0) return null;
  const year = engines.find((engine) => engine.year !== null)?.year ?? null;
  const fitting = knowledge.engines.filter(
    (family) =>
      vehicles.some((vehicle) => family.cars.some((car) => vehicle.includes(` ${car.toLowerCase()} `))) &&
      (cylinders === null || family.cylinders === null || family.cylinders === cylinders) &&
      (displacement === null ||
        family.displacements.length === 0 ||
        family.displacements.some((size) => Math.abs(size - displacement) < 0.06)) &&
      (year === null || family.years === null || (year >= family.years[0] - 1 && year <= family.years[1] + 1)),
  );
  const first = fitting[0];
  if (!first) return null;
  if (fitting.some((family) => Math.min(2, family.banks) !== Math.min(2, first.banks))) return null;
  const meterings = new Set(fitting.map((family) => family.airMetering));
  const sensors = new Set(fitting.map((family) => family.frontSensor));
  return {
    banks: first.banks,
    airMetering: meterings.size === 1 ? first.airMetering : null,
    frontSensor: sensors.size === 1 ? (first.frontSensor ?? null) : null,
  };
}
