// A part: the words for it, what it has to do with which faults, and where it is looked for.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const parts = defineKind({
  folder: 'parts',
  files: 'many',
  schema: z.strictObject({
    id: knowledgeId,
    name: z.string().min(2).max(80),
    words: z.array(z.string().min(2).max(60)).min(1).max(90),
    /** Words that hold one of these words and name no part: "brake cleaner", "exhaust smell". */
    not: z.array(z.string().min(2).max(60)).max(90).default([]),
    /** Faults that are less likely once this part has been replaced or tested good, with the factor on their odds. */
    clears: z.array(
      z.strictObject({
        fault: knowledgeId,
        replaced: z.number().min(0.01).max(1),
        tested: z.number().min(0.01).max(1),
      }),
    ),
    /** Faults that work on or near this part brings about, with the factor on their odds when trouble began after it. */
    disturbs: z.array(z.strictObject({ fault: knowledgeId, times: z.number().min(1).max(50) })),
    /**
     * Factor on the odds of its faults when a post names or asks about the part without having worked on it: owners repeat what
     * they saw or were told. High for parts that nobody names without cause, near 1 for those that every post of this trade names.
     */
    named: z.number().min(1).max(10).default(1),
    source: sourceField,
    why: z.string().max(300).optional(),
  }),
  references: (entry) => [
    ...entry.clears.map((item, index) => ({ path: ['clears', index, 'fault'], to: 'faults', id: item.fault })),
    ...entry.disturbs.map((item, index) => ({ path: ['disturbs', index, 'fault'], to: 'faults', id: item.fault })),
    ...sourceReferences([[['source'], entry.source]]),
  ],
});
export type Part = z.infer<typeof parts.schema>;
