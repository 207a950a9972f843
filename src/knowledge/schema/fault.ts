// A fault: how often it is the cause, what it does to the engine, what it shows by itself, and how it is proved and mended.
import { z } from 'zod';
import { effort } from '../../vocabulary/answer-document.ts';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, type Reference, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

/** A number at every operating point, or one number for all of them. */
const byPoint = z.union([
  z.number(),
  z.strictObject({ idle: z.number(), '2500rpm': z.number(), cruise: z.number(), load: z.number() }),
]);

/**
 * What a fault does to the engine. Fractions unless a unit is named; signs as in DEVELOPERS.md ("The mixture model").
 * Air-flow figures in g/s are for a hole, which does not grow with the engine.
 *
 * - unmeteredAir [g/s]: air that passes the meter; ductLeak: share of the air; airMeterError: negative when it reads low;
 *   manifoldPressureError: positive when it reads high (acts on engines that measure manifold pressure)
 * - idleSpeedOffset [1/min] on an engine that measures manifold pressure; a third of it with an air meter
 * - fuelError: negative when less fuel is delivered; extraFuel [g/s]
 * - sensorBias [lambda]: positive when the front sensor reports leaner than is true; sensorLag [s] beyond a good one;
 *   sensorDead, heaterDead, sensorsSwapped, rearSensorDead, rearHeaterDead: 1; rearSensorBias [V]
 * - exhaustAirAtSensor: share of the exhaust, exhaustAirLocality: how much more of it the sensor sees (default 1)
 * - misfireShare: of that bank's firings; exhaustGasRecirculated: share of the charge; fillingLoss: share of full charge
 * - oilBurn [L/1000 km]; coolantBurn 0..1; coolantReadingOffset [K]; coolantTemperature [degC]
 * - catalystEfficiency, oxygenStorage: 1 is new; backPressure [kPa]; fuelUse: extra share; fuelPressureRatio: 1 is right;
 *   heaterResistance [ohm]
 *
 * `codes` and `symptoms` of a fault are those beyond what the state brings about: src/diagnosis/code-setting.ts and
 * symptom-drivers.ts say which codes and symptoms follow from the state. Both combine as "either shows it".
 * Codes are written for bank 1; their counterparts of bank 2 follow.
 */
const effects = z.strictObject({
  unmeteredAir: byPoint.optional(),
  ductLeak: byPoint.optional(),
  airMeterError: byPoint.optional(),
  manifoldPressureError: byPoint.optional(),
  idleSpeedOffset: z.number().optional(),
  fuelError: byPoint.optional(),
  extraFuel: byPoint.optional(),
  sensorBias: byPoint.optional(),
  sensorLag: z.number().optional(),
  sensorDead: z.number().optional(),
  heaterDead: z.number().optional(),
  sensorsSwapped: z.number().optional(),
  exhaustAirAtSensor: byPoint.optional(),
  exhaustAirLocality: z.number().optional(),
  exhaustAirAtTailpipe: byPoint.optional(),
  misfireShare: byPoint.optional(),
  exhaustGasRecirculated: byPoint.optional(),
  fillingLoss: byPoint.optional(),
  oilBurn: z.number().optional(),
  coolantBurn: z.number().optional(),
  coolantReadingOffset: z.number().optional(),
  coolantTemperature: z.number().optional(),
  catalystEfficiency: z.number().optional(),
  oxygenStorage: z.number().optional(),
  backPressure: byPoint.optional(),
  fuelUse: z.number().optional(),
  fuelPressureRatio: byPoint.optional(),
  rearSensorBias: z.number().optional(),
  rearSensorDead: z.number().optional(),
  rearHeaterDead: z.number().optional(),
  heaterResistance: z.number().optional(),
});
export type FaultEffects = z.infer<typeof effects>;

const severity = z.strictObject({
  name: z.string().min(2).max(60),
  weight: z.number().min(0).max(1),
  effects,
});

const step = z.strictObject({
  step: z.string().min(10).max(400),
  /** Rule of knowledge/safety that gates it. */
  safety: knowledgeId,
  effort,
  expect: z.string().min(3).max(300),
  /** Hours of labour, parts counted at the same rate. */
  cost: z.number().min(0).max(60),
  /** Chance that a check points at this fault when it is guilty, and when it is innocent (checks only). */
  guilty: z.number().min(0).max(1).optional(),
  innocent: z.number().min(0).max(1).optional(),
});

