// A caution: what to say where work or driving can hurt someone, why, and when.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { situation, situationReferences } from './situation.ts';
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
    /** A stop sign is shown every time it applies; others once in a conversation. */
    stopSign: z.boolean(),
    /** Symptoms each of which calls for it. */
    symptoms: z.array(knowledgeId).default([]),
    /** Requests each of which calls for it, whatever they are about. */
    requests: z.array(z.string().max(40)).default([]),
    /** Further situations, each of which calls for it. */
    when: z.array(situation).max(12).default([]),
    /**
     * Whether a question or step that is about to be shown brings it along when its safety rule names it: always, never,
     * or only in one of these situations.
     */
    fromSteps: z.union([z.enum(['always', 'never']), z.array(situation).min(1).max(8)]).default('always'),
    source: sourceField,
    why: z.string().max(300).optional(),
  }),
  references: (entry) => [
    ...entry.symptoms.map((id, index) => ({ path: ['symptoms', index], to: 'symptoms', id })),
    ...entry.when.flatMap((item, index) => situationReferences(['when', index], item)),
    ...(Array.isArray(entry.fromSteps)
      ? entry.fromSteps.flatMap((item, index) => situationReferences(['fromSteps', index], item))
      : []),
    ...sourceReferences([[['source'], entry.source]]),
  ],
});
export type CautionEntry = z.infer<typeof cautions.schema>;
