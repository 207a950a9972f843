// A mention: words by which a post names a suspect without saying anything measured or seen, and how far that should move the odds.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const mentions = defineKind({
  folder: 'mentions',
  files: 'many',
  schema: z.strictObject({
    id: knowledgeId,
    /** Words that name the suspect, written as the phrases of a symptom are (see knowledge/symptoms/black-smoke.yaml). */
    words: z.array(z.string().min(2).max(400)).min(1).max(60),
    /** Words that hold one of these and mean something else. */
    not: z.array(z.string().min(2).max(400)).max(40).default([]),
    /** Faults of which people speak so, each with the factor on its odds. */
    faults: z
      .array(z.strictObject({ fault: knowledgeId, times: z.number().min(1).max(8) }))
      .min(1)
      .max(20),
    /** True where being told of as work done is just what makes it a suspect, such as a universal sensor that was fitted. */
    ofWork: z.boolean().default(false),
    source: sourceField,
    why: z.string().min(5).max(300),
  }),
  references: (entry) => [
    ...entry.faults.map((item, index) => ({ path: ['faults', index, 'fault'], to: 'faults', id: item.fault })),
    ...sourceReferences([[['source'], entry.source]]),
  ],
});
export type MentionEntry = z.infer<typeof mentions.schema>;
