// An engine layout: how its banks and cylinders are counted and where its sensors sit, in words.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const layouts = defineKind({
  folder: 'layouts',
  files: 'one',
  schema: z.strictObject({
    id: knowledgeId,
    name: z.string().min(3).max(80),
    layout: z.enum(['inline', 'v', 'flat', 'w', 'rotary']),
    mounting: z.enum(['transverse', 'longitudinal']).nullable(),
    /** Numbers of cylinders it is for; empty for any. */
    cylinders: z.array(z.number().int().min(1).max(16)).default([]),
    banks: z.number().int().min(1).max(4),
    /** How cylinder 1, and so bank 1, is found. */
    cylinderOne: z.string().min(10).max(500),
    /** Which bank is bank 1 as seen from the driver's seat, and how sure that is. */
    bankOne: z.string().min(5).max(500),
    /** The same for pictures and for bank 2: where bank 1 lies when nothing more is known of the engine. */
    side: z.enum(['only', 'firewall', 'radiator', 'right', 'left', 'front-cylinders', 'unknown']).default('unknown'),
    certainty: z.enum(['certain', 'likely', 'ask']),
    upstream: z.string().min(10).max(500),
    downstream: z.string().min(10).max(500),
    access: z.string().max(500),
    source: sourceField,
  }),
  references: (entry) => sourceReferences([[['source'], entry.source]]),
});
export type Layout = z.infer<typeof layouts.schema>;
