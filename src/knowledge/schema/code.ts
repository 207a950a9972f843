// A trouble code of the open standard: which bank and sensor it names, and what it measures directly.
import { z } from 'zod';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const codes = defineKind({
  folder: 'codes',
  files: 'many',
  schema: z.strictObject({
    id: z.string().regex(/^[PBCU][0-3][0-9A-F]{3}$/),
    /** Left out when the code names no bank. */
    bank: z.number().int().min(1).max(4).nullable().default(null),
    /** Place of an oxygen sensor in the exhaust of its bank; left out for every other kind of sensor. */
    sensor: z.number().int().min(1).max(4).nullable().default(null),
    cylinder: z.number().int().min(1).max(16).nullable().default(null),
    /** Family of the code: what it is about, whatever the bank. */
    group: z.enum([
      'fuel-trim',
      'upstream-sensor',
      'downstream-sensor',
      'sensor-heater',
      'sensor-wiring',
      'catalyst',
      'misfire',
      'ignition-coil',
      'knock',
      'cam-timing',
      'crank-or-cam',
      'air-meter',
      'pressure',
      'boost',
      'throttle',
      'idle',
      'speed',
      'coolant-temperature',
      'intake-temperature',
      'fuel-pressure',
      'injector',
      'evap',
      'egr',
      'secondary-air',
      'supply',
      'module',
      'other',
    ]),
    /** What the standard says the code means, in our words. */
    meaning: z.string().min(5).max(240),
    /** What the control unit actually saw. */
    measures: z.string().min(5).max(240),
    source: sourceField,
  }),
  references: (entry) => sourceReferences([[['source'], entry.source]]),
});
export type Code = z.infer<typeof codes.schema>;
