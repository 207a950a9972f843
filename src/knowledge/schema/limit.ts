// An in-service emission limit: place, date, who it applies to, test condition, figures.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { quantityIds } from '../../vocabulary/quantities.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const limits = defineKind({
  folder: 'limits',
  files: 'one',
  schema: z.strictObject({
    id: knowledgeId,
    place: z.string().min(2).max(80),
    rule: z.string().min(3).max(200),
    appliesTo: z.string().min(3).max(200),
    /** Words in a post that point at this programme. */
    words: z.array(z.string().min(2).max(60)),
    year: z.number().int().min(1980).max(2100),
    rows: z
      .array(
        z.strictObject({
          quantity: z.enum(quantityIds),
          when: z.enum(['idle', '2500rpm', 'load']),
          low: z.number().nullable(),
          high: z.number().nullable(),
        }),
      )
      .min(1),
    source: sourceField,
    why: z.string().max(300).optional(),
  }),
  references: (entry) => sourceReferences([[['source'], entry.source]]),
});
export type Limit = z.infer<typeof limits.schema>;
