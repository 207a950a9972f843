// A car maker and its models, by the words that posts use: intake reads the vehicle from them.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const makes = defineKind({
  folder: 'makes',
  files: 'many',
  schema: z.strictObject({
    id: knowledgeId,
    /** As a reply would write it. */
    name: z.string().min(2).max(40),
    /** Other words for the maker ("chevy", "vw"); the name itself needs no entry. */
    words: z.array(z.string().min(2).max(30)).max(20).default([]),
    /** Models whose name alone is enough to know the maker. */
    models: z.array(z.string().min(1).max(40)).max(400).default([]),
    /** Models whose name is also an ordinary word, a number or another maker's: read only beside the maker, a year or a capital letter. */
    shared: z.array(z.string().min(1).max(40)).max(400).default([]),
    source: sourceField,
  }),
  references: (entry) => sourceReferences([[['source'], entry.source]]),
});
export type Make = z.infer<typeof makes.schema>;
