// The words by which posts name a quantity: intake ties a number to the quantity whose word stands nearest.
import { z } from 'zod';
import { quantityIds } from '../../vocabulary/quantities.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

const phrase = z.string().min(1).max(60);

export const quantityWords = defineKind({
  folder: 'quantities',
  files: 'many',
  schema: z.strictObject({
    /** A quantity of the vocabulary, or a free id with `ignore: true` for what looks like a quantity and is none of ours. */
    id: z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/),
    /** Words that name it by themselves: a number beside them needs no unit. */
    words: z.array(phrase).max(120).default([]),
    /** Words that name it only together with one of its units. */
    withUnit: z.array(phrase).max(120).default([]),
    ignore: z.boolean().default(false),
    /** Range that a value without unit or with an ambiguous word usually has, in the quantity's own unit; decides between candidates. */
    usual: z.tuple([z.number(), z.number()]).nullable().default(null),
    source: sourceField,
    why: z.string().max(300).optional(),
  }),
  references: (entry) => sourceReferences([[['source'], entry.source]]),
  mistakes: (entry) =>
    entry.ignore || (quantityIds as readonly string[]).includes(entry.id)
      ? []
      : [
          {
            path: ['id'],
            found: entry.id,
            allowed: `one of ${quantityIds.join(', ')}`,
            advice: 'use a quantity of the vocabulary, or set ignore: true',
          },
        ],
});
export type QuantityWords = z.infer<typeof quantityWords.schema>;
