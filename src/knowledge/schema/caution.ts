// A caution: what to say where work or driving can hurt someone, why, and when.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const cautions = defineKind({
  folder: 'cautions',
  files: 'many',
  schema: z.strictObject({
    id: knowledgeId,
    /** One or two sentences for the owner, with what to do. */
    text: z.string().min(10).max(400),
    because: z.string().min(5).max(300),
    /** Higher is more dangerous; decides the order and which two are shown. */
    danger: z.number().int().min(1).max(100),
    /** A stop sign is always shown and makes the driving advice `stop` or `limit`. */
    stopSign: z.boolean(),
    /** Symptoms of the post that call for it. */
    symptoms: z.array(knowledgeId).default([]),
    /** Requests of the post that call for it. */
    requests: z.array(z.string().max(40)).default([]),
    source: sourceField,
    why: z.string().max(300).optional(),
  }),
  references: (entry) => [
    ...entry.symptoms.map((id, index) => ({ path: ['symptoms', index], to: 'symptoms', id })),
    ...sourceReferences([[['source'], entry.source]]),
  ],
});
export type CautionEntry = z.infer<typeof cautions.schema>;
