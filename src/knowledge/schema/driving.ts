// A driving rule: a situation in which the car should be stopped, or only be driven gently to a workshop, and why.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { situation, situationReferences } from './situation.ts';
import { sourceField } from './source.ts';

export const driving = defineKind({
  folder: 'driving',
  files: 'many',
  schema: z.strictObject({
    id: knowledgeId,
    advice: z.enum(['limit', 'stop']),
    /** The rule with the highest danger gives the reason; stop always comes before limit. */
    danger: z.number().int().min(1).max(100),
    when: z.array(situation).min(1).max(8),
    /** The reason, as a clause without a full stop, with what to do. */
    because: z.string().min(10).max(300),
    source: sourceField,
    why: z.string().max(300).optional(),
  }),
  references: (entry) => [
    ...entry.when.flatMap((item, index) => situationReferences(['when', index], item)),
    ...sourceReferences([[['source'], entry.source]]),
  ],
});
export type DrivingRule = z.infer<typeof driving.schema>;