export const faults = defineKind({
  folder: 'faults',
  files: 'one',
  schema: z.strictObject({
    id: knowledgeId,
    /** As a reply would say it, after "a" or "the" as fits: "a vacuum leak". */
    name: z.string().min(3).max(100),
    /** Two or three sentences for an owner: what it is and what it does. */
    what: z.string().min(20).max(600),
    prior: z.strictObject({
      /** Share of complaints whose single main cause it is, per 1000. */
      per1000: z.number().min(0).max(1000),
      source: sourceField,
      why: z.string().min(5).max(300),
      /** Factors on the prior where the car or its story is known; `is` is a key of contextConditions (src/diagnosis/context.ts). */
      when: z.array(z.strictObject({ is: z.string().max(60), times: z.number().min(0).max(1000) })).default([]),
    }),
    /** One bank alone, both alike, or both unevenly; weights sum to 1. Engines of one bank take the sum. */
    banks: z.strictObject({
      one: z.number().min(0).max(1),
      both: z.number().min(0).max(1),
      /** Shares of an uneven fault, e.g. 0.7 and 0.3. */
      uneven: z.strictObject({ weight: z.number().min(0).max(1), share: z.number().min(0.5).max(1) }).optional(),
    }),
    severities: z.array(severity).min(1).max(8),
    /** Effects of the same fault on an engine that measures manifold pressure instead of air flow, by severity name. */
    severitiesBySpeedDensity: z.array(severity).max(8).optional(),
    effectsSource: sourceField,
    /** Codes that it sets by itself, beyond those that follow from the state: probability when the owner complains. */
    codes: z.record(z.string(), z.number().min(0).max(1)),
    /** Symptoms that it shows by itself, beyond those that follow from the state: probability if asked. */
    symptoms: z.record(z.string(), z.number().min(0).max(1)),
    /** Faults that it brings about in time, with the factor on the pair's prior. */
    leadsTo: z.array(z.strictObject({ fault: knowledgeId, times: z.number().min(1).max(20) })).default([]),
    /** Part of knowledge/parts to look at. */
    part: knowledgeId.nullable(),
    checks: z.array(step).max(6),
    repair: step,
    driving: z.enum(['ok', 'limit', 'stop']),
    source: sourceField,
  }),
  references: (entry): Reference[] => [
    ...Object.keys(entry.symptoms).map((id) => ({ path: ['symptoms', id], to: 'symptoms', id })),
    ...Object.keys(entry.codes).map((id) => ({ path: ['codes', id], to: 'codes', id })),
    ...entry.leadsTo.map((item, index) => ({ path: ['leadsTo', index, 'fault'], to: 'faults', id: item.fault })),
    ...entry.checks.map((item, index) => ({ path: ['checks', index, 'safety'], to: 'safety', id: item.safety })),
    { path: ['repair', 'safety'], to: 'safety', id: entry.repair.safety },
    ...(entry.part === null ? [] : [{ path: ['part'], to: 'parts', id: entry.part }]),
    ...sourceReferences([
      [['prior', 'source'], entry.prior.source],
      [['effectsSource'], entry.effectsSource],
      [['source'], entry.source],
    ]),
  ],
  mistakes: (entry) => {
    const sums: [string[], number][] = [
      [['severities'], entry.severities.reduce((sum, item) => sum + item.weight, 0)],
      [['banks'], entry.banks.one + entry.banks.both + (entry.banks.uneven?.weight ?? 0)],
    ];
    if (entry.severitiesBySpeedDensity) {
      sums.push([
        ['severitiesBySpeedDensity'],
        entry.severitiesBySpeedDensity.reduce((sum, item) => sum + item.weight, 0),
      ]);
    }
    return sums
      .filter(([, total]) => Math.abs(total - 1) > 0.001)
      .map(([path, total]) => ({
        path,
        found: `weights that sum to ${total.toFixed(3)}`,
        allowed: 'a sum of 1',
        advice: 'change the weights until they sum to 1',
      }));
  },
});
export type Fault = z.infer<typeof faults.schema>;
