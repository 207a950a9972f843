// A source: where a figure or fact of the knowledge base was published, or which habit of the trade it is.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind } from '../kind.ts';

/** The `source` field of everything else: a source id, `source-id, page or clause`, or one of the unpublished words. */
export const sourceField = z.string().regex(/^[a-z0-9][a-z0-9-]*( [a-z]+)?(, .{1,120})?$/);

export const sources = defineKind({
  folder: 'sources',
  files: 'many',
  schema: z.strictObject({
    id: knowledgeId,
    title: z.string().min(3).max(300),
    publisher: z.string().max(200),
    year: z.number().int().min(1900).max(2100).nullable(),
    /** `published`: a public document; `from memory`: named but not opened; `common practice`: a habit of the trade. */
    standing: z.enum(['published', 'from memory', 'common practice']),
    note: z.string().max(600).optional(),
  }),
  references: () => [],
});
