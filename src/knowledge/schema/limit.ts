// An in-service emission limit: place, date, who it applies to, test condition, figures.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { quantityIds } from '../../vocabulary/quantities.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

const date = z.string().regex(/^(19|20)\d\d-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$/);

export const limits = defineKind({
  folder: 'limits',
  files: 'one',
  schema: z.strictObject({
    id: knowledgeId,
    place: z.string().min(2).max(80),
    rule: z.string().min(3).max(200),
    appliesTo: z.string().min(3).max(200),
    /** Cars by the day of first use, both days included; null where the rule names no day. */
    firstUsed: z.strictObject({ from: date.nullable(), until: date.nullable() }).default({ from: null, until: null }),
    /** Only cars with a controlled three-way catalyst, only those without, or null for any. */
    catalyst: z.boolean().nullable().default(null),
    /** Whether the maker's own figure for the car goes before these. */
    makerFirst: z.boolean().default(false),
    /** How the test is run: speeds, warm-up. */
    condition: z.string().min(5).max(300).optional(),
    /** Words in a post that point at this programme. */
    words: z.array(z.string().min(2).max(60)),
    /** Of the text that the figures were taken from. */
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
  mistakes: (entry) =>
    entry.rows.flatMap((row, index) =>
      row.low === null && row.high === null
        ? [
            {
              path: ['rows', index],
              found: 'a row without a figure',
              allowed: 'low, high or both',
              advice: 'give the limit or remove the row',
            },
          ]
        : [],
    ),
});
export type Limit = z.infer<typeof limits.schema>;
