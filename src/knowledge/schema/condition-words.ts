// The words by which posts name a running condition: intake gives each figure the condition that is said of it.
import { z } from 'zod';
import { conditions } from '../../vocabulary/quantities.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const conditionWords = defineKind({
  folder: 'conditions',
  files: 'many',
  schema: z.strictObject({
    /** A condition of the vocabulary, or `none` for words that hold one and mean something else. */
    id: z.enum([...conditions, 'none']),
    words: z.array(z.string().min(2).max(60)).min(1).max(200),
    source: sourceField,
    why: z.string().max(300).optional(),
  }),
  references: (entry) => sourceReferences([[['source'], entry.source]]),
});
export type ConditionWords = z.infer<typeof conditionWords.schema>;
