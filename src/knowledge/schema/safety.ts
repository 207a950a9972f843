// The safety table: every kind of work that a question or step may ask for, who may do it and in which state of the engine.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const safety = defineKind({
  folder: 'safety',
  files: 'many',
  schema: z.strictObject({
    /** Kind of work: look-cold, read-live-data, pinch-hose, spray-at-engine, remove-sensor, ... */
    id: knowledgeId,
    what: z.string().min(5).max(200),
    who: z.enum(['owner', 'workshop']),
    engine: z.enum(['any', 'off-and-cold', 'off-and-cool', 'running-outdoors', 'off']),
    /** What the step must say when an owner is to do it. */
    mustSay: z.string().max(300),
    cautions: z.array(knowledgeId),
    /** Stop signs that withdraw it altogether. */
    notWith: z.array(knowledgeId).default([]),
    source: sourceField,
    why: z.string().max(300).optional(),
  }),
  references: (entry) => [
    ...entry.cautions.map((id, index) => ({ path: ['cautions', index], to: 'cautions', id })),
    ...entry.notWith.map((id, index) => ({ path: ['notWith', index], to: 'symptoms', id })),
    ...sourceReferences([[['source'], entry.source]]),
  ],
});
export type SafetyRule = z.infer<typeof safety.schema>;
