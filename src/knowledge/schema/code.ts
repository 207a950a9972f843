// A trouble code of the open standard: which bank and sensor it names, and what it measures directly.
import { z } from 'zod';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const codes = defineKind({
  folder: 'codes',
  files: 'many',
  schema: z.strictObject({
    id: z.string().regex(/^[PBCU][0-3][0-9A-F]{3}$/),
    bank: z.number().int().min(1).max(4).nullable(),
    sensor: z.number().int().min(1).max(4).nullable(),
    cylinder: z.number().int().min(1).max(16).nullable().default(null),
    /** Family: fuel-trim, upstream-sensor, downstream-sensor, sensor-heater, catalyst, misfire, ... */
    group: z
      .string()
      .regex(/^[a-z0-9-]+$/)
      .max(40),
    /** What the standard says the code means, in our words. */
    meaning: z.string().min(5).max(240),
    /** What the control unit actually saw. */
    measures: z.string().min(5).max(240),
    source: sourceField,
  }),
  references: (entry) => sourceReferences([[['source'], entry.source]]),
});
export type Code = z.infer<typeof codes.schema>;
